package stand

// What was found by trying, on the examples; TRIED.md, a folder above, says what else was tried.
const (
	// Starts.
	keptOfASort    = 6   // layouts of a number of levels that are kept by spare, as many by height
	startsPerBatch = 8   // before what they found is looked at
	staleStarts    = 80  // without anything better, for each number of levels, after which there is hardly more to find
	promisingPart  = 0.8 // of the best spare, which a stance has to have for other planes to be tried
	finalists      = 4   // layouts of a number of levels that are gathered and compared

	// Annealing: the heat in mm², of the sum of the squares of what is lacking.
	heatOfDrawn  = 900.0 // of a stance drawn at random: what is lacking may grow by 30 mm
	heatOfKnown  = 100.0 // of one found before
	heatOfMerged = 10.0  // of one whose heights were merged
	coldestHeat  = 0.05

	// Programs.
	programMargin = 60   // mm beyond the spare within which relations are in a program from the beginning
	mostClimbs    = 20   // programs one after the other
	mostTurns     = 24   // of a climb and another plane
	mostSolves    = 60   // of one program, each with the relations that the last answer broke
	leastGain     = 1e-7 // mm, the gain below which improvement stops

	// Gathering.
	alignReach      = 25 // mm, that two faces may be apart to be brought into one plane
	mostAlignments  = 60 // pairs of faces, the nearest first
	closingReach    = 60 // mm, that two boxes of a level may be apart to close up
	roomForRounding = 1  // mm that are kept beside the reserve, so that places can be whole millimetres
)
