package beam

import (
	"github.com/golang/geo/r3"
)

// The degrees of freedom of a member in its own axes: moves along x, y, z and turns about
// them at its first end, then at its second.

// stiffness is that of the member in its own axes.
func (m member) stiffness() [12][12]float64 {
	e, l := m.material.E, m.length
	var k [12][12]float64
	set := func(i, j int, v float64) { k[i][j], k[j][i] = v, v }
	stretch(set, 0, e*m.section.Area/l)
	stretch(set, 3, m.material.G*m.section.J/l)
	bend(set, e*m.section.IZ, l, 1, 5, 1)
	bend(set, e*m.section.IY, l, 2, 4, -1)
	return k
}

// stretch fills in one degree of freedom that a bar has at both ends.
func stretch(set func(i, j int, v float64), at int, v float64) {
	set(at, at, v)
	set(at+6, at+6, v)
	set(at, at+6, -v)
}

// bend fills in bending in one plane: move and turn are the degrees of freedom in it, and
// sign tells whether the turn is about the axis that makes the plane right-handed.
func bend(set func(i, j int, v float64), ei, l float64, move, turn int, sign float64) {
	a, b, c, d := 12*ei/(l*l*l), sign*6*ei/(l*l), 4*ei/l, 2*ei/l
	set(move, move, a)
	set(move+6, move+6, a)
	set(move, move+6, -a)
	set(move, turn, b)
	set(move, turn+6, b)
	set(move+6, turn, -b)
	set(move+6, turn+6, -b)
	set(turn, turn, c)
	set(turn+6, turn+6, c)
	set(turn, turn+6, d)
}

// evenly are the forces at the ends, in the member's own axes, that do the work of an even
// load: w l/2 and w l²/12.
func (m member) evenly() [12]float64 {
	w, l := m.own(m.even), m.length
	var f [12]float64
	for i, v := range []float64{w.X, w.Y, w.Z} {
		f[i], f[i+6] = v*l/2, v*l/2
	}
	f[5], f[11] = w.Y*l*l/12, -w.Y*l*l/12
	f[4], f[10] = -w.Z*l*l/12, w.Z*l*l/12
	return f
}

// own turns a vector into the member's axes, outer out of them.
func (m member) own(v r3.Vector) r3.Vector {
	return r3.Vector{X: v.Dot(m.axes[0]), Y: v.Dot(m.axes[1]), Z: v.Dot(m.axes[2])}
}

func (m member) outer(v r3.Vector) r3.Vector {
	return m.axes[0].Mul(v.X).Add(m.axes[1].Mul(v.Y)).Add(m.axes[2].Mul(v.Z))
}

// rows are the twelve degrees of freedom as rows over the system's: each the unit vector of
// its axis at its node.
func (m member) rows() [12]row {
	var rows [12]row
	for end, n := range []int{m.from, m.to} {
		for i, axis := range m.axes {
			rows[6*end+i] = row{{n, axis, r3.Vector{}}}
			rows[6*end+3+i] = row{{n, r3.Vector{}, axis}}
		}
	}
	return rows
}

// row is a linear function of the displacements: the sum over its terms of move·u + turn·θ.
type row []term

type term struct {
	node       int
	move, turn r3.Vector
}

// at is the move along u of a point that a node carries on a stiff arm.
func (m *Model) at(n int, p, u r3.Vector) term {
	if n == Ground {
		return term{node: Ground}
	}
	return term{n, u, p.Sub(m.nodes[n].at).Cross(u)}
}

// apart is how much more a point of a moves along u than that of b.
func (m *Model) apart(a, b int, p, u r3.Vector) row {
	s, t := m.at(a, p, u), m.at(b, p, u)
	t.move, t.turn = t.move.Mul(-1), t.turn.Mul(-1)
	return row{s, t}
}

// turned is how much more a turns about u than b.
func turned(a, b int, u r3.Vector) row {
	return row{{a, r3.Vector{}, u}, {b, r3.Vector{}, u.Mul(-1)}}
}
