package whatif

// What was found by trying, on the examples.
const (
	mostShallower = 3      // searches with less depth that are tried for a notch
	depthToSpare  = 2      // mm that a notch is cut deeper than needed where its depth allows
	lateEntries   = 20_000 // looks at a box that a plan of ways in may still take when its context has ended: enough for a dozen boxes
	coreSides     = 24     // flat sides around the core of a drum: enough to see whether it is met
)
