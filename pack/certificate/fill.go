package certificate

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
)

// filler tries all places on a board, cell by cell from the lowest on, row by row: the
// first cell that is undecided is the low corner of a box, or stays empty. Left out is
// what cannot be, or need not be:
//
//   - A box that lies on nothing. Boxes that go in do so pushed down as well (see Cells).
//   - What leaves too many cells empty. The undecided cells of a layer will be covered by
//     boxes that are still to be placed, with their sections across the axis, or stay
//     empty: as many as the greatest sum of sections that is not above has too few.
type filler struct {
	board
	cells     []content
	undecided [3][]int // by axis and layer: how many cells are
	need      int      // cells that the boxes still to be placed cover at least
	tries     int      // that are left
}

// content is what is known of a cell.
type content byte

const (
	undecided content = iota
	covered
	leftEmpty
)

// tryAll checks that the boxes go in nowhere. It is an error where they do, and where that
// takes more tries.
func (b board) tryAll(tries int) error {
	b = b.flattened()
	all := volume(b.size)
	if all > mostCells {
		return fmt.Errorf("there are more than %d cells to try all places in: %w", mostCells, ErrTooMuch)
	}
	f := filler{board: b, cells: make([]content, all), tries: tries}
	for _, k := range b.kinds {
		f.need += k.count * k.least()
	}
	for axis, n := range b.size {
		f.undecided[axis] = slices.Repeat([]int{all / n}, n)
	}
	switch {
	case f.goesIn(0):
		return errors.New("the boxes go into the cells")
	case f.tries < 0:
		return fmt.Errorf("trying all places takes more than %d steps: %w", tries, ErrTooMuch)
	}
	return nil
}

// least is how many cells a box covers at least.
func (k cellKind) least() int {
	return volume(slices.MinFunc(k.shapes, func(s, o [3]int) int { return cmp.Compare(volume(s), volume(o)) }))
}

// flattened is the board with one layer along each axis along which no two boxes go beside
// each other, for those have to keep clear of each other along the other axes; and with the
// axes in the order of their lengths.
func (b board) flattened() board {
	size := b.size
	for axis, n := range size {
		if !slices.ContainsFunc(b.kinds, func(k cellKind) bool { return k.goesBesideItself(axis, n) }) {
			size[axis] = 1
		}
	}
	order := []int{0, 1, 2}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(size[i], size[j]) })
	var flat board
	for to, from := range order {
		flat.size[to] = size[from]
	}
	for _, k := range b.kinds {
		var shapes [][3]int
		for _, s := range k.shapes {
			var shape [3]int
			for to, from := range order {
				shape[to] = min(s[from], flat.size[to])
			}
			if !slices.Contains(shapes, shape) {
				shapes = append(shapes, shape)
			}
		}
		flat.add(k.count, shapes)
	}
	return flat
}

// goesBesideItself tells whether some shape is no longer than half of a length.
func (k cellKind) goesBesideItself(axis, length int) bool {
	return slices.ContainsFunc(k.shapes, func(s [3]int) bool { return 2*s[axis] <= length })
}

func (f *filler) cell(at [3]int) int { return (at[2]*f.size[1]+at[1])*f.size[0] + at[0] }

// goesIn tells whether the boxes still to be placed go in, with all cells before one
// decided. It gives up when there are no tries left.
func (f *filler) goesIn(from int) bool {
	if f.tries--; f.tries < 0 {
		return false
	}
	if f.need == 0 {
		return true
	}
	for from < len(f.cells) && f.cells[from] != undecided {
		from++
	}
	if from == len(f.cells) || f.lacksCells() {
		return false
	}
	at := [3]int{from % f.size[0], from / f.size[0] % f.size[1], from / f.size[0] / f.size[1]}
	for i := range f.kinds {
		k := &f.kinds[i]
		for s := 0; k.count > 0 && s < len(k.shapes); s++ {
			if f.canLie(at, k.shapes[s]) && f.goesInWith(k, at, k.shapes[s]) {
				return true
			}
		}
	}
	single := [3]int{1, 1, 1}
	f.set(at, single, leftEmpty)
	found := f.goesIn(from + 1)
	f.set(at, single, undecided)
	return found
}

// goesInWith is goesIn with a box at a place.
func (f *filler) goesInWith(k *cellKind, at, shape [3]int) bool {
	f.set(at, shape, covered)
	k.count--
	f.need -= k.least()
	found := f.goesIn(f.cell(at) + 1)
	f.need += k.least()
	k.count++
	f.set(at, shape, undecided)
	return found
}

// canLie tells whether a box can have its low corner at a cell.
func (f *filler) canLie(at, shape [3]int) bool {
	for axis := range 3 {
		if at[axis]+shape[axis] > f.size[axis] {
			return false
		}
	}
	free := f.every(at, shape, undecided)
	if at[2] == 0 || !free {
		return free
	}
	under := [3]int{at[0], at[1], at[2] - 1}
	return !f.every(under, [3]int{shape[0], shape[1], 1}, leftEmpty)
}

// every tells whether all cells of a block are of one content.
func (f *filler) every(at, shape [3]int, c content) bool {
	for z := range shape[2] {
		for y := range shape[1] {
			row := f.cell([3]int{at[0], at[1] + y, at[2] + z})
			for _, o := range f.cells[row : row+shape[0]] {
				if o != c {
					return false
				}
			}
		}
	}
	return true
}

// set decides cells that are undecided, or takes that back.
func (f *filler) set(at, shape [3]int, c content) {
	for z := range shape[2] {
		for y := range shape[1] {
			row := f.cell([3]int{at[0], at[1] + y, at[2] + z})
			for x := range shape[0] {
				f.cells[row+x] = c
			}
		}
	}
	change := -1
	if c == undecided {
		change = 1
	}
	for axis, n := range shape {
		for i := range n {
			f.undecided[axis][at[axis]+i] += change * volume(shape) / n
		}
	}
}

// lacksCells tells whether, along some axis, so many cells will stay empty that too few are
// left.
func (f *filler) lacksCells() bool {
	left := -f.need
	for _, n := range f.undecided[0] {
		left += n
	}
	for axis := range 3 {
		empty := 0
		sums := f.sumsOfSections(axis)
		for _, n := range f.undecided[axis] {
			for n < wordSize && sums>>n&1 == 0 {
				n--
				empty++
			}
		}
		if empty > left {
			return true
		}
	}
	return false
}

const wordSize = 64

// sumsOfSections has a bit for every number of cells below wordSize that boxes which are
// still to be placed can cover in a layer.
func (f *filler) sumsOfSections(axis int) uint64 {
	sums := uint64(1)
	for _, k := range f.kinds {
		for range k.count {
			more := sums
			for _, s := range k.shapes {
				more |= sums << (volume(s) / s[axis]) // 0 for sections beyond a word
			}
			if more == sums {
				break
			}
			sums = more
		}
	}
	return sums
}
