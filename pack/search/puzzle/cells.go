package puzzle

import "math/bits"

// mostCells is how many cells a container may have to be filled cell by
// cell. It is the size of the sets of cells below, four words.
const mostCells = 256

// cells is a set of cells of the container. A plain array: sets are compared and combined in a few
// instructions.
type cells [mostCells / 64]uint64

// set adds a cell.
func (c *cells) set(n int) { c[n/64] |= 1 << (n % 64) }

// meets tells whether two sets have a cell in common.
func (c *cells) meets(o *cells) bool {
	return c[0]&o[0]|c[1]&o[1]|c[2]&o[2]|c[3]&o[3] != 0
}

// toggle adds the cells of another set, or takes them away where they are all in it.
func (c *cells) toggle(o *cells) {
	for i := range c {
		c[i] ^= o[i]
	}
}

// firstFree is the first cell that is not in the set.
func (c *cells) firstFree() int {
	for i, w := range c {
		if w != ^uint64(0) {
			return 64*i + bits.TrailingZeros64(^w)
		}
	}
	return mostCells
}

// filler fills the container from the first free cell on: some box has its low corner
// there, or the cell stays empty.
//
// Complete, for of the boxes that cover the first free cell one has its low corner there: all cells
// before it are taken.
type filler struct {
	Problem
	clock
	full   cells
	counts []int
	placed []Place
	layers [3][]layer
	spots  [][]spot // by cell
}

// spot is a box with its low corner at a cell. Made once for each cell, shape and kind.
type spot struct {
	place Place
	cells cells
}

// layer is the cells with one coordinate in common. Every box takes a multiple of some
// number of cells from it, so the remainder of its own cells stays empty at least.
type layer struct{ empty, most int }

// solveCells decides a small container cell by cell.
func solveCells(p Problem, left clock) (Verdict, []Place) {
	f := &filler{Problem: p, clock: left}
	if !f.prepare() {
		return CannotFit, nil
	}
	switch {
	case f.fill():
		return Fits, f.placed
	case f.steps < 0:
		return Unknown, nil
	}
	return CannotFit, nil
}

// prepare lists the spots and how much of each layer may stay empty; false where that
// alone is too little. Cells beyond the volume are marked as taken, so that firstFree stops at the
// end.
func (f *filler) prepare() bool {
	for _, k := range f.Kinds {
		f.counts = append(f.counts, k.Count)
	}
	for n := range f.volume() {
		f.spots = append(f.spots, f.spotsAt(n))
	}
	// There is no box to be put there.
	for n := f.volume(); n < mostCells; n++ {
		f.full.set(n)
	}
	waste := f.waste()
	for axis := range 3 {
		area := f.volume() / f.Size[axis]
		least := area % f.unit(axis)
		// What one layer may waste is all that there is to waste, less what the other layers waste
		// in any case.
		most := waste - least*(f.Size[axis]-1)
		if most < least {
			return false
		}
		for range f.Size[axis] {
			f.layers[axis] = append(f.layers[axis], layer{most: most})
		}
	}
	return true
}

// unit is the greatest number that divides what any box takes from a layer across axis. What stays
// empty of a layer is its area less a multiple of this.
func (f *filler) unit(axis int) int {
	unit := 0
	for _, k := range f.Kinds {
		for _, s := range k.Shapes {
			unit = gcd(unit, s[(axis+1)%3]*s[(axis+2)%3])
		}
	}
	return max(unit, 1)
}

// gcd is the greatest common divisor; gcd(0, b) is b.
func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// cell numbers the cell at a place, x first.
func (f *filler) cell(at [3]int) int { return (at[2]*f.Size[1]+at[1])*f.Size[0] + at[0] }

// corner undoes cell.
func (f *filler) corner(n int) [3]int {
	return [3]int{n % f.Size[0], n / f.Size[0] % f.Size[1], n / f.Size[0] / f.Size[1]}
}

// spotsAt lists the boxes that have their low corner at a cell and are in the container.
func (f *filler) spotsAt(n int) []spot {
	var list []spot
	low := f.corner(n)
	for k, kind := range f.Kinds {
		for i, s := range kind.Shapes {
			if low[0]+s[0] > f.Size[0] || low[1]+s[1] > f.Size[1] || low[2]+s[2] > f.Size[2] {
				continue
			}
			list = append(list, spot{Place{k, i, low}, f.covered(low, s)})
		}
	}
	return list
}

// covered is the set of cells of a box.
func (f *filler) covered(low, size [3]int) cells {
	var c cells
	for x := range size[0] {
		for y := range size[1] {
			for z := range size[2] {
				c.set(f.cell([3]int{low[0] + x, low[1] + y, low[2] + z}))
			}
		}
	}
	return c
}

// fill places what is left, and tells whether it could. Undone, everything is as it was before.
func (f *filler) fill() bool {
	if !f.tick() {
		return false
	}
	if !f.left() {
		return true
	}
	n := f.full.firstFree()
	// Full, with boxes left.
	if n >= f.volume() {
		return false
	}
	for i := range f.spots[n] {
		s := &f.spots[n][i]
		if f.counts[s.place.Kind] == 0 || f.full.meets(&s.cells) {
			continue
		}
		f.full.toggle(&s.cells)
		f.counts[s.place.Kind]--
		f.placed = append(f.placed, s.place)
		if f.fill() {
			return true
		}
		f.placed = f.placed[:len(f.placed)-1]
		f.counts[s.place.Kind]++
		f.full.toggle(&s.cells)
	}
	return f.leaveEmpty(n)
}

// left tells whether some box is not placed yet.
func (f *filler) left() bool {
	for _, c := range f.counts {
		if c > 0 {
			return true
		}
	}
	return false
}

// leaveEmpty goes on with a cell that no box is in. It is allowed as long as no layer through the
// cell has lost more than it may.
func (f *filler) leaveEmpty(n int) bool {
	at := f.corner(n)
	ok := true
	for axis := range 3 {
		l := &f.layers[axis][at[axis]]
		l.empty++
		ok = ok && l.empty <= l.most
	}
	// The cell counts as taken from here on.
	one := cells{}
	one.set(n)
	f.full.toggle(&one)
	if ok && f.fill() {
		return true
	}
	f.full.toggle(&one)
	for axis := range 3 {
		f.layers[axis][at[axis]].empty--
	}
	return false
}
