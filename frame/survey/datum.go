package survey

import (
	"math"

	"github.com/golang/geo/r2"
	"gonum.org/v1/gonum/mat"
)

// holds are the movements that the datum forbids, one a row, over all coordinates and the
// level. Known marks stay; else the origin stays, and the end of the datum's line moves only
// along it; a free network neither moves nor turns as a whole. The level stays where no
// height is measured.
func (n *Network) holds(s state) [][]float64 {
	size := 2*len(n.Marks) + 1
	var rows [][]float64
	still := func(k int) {
		row := make([]float64, size)
		row[k] = 1
		rows = append(rows, row)
	}
	switch known := n.known(); {
	case len(known) > 0:
		for _, i := range known {
			still(2 * i)
			still(2*i + 1)
		}
	case n.Datum.Free:
		rows = append(rows, whole(s.at, size)...)
	default:
		still(2 * n.Datum.Origin)
		still(2*n.Datum.Origin + 1)
		rows = append(rows, n.Datum.straight(size))
	}
	if !n.has(Height) {
		still(size - 1)
	}
	return rows
}

// straight forbids the ends of the datum's line to move across it.
func (d Datum) straight(size int) []float64 {
	row := make([]float64, size)
	sin, cos := math.Sincos(d.Slope)
	row[2*d.From], row[2*d.From+1] = sin, -cos
	row[2*d.To], row[2*d.To+1] = -sin, cos
	return row
}

// whole are the movements of all marks together: along x, along z, and a turn about their
// middle.
func whole(at []r2.Point, size int) [][]float64 {
	x, z, turn := make([]float64, size), make([]float64, size), make([]float64, size)
	centre := middle(at)
	for i, p := range at {
		d := p.Sub(centre)
		x[2*i], z[2*i+1] = 1, 1
		turn[2*i], turn[2*i+1] = -d.Y, d.X
	}
	return [][]float64{x, z, turn}
}

func middle(at []r2.Point) r2.Point {
	var sum r2.Point
	for _, p := range at {
		sum = sum.Add(p)
	}
	return sum.Mul(1 / float64(max(1, len(at))))
}

// allowed is a basis of the movements that the datum allows, one a column.
func (n *Network) allowed(s state) *mat.Dense {
	rows := n.holds(s)
	size := 2*len(n.Marks) + 1
	held := mat.NewDense(len(rows), size, nil)
	for i, r := range rows {
		unit := mat.NewVecDense(size, r)
		if norm := mat.Norm(unit, 2); norm > 0 {
			unit.ScaleVec(1/norm, unit)
		}
		held.SetRow(i, unit.RawVector().Data)
	}
	var svd mat.SVD
	svd.Factorize(held, mat.SVDFull)
	var v mat.Dense
	svd.VTo(&v)
	rank := 0
	for _, value := range svd.Values(nil) {
		if value > flatness {
			rank++
		}
	}
	return mat.DenseCopyOf(v.Slice(0, size, rank, size))
}

// flatness is the least singular value, over the greatest, of what is not flat: rounding
// makes them 1e-15 or so, and marks a hair from a line 1e-6.
const flatness = 1e-9

// loose are the movements of the whole network that no measurement sees, of those along x
// and z and a turn; the datum alone holds them. None are, where marks are known.
func (n *Network) loose(s state) [][]float64 {
	if len(n.known()) > 0 {
		return nil
	}
	size := 2*len(n.Marks) + 1
	moves := whole(s.at, size)
	if n.has(Slope) || n.has(Height) {
		return moves[:2]
	}
	return moves
}

// placed returns the state moved and turned as a whole so that the datum holds; a network
// with known marks is laid onto them as well as can be. mirrored turns it over first.
func (n *Network) placed(s state, mirrored bool) state {
	out := s.clone()
	if mirrored {
		for i := range out.at {
			out.at[i].Y = -out.at[i].Y
		}
	}
	if known := n.known(); len(known) > 0 {
		n.lay(out.at, known)
	} else if !n.Datum.Free {
		d := out.at[n.Datum.To].Sub(out.at[n.Datum.From])
		turnAll(out.at, n.Datum.Slope-math.Atan2(d.Y, d.X), out.at[n.Datum.Origin])
		shift := out.at[n.Datum.Origin]
		for i := range out.at {
			out.at[i] = out.at[i].Sub(shift)
		}
	}
	out.level = n.levelOf(out)
	return out
}

// lay moves and turns places so that those of known marks come nearest to where they are
// (least squares of two point sets), and then puts these there.
func (n *Network) lay(at []r2.Point, known []int) {
	var from, to []r2.Point
	for _, i := range known {
		from, to = append(from, at[i]), append(to, *n.Marks[i].At)
	}
	a, b := middle(from), middle(to)
	dot, cross := 0.0, 0.0
	for i := range from {
		p, q := from[i].Sub(a), to[i].Sub(b)
		dot, cross = dot+p.Dot(q), cross+p.Cross(q)
	}
	turnAll(at, math.Atan2(cross, dot), a)
	for i := range at {
		at[i] = at[i].Add(b.Sub(a))
	}
	for _, i := range known {
		at[i] = *n.Marks[i].At
	}
}

func turnAll(at []r2.Point, by float64, about r2.Point) {
	sin, cos := math.Sincos(by)
	for i, p := range at {
		d := p.Sub(about)
		at[i] = about.Add(r2.Point{X: cos*d.X - sin*d.Y, Y: sin*d.X + cos*d.Y})
	}
}

// levelOf is the level line that suits the heights best for given places.
func (n *Network) levelOf(s state) float64 {
	sum, weight := 0.0, 0.0
	for _, m := range n.Measurements {
		if m.Sort == Height {
			w := 1 / square(m.SD)
			sum, weight = sum+w*(s.at[m.From].Y-m.Value), weight+w
		}
	}
	if weight == 0 {
		return 0
	}
	return sum / weight
}
