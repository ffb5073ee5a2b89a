package card

import (
	"fmt"
	"math"
	"math/bits"

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

// Best returns the net of a kind of box that takes the least board, by the rectangle
// around it. With a sheet of a size, not zero, it is one whose parts fit on the sheet,
// in as few parts as can be. Where a face alone is larger than the sheet every face is a
// part, and those that are too large are cut along seams; it is an error where the sheet
// is too small for that.
func Best(k pack.Kind, board float64, sheet r2.Point) (*Net, error) {
	var best *Net
	least, fewest := math.Inf(1), int(joints)
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
			if area, fits := n.area(sheet); fits && (count < fewest || area < least) {
				best, least, fewest = n, area, count
			}
		}
	}
	if best == nil {
		return seamedNet(k, board, sheet)
	}
	return best, nil
}

// seamedNet is the net of single faces, some of which are cut along seams.
func seamedNet(k pack.Kind, board float64, sheet r2.Point) (*Net, error) {
	n, err := NetOf(k, board, ways[0], 1<<joints-1)
	if err != nil {
		return nil, err
	}
	n.sheet = sheet
	for part := range n.Parts {
		if n.isSeamed(part) && (len(n.seams(part)) == 0 || min(sheet.X, sheet.Y) < 2*n.flapWidth()) {
			return nil, fmt.Errorf("%w: a face of %s is larger than the sheet of %g × %g mm; take a larger sheet", ErrBoard, k.Name, sheet.X, sheet.Y)
		}
	}
	return n, nil
}

// area is that of the rectangles around the parts, and whether all fit on a sheet.
func (n *Net) area(sheet r2.Point) (area float64, fits bool) {
	for part := range n.Parts {
		s := n.Bounds(part).Size()
		area += s.X * s.Y
		if !fitsOn(s, sheet) {
			return 0, false
		}
	}
	return area, true
}
