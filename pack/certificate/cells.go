package certificate

import (
	"errors"
	"fmt"
	"math/big"
	"slices"
)

// Cells is a bound by whole numbers. Lengths of grown boxes and of the grown bounds are
// rounded down to whole steps. If the boxes of a layout are made so much shorter, and then
// pushed towards the low end of each axis, in turns, as long as one of them moves, each
// ends at the low end of the bounds or at the high end of another box; so all of them end
// at whole steps, without overlapping, and inside of the shortened bounds. (Normal
// patterns: Herz, IBM Journal of Research and Development 16 (1972).) So it is enough that
// they cannot lie at whole steps, filling whole cells.
//
// With a Block the cells are black and white in blocks of so many along each axis, like a
// chessboard: the bounds have more cells of one colour than the boxes and the cells left
// empty can (de Bruijn, American Mathematical Monthly 76 (1969)). Without one all places
// are tried, up to a limit of steps.
type Cells struct {
	Step  []float64 `json:"step"` // mm, along x, y, z
	Block int       `json:"block,omitempty"`
}

// Limits of what is tried. With these a check takes half a minute at most, mostly seconds.
const (
	mostAlong = 4096 // cells along an axis
	mostBlock = 64
	mostCells = 1024      // to try all places in
	mostTries = 5_000_000 // places
)

// ErrTooMuch is wrapped by the errors for bounds by cells that are beyond the limits of what
// is tried: they may be true.
var ErrTooMuch = errors.New("that is too much for this check")

// board is boxes and bounds in cells.
type board struct {
	size  [3]int
	kinds []cellKind
}

type cellKind struct {
	count  int
	shapes [][3]int // those that are no longer than the bounds
}

// cells checks a bound by cells.
func (s *Space) cells(c Cells) error {
	b, err := s.boardOf(c)
	if err != nil {
		return err
	}
	if slices.ContainsFunc(b.kinds, func(k cellKind) bool { return len(k.shapes) == 0 }) {
		return nil // it is too long in every pose
	}
	switch {
	case c.Block < 0 || c.Block > mostBlock:
		return fmt.Errorf("the blocks have to be 1 to %d cells long", mostBlock)
	case c.Block > 0:
		return b.colour(c.Block)
	}
	return b.tryAll(mostTries)
}

func (s *Space) boardOf(c Cells) (board, error) {
	if s.tilted() {
		return board{}, errTilted
	}
	if len(c.Step) != 3 {
		return board{}, errors.New("steps are given along three axes")
	}
	var b board
	for axis, step := range c.Step {
		if !(step >= 1e-6 && step <= farthest) {
			return board{}, fmt.Errorf("a step cannot be %v mm", step)
		}
		if b.size[axis] = inSteps(s.span(axis), step); b.size[axis] < 1 || b.size[axis] > mostAlong {
			return board{}, fmt.Errorf("there may be 1 to %d cells along an axis", mostAlong)
		}
	}
	for _, k := range s.kinds {
		shapes := s.shapesOf(k, c.Step)
		if !slices.ContainsFunc(shapes, func(s [3]int) bool { return volume(s) == 0 }) {
			b.add(k.count, shapes)
		} // else it may be so short that it takes no cells
	}
	return b, nil
}

// inSteps is a length in whole steps, rounded down, or too many of them.
func inSteps(long *big.Rat, step float64) int {
	n := floor(quo(long, millimetres(step))).Num()
	if !n.IsInt64() || n.Int64() > mostAlong {
		return mostAlong + 1
	}
	return int(n.Int64())
}

// shapesOf lists the shapes, in cells, that a kind has in poses that are no longer than the
// bounds.
func (s *Space) shapesOf(k kind, step []float64) [][3]int {
	var all [][3]int
	for _, p := range k.poses {
		var shape [3]int
		for axis := range 3 {
			shape[axis] = inSteps(s.extent(p, axis), step[axis])
		}
		if s.fits(p) && !slices.Contains(all, shape) {
			all = append(all, shape)
		}
	}
	return all
}

// add adds boxes, to others with the same shapes if there are some.
func (b *board) add(count int, shapes [][3]int) {
	for i, k := range b.kinds {
		if slices.Equal(k.shapes, shapes) {
			b.kinds[i].count += count
			return
		}
	}
	b.kinds = append(b.kinds, cellKind{count, shapes})
}

// colour checks that a chessboard shows that the boxes do not go in. The bounds have, say,
// d more cells of one colour. Each box covers at most e more of one colour than of the
// other, wherever it is; each cell left empty makes up for one. So in a layout d is at most
// the sum of e and of the cells left empty, which is that of all cells less those of boxes.
func (b board) colour(block int) error {
	most := volume(b.size)
	for _, k := range b.kinds {
		gain := func(shape [3]int) int {
			e := 1
			for _, n := range shape {
				e *= mostExcess(n, block)
			}
			return e - volume(shape)
		}
		high := gain(k.shapes[0])
		for _, shape := range k.shapes {
			high = max(high, gain(shape))
		}
		most += k.count * high
	}
	d := 1
	for _, n := range b.size {
		d *= excess(0, n, block)
	}
	if max(d, -d) <= most {
		return errors.New("the boxes and the empty cells can make up for the colours")
	}
	return nil
}

func volume(size [3]int) int { return size[0] * size[1] * size[2] }

// excess is how many more cells of one colour than of the other are among n in a row from
// one on. In three dimensions it is the product of those along the axes.
func excess(from, n, block int) int {
	sum := 0
	for i := from; i < from+n; i++ {
		sum += 1 - 2*(i/block%2)
	}
	return sum
}

// mostExcess is the greatest excess of either colour, wherever the row begins.
func mostExcess(n, block int) int {
	most := 0
	for from := range 2 * block {
		e := excess(from, n, block)
		most = max(most, e, -e)
	}
	return most
}
