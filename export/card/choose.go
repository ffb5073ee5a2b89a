package card

import (
	"cmp"
	"fmt"
	"math/bits"
	"slices"

	"github.com/golang/geo/r2"

	"rackwright/pack"
)

// ways are the nets of a box that differ in size: which faces are the ends, and which
// of the walls carries them.
var ways = []pack.Orientation{
	{Up: pack.Top, Front: pack.Front},
	{Up: pack.Top, Front: pack.Left},
	{Up: pack.Front, Front: pack.Top},
	{Up: pack.Front, Front: pack.Left},
	{Up: pack.Left, Front: pack.Front},
	{Up: pack.Left, Front: pack.Top},
}

// Best returns the net of a kind of box that takes the least board, the first of Choices.
func Best(k pack.Kind, board float64, sheet r2.Point) (*Net, error) {
	all, err := Choices(k, board, sheet)
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// Choices returns the nets of a kind of box, those that take the least board first, by the
// rectangle around them; of several with the same rectangles around their parts one. With a
// sheet of a size, not zero, they are those whose parts fit on the sheet, in as few parts as
// can be. Where a face alone is larger than the sheet every face is a part, and those that
// are too large are cut along seams, into equal pieces or into ones as large as the sheet
// takes; it is an error where the sheet is too small for that.
func Choices(k pack.Kind, board float64, sheet r2.Point) ([]*Net, error) {
	var all []*Net
	fewest := int(joints)
	for _, way := range ways {
		for cut := range Joints(1) << joints {
			count := bits.OnesCount(uint(cut))
			if count > fewest || sheet == (r2.Point{}) && count > 0 {
				continue
			}
			n, err := NetOf(k, board, way, cut)
			if err != nil {
				return nil, err
			}
			if !n.fits(sheet) {
				continue
			}
			if count < fewest {
				all, fewest = nil, count
			}
			all = append(all, n)
		}
	}
	if len(all) == 0 {
		return seamedNets(k, board, sheet)
	}
	slices.SortStableFunc(all, func(a, b *Net) int { return cmp.Compare(a.area(), b.area()) })
	return slices.CompactFunc(all, (*Net).alike), nil
}

// seamedNets are the nets of single faces, some of which are cut along seams.
func seamedNets(k pack.Kind, board float64, sheet r2.Point) ([]*Net, error) {
	var all []*Net
	for _, full := range []bool{false, true} {
		n, err := NetOf(k, board, ways[0], 1<<joints-1)
		if err != nil {
			return nil, err
		}
		n.sheet, n.full = sheet, full
		if n.canBeSeamed() {
			all = append(all, n)
		}
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("%w: a face of %s is larger than the sheet leaves room for, %g × %g mm; take a larger sheet", ErrBoard, k.Name, sheet.X, sheet.Y)
	}
	return all, nil
}

// canBeSeamed tells whether all parts go onto the sheet, whole or in pieces.
func (n *Net) canBeSeamed() bool {
	for part := range n.Parts {
		if n.isSeamed(part) && (len(n.seams(part)) == 0 || min(n.sheet.X, n.sheet.Y) < 2*n.flapWidth()) {
			return false
		}
	}
	return true
}

// fits tells whether all parts fit on a sheet as they are.
func (n *Net) fits(sheet r2.Point) bool {
	for part := range n.Parts {
		if !fitsOn(n.Bounds(part).Size(), sheet) {
			return false
		}
	}
	return true
}

// area is that of the rectangles around the parts.
func (n *Net) area() float64 {
	area := 0.0
	for part := range n.Parts {
		s := n.Bounds(part).Size()
		area += s.X * s.Y
	}
	return area
}

// alike tells whether the rectangles around the parts are the same, one by one.
func (n *Net) alike(o *Net) bool {
	for part := range n.Parts {
		if n.Bounds(part).Size() != o.Bounds(part).Size() {
			return false
		}
	}
	return true // both have as many parts
}
