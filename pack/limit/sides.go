package limit

import (
	"math"

	"github.com/golang/geo/r2"

	"rackwright/frame"
	"rackwright/geom"
)

// A side of the outline that stands further out, parallel to itself, takes its two
// corners along the sides next to it. What that does to a row follows from how the
// point moves at which the row touches the frame.

// sides are the sides of the outline, further out.
func (s *scene) sides() []Measured {
	o := s.problem.Frame.Opening
	var list []Measured
	for i := range o.Outline.Corners {
		list = append(list, Measured{
			Sort: Side, Of: o.SideName(i), What: "out", Accuracy: s.problem.Frame.SideAccuracy(i),
			rates: func(r row) float64 { return s.sideRate(r, i) },
		})
	}
	return list
}

// sideRate is the rate of a row with side i further out.
func (s *scene) sideRate(r row, i int) float64 {
	if r.j != onFrame || s.obstacles[r.obstacle].Kind != frame.Side {
		return 0
	}
	u := r2.Point{X: r.u.X, Y: r.u.Z}
	e := s.edge(r, u)
	t := 0.0
	if d := e[1].at.Sub(e[0].at); d.Norm() > 0 {
		w := s.touching(r, u)
		t = max(0, min(1, w.Sub(e[0].at).Dot(d)/d.Dot(d)))
	}
	v := s.velocity(e[0].corner, i).Mul(1 - t).Add(s.velocity(e[1].corner, i).Mul(t))
	return u.Dot(v)
}

// end is one end of the edge of the outline's solids that a row touches.
type end struct {
	corner int // of the outline
	at     r2.Point
}

// edge is what a row touches of the outline: the edge square to u, or twice the corner
// that is nearest along u.
func (s *scene) edge(r row, u r2.Point) [2]end {
	var corners []r2.Point
	if prism, ok := s.obstacles[r.obstacle].Solid.(geom.Prism); ok {
		corners = prism.Profile.Corners
	} else {
		corners = s.problem.Frame.Opening.Outline.Hull().Corners
	}
	// Of a half-space along its own normal the hull's edge lies farthest along u; of a
	// prism in front of the box its corner lies nearest.
	sign := 1.0
	if _, half := s.obstacles[r.obstacle].Solid.(geom.HalfSpace); half {
		sign = -1
	}
	best, second := -1, -1
	value := func(k int) float64 { return sign * u.Dot(corners[k]) }
	for k := range corners {
		switch {
		case best < 0 || value(k) < value(best):
			best, second = k, best
		case second < 0 || value(k) < value(second):
			second = k
		}
	}
	first := end{s.cornerAt(corners[best]), corners[best]}
	// An edge this near to square, in mm from end to end, is square for a tape.
	if second < 0 || value(second)-value(best) > 0.02 {
		return [2]end{first, first}
	}
	return [2]end{first, {s.cornerAt(corners[second]), corners[second]}}
}

// cornerAt is the index of the outline's corner nearest to a point.
func (s *scene) cornerAt(p r2.Point) int {
	best, least := 0, math.Inf(1)
	for k, c := range s.problem.Frame.Opening.Outline.Corners {
		if d := c.Sub(p).Norm(); d < least {
			best, least = k, d
		}
	}
	return best
}

// touching is the point of the row's box farthest along u, the middle of its face where
// that is square to u.
func (s *scene) touching(r row, u r2.Point) r2.Point {
	b := r.a.bar
	p := b.Centre
	for k, half := range []float64{b.Half.X, b.Half.Y, b.Half.Z} {
		d := b.Axes[k].X*u.X + b.Axes[k].Z*u.Y
		if math.Abs(d) > 1e-6 {
			p = p.Add(b.Axes[k].Mul(math.Copysign(half, d)))
		}
	}
	return r2.Point{X: p.X, Y: p.Z}
}

// velocity is how far corner k of the outline moves when side i stands a millimetre
// further out.
func (s *scene) velocity(k, i int) r2.Point {
	corners := s.problem.Frame.Opening.Outline.Corners
	n := len(corners)
	side := corners[(i+1)%n].Sub(corners[i])
	out := r2.Point{X: side.Y, Y: -side.X}.Normalize()
	var along r2.Point
	switch k {
	case i:
		along = corners[i].Sub(corners[(i+n-1)%n])
	case (i + 1) % n:
		along = corners[(i+2)%n].Sub(corners[(i+1)%n])
	default:
		return r2.Point{}
	}
	rise := along.Dot(out)
	if math.Abs(rise) < 1e-9*along.Norm() {
		return out // the two sides are one line
	}
	return along.Mul(1 / rise)
}
