package start

// What was found by trying, on the problems of the benchmarks; TRIED.md, a folder above, says what
// else was tried.
const (
	mostCoordinates = 14        // of an axis that are tried for a box
	mostGridSteps   = 1_000_000 // boxes tried before a grid is given up

	// Separation.
	mostSweeps   = 200 // of one separation
	staleSweeps  = 30  // without less overlap, after which it ends
	drawnSpots   = 24  // looked at for a box: what a spot costs says much of what those near it do, and is much sooner known than they are found
	keptSpots    = 2   // of these, that a box may move on from
	descentSteps = 12  // of one descent at most
	nearestWays  = 3   // planes of a broken relation that are tried: around a round solid there are many
	keptWeight   = 0.9 // part of its weight that a relation keeps from sweep to sweep when it is not broken: else long separations end with weights that once mattered

	// Slicing: how much worse a layout may become in a step, in parts of the longest side of the
	// opening, and the effort of a step for each box and each cut.
	heatAtFirst  = 1.0 / 8
	heatAtLast   = 1.0 / 500
	effortPerCut = 12
)
