package improve

// What was found by trying, on the problems of the benchmarks; TRIED.md, a folder above, says what
// else was tried. Lengths are in mm, work is counted as by model.Effort.
const (
	// LeastGain is the gain below which improvement stops.
	LeastGain     = 1e-7
	mostClimbs    = 20          // programs one after the other
	programMargin = 60          // more than the spare that a relation leaves which is not in the program from the beginning: most never matter, and those that do come in when they are broken
	perPair       = 100         // what looking at a relation of two boxes takes where all of them have to be made anew
	mostRemedies  = 8           // tried for a chain
	graceWork     = 200_000_000 // that an improvement may still do once the search has to end: a moment, and enough for a dozen boxes

	// Dressing.
	mostDressingWork = 20_000_000 // of one layout
	firmLack         = 20         // of every other plane for a relation, for the one that it has to be kept
	mostNeeds        = 8          // relations that lack most are looked at for the one with the fewest ways
	leastLack        = 1e-6       // of a relation, to be mended
	nearestWays      = 3          // planes of a relation with the frame that are tried: around a round solid there are many

	// Settling.
	mostSettlingWork = 300_000_000 // a dozen times what it mostly takes
	alignReach       = 25          // faces farther apart are not brought into one plane
	mostAlignments   = 60          // pairs of faces, the nearest first
)
