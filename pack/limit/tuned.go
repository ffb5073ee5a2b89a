package limit

// What was found by trying, on the examples: how far rounding goes in programs of a pack's size.
const (
	mostClimbs  = 60   // programs one after the other
	leastGain   = 1e-9 // mm of gain below which climbing ends
	leastWeight = 1e-7 // of a multiplier, to count
	tiedWithin  = 1e-7 // mm, that a row may leave above the spare and still count as limiting in balance with others: a hundred times the accuracy of the solver
)
