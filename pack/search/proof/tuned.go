package proof

// What was found by trying, on the problems of the benchmarks; TRIED.md, a folder above, says what
// else was tried.
const (
	// PerRound is the work in a round at least.
	PerRound    = 40_000_000
	tasksARound = 8
	mostPairs   = 20_000 // pairs of sets of poses that a prover keeps from task to task

	// Branching.
	leastBreach    = 1e-7 // mm that a relation lacks, to count
	relationsAhead = 8    // broken ones that are looked at before branching
	boxesAhead     = 3    // whose pose is not settled, looked at before branching
	workGrowth     = 4    // how fast the work below a node is taken to grow with the distance of its value from the cutoff
	mostWeights    = 72   // of a program: more take more time than they save, and memory, 100 kB a node

	// Learning.
	mostFacts   = 7      // in a nogood that is kept
	mostShared  = 3      // in one that other provers are told
	mostNogoods = 20_000 // that are kept: about 5 MB a prover

	// Bodies inside round solids.
	ringSteps       = 16 // points of a ring at first
	mostAddedPoints = 48 // to the rings of a body; with more, a node whose value is still too high stays undecided
	pointsOnRing    = 12 // of a body in a written proof

	// Places at which nothing goes in. Along the edge of what goes in the halves never end; what is
	// left then stays undecided.
	mostHalvings  = 1000 // in one search
	halvingsATask = 100
	leastRange    = 0.02 // mm, of a coordinate that is not halved any more

	// Ways out.
	mostSteps    = 300    // programs that are solved to see whether a pose has one way from some place
	mostAllSteps = 20_000 // for all poses together before the tree begins: about a second
	mostPassings = 1000   // poses and ways whose clauses are kept, up to 20 kB each
	mostWays     = 40     // of a box that is branched on them
	mostTurns    = 3      // boxes of a node whose ways have turns: each has two columns in all programs
	waysAhead    = 3      // broken clauses of ways that are looked at before branching

	// Written proofs.
	mostOnAxis = 6       // points along an axis that are tried
	mostLeaves = 150_000 // ends that may be recorded: 200 to 500 bytes each in the file, and up to 3 KB of memory to write it and to check it
)
