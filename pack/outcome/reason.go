package outcome

// Reason is why a layout is offered.
type Reason int

const (
	MostToSpare Reason = iota
	EasiestToBuild
	Lowest
	BestBalance
	ShortestWiring
	Racked // a rack was found for it
)

// String gives the words told to the user and written in JSON.
func (r Reason) String() string {
	return [...]string{"most to spare", "easiest to build", "lowest", "best balance", "shortest wiring", "a rack goes in"}[r]
}

// LevelRow is what was found for one number of levels.
type LevelRow struct {
	Levels int
	Spare  float64 // mm, the greatest that was found
	// Middle is the height in mm of the middle of mass: of the lowest layout that was found to
	// keep the reserve, or, where none does, of the one with that spare.
	Middle float64
	Keeps  bool // some layout keeps the reserve
}

// Why tells whether a layout is offered for a reason.
func (f Found) For(why Reason) bool {
	for _, w := range f.Why {
		if w == why {
			return true
		}
	}
	return false
}

// Easiest is the number, from 0, of the layout that is easiest to build; −1 where none is
// known.
func (r Result) Easiest() int {
	for i, l := range r.Layouts {
		if l.For(EasiestToBuild) {
			return i
		}
	}
	return -1
}
