package puzzle

// What was found by trying, on puzzles from books.
const (
	// MostBlock is the largest side of the blocks of one colour that are tried, from 1 on.
	MostBlock        = 6
	mostSteps        = 300_000_000 // of a decision: some seconds
	mostAlong        = 1 << 20     // common measures that a puzzle may be long along an axis: tables have one place for each
	stepsPerQuestion = 1 << 14     // between two questions whether to end
	stepsOfFirstTurn = 100_000     // of each way to go through a flat puzzle
	growthOfTurns    = 10          // times as many in the next turn
	sumsPerStep      = 32          // that are as much as one step of stack: a rough measure
)
