package puzzle

// Kind is a number of alike boxes and the shapes in which each of them may stand.
type Kind struct {
	Count  int
	Shapes [][3]int // sizes along the container's axes, all of one volume, none 0
}

// Problem is a container with the boxes that are to go into it. Boxes lie parallel to the container
// and may only be placed at whole coordinates.
type Problem struct {
	Size  [3]int
	Kinds []Kind
}

// Place is where the low corner of a box is, and its shape by index.
type Place struct {
	Kind, Shape int
	Low         [3]int
}

// Verdict is what Solve knows.
type Verdict int

const (
	Unknown Verdict = iota // the steps ran out, or the problem is too large
	Fits
	CannotFit
)

// Solve looks for a packing in at most the given number of steps, or until ended says
// so, which it is asked now and then. The places come with Fits alone, in no order. The
// same input gives the same result.
//
// Unknown is an answer: it promises nothing either way.
func Solve(p Problem, steps int, ended func() bool) (Verdict, []Place) {
	if p.waste() < 0 {
		return CannotFit, nil
	}
	if len(p.Kinds) == 0 {
		return Fits, nil
	}
	if p.volume() <= mostCells && p.unbalanced() {
		return CannotFit, nil
	}
	if axis, ok := p.flatAxis(); ok {
		return solveFlat(p, axis, clock{steps, ended})
	}
	if p.volume() <= mostCells {
		return solveCells(p, clock{steps, ended})
	}
	return Unknown, nil
}

// volume counts cells.
func (p Problem) volume() int { return p.Size[0] * p.Size[1] * p.Size[2] }

// waste is the volume that stays empty. Negative where the boxes have more volume than the
// container.
func (p Problem) waste() int {
	waste := p.volume()
	for _, k := range p.Kinds {
		s := k.Shapes[0]
		waste -= k.Count * s[0] * s[1] * s[2]
	}
	return waste
}

// flatAxis finds an axis along which no two boxes go beside each other, whatever their
// shapes, which take the same area across it: the problem is then one of rectangles in
// the other two.
func (p Problem) flatAxis() (int, bool) {
	for axis := range 3 {
		if p.flat(axis) {
			return axis, true
		}
	}
	return 0, false
}

// flat tells so of one axis: every box takes more than half of it.
func (p Problem) flat(axis int) bool {
	for _, k := range p.Kinds {
		for _, s := range k.Shapes {
			if 2*s[axis] <= p.Size[axis] || s[axis] > p.Size[axis] || s[axis] != k.Shapes[0][axis] {
				return false
			}
		}
	}
	return true
}

// clock counts down steps. Below 0 it has run out. It is embedded, so one counts for the whole of a
// search.
type clock struct {
	steps int
	ended func() bool
}

// tick takes a step and tells whether there was one left.
func (c *clock) tick() bool { return c.take(1) }

// take takes some steps and tells whether they were left. Whether to end is asked at fixed counts
// of steps, not of calls.
func (c *clock) take(steps int) bool {
	if c.steps > 0 && c.steps/stepsPerQuestion != (c.steps-steps)/stepsPerQuestion && c.ended() {
		c.steps = 0
	}
	c.steps -= steps
	return c.steps >= 0
}
