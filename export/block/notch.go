package block

import "rackwright/geom"

// OfNotch is what is cut out of a keep-out as one part to print, at a scale (0 is true
// size), lying on its right-hand side: to hold against the keep-out before it is cut, and
// into the cut after. It is false where the parts have no closed surface together, but one
// each: a slicer joins them.
func OfNotch(name string, solids []geom.Solid, scale float64) (piece Piece, one bool, err error) {
	m, one, err := merged(solids)
	if err != nil {
		return Piece{}, false, err
	}
	if scale == 0 {
		scale = 1
	}
	return laid(name, m, scale, true), one, nil
}
