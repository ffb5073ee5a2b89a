package frame

import "rackwright/geom"

// Piece is what is left of another thing that was notched. No file has it.
type Piece geom.Polyhedron

// Solids implements Shape.
func (p Piece) Solids(nearer float64) []geom.Solid {
	return []geom.Solid{geom.Polyhedron(p).Grown(nearer)}
}

// Surface implements Shape; it has none.
func (p Piece) Surface() (Profile, bool) { return Profile{}, false }

// core implements Shape: it is notched no further.
func (p Piece) core(float64) []Shape { return nil }

func (p Piece) in(k KeepOut) KeepOut {
	k.Piece = (*geom.Polyhedron)(&p)
	return k
}
