package frame

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// ErrThrough is wrapped for cuts that would go through.
var ErrThrough = errors.New("a notch that deep would cut through")

// Slanted tells whether the keep-out is a round one that does not lie straight across.
func (k KeepOut) Slanted() bool {
	return k.Round != nil && (k.Round.From.X != k.Round.To.X || k.Round.From.Z != k.Round.To.Z)
}

// Surface returns the keep-out as one side-view outline, not always convex, swept across:
// the surface that the depth of a notch is measured from. A round one that lies straight
// across becomes a prism with flat sides around it (see RoundError). It is false for one
// that is slanted; see Drum.
func (k KeepOut) Surface() (Profile, bool) {
	switch {
	case k.Slanted() || k.Piece != nil:
		return Profile{}, false
	case k.Round != nil:
		return k.Round.profile(), true
	case k.Box != nil:
		lo, hi := k.Box.Low, k.Box.High
		corners := []r2.Point{{X: lo.X, Y: lo.Z}, {X: hi.X, Y: lo.Z}, {X: hi.X, Y: hi.Z}, {X: lo.X, Y: hi.Z}}
		return Profile{Outline: geom.Polygon{Corners: corners}, Across: r1.Interval{Lo: lo.Y, Hi: hi.Y}}, true
	}
	return *k.Profile, true
}

// Prisms returns the convex solids that a profile swept across is made of, drawn in the
// side view and not snapped.
func (p Profile) Prisms() []geom.Prism {
	var list []geom.Prism
	for _, piece := range p.Outline.ConvexPieces() {
		list = append(list, geom.Prism{Profile: piece, Depth: p.Across})
	}
	return list
}

// Drum returns a round keep-out with flat sides around it (see RoundError).
func (r Round) Drum() geom.Polyhedron { return geom.PolyhedronAround(r.Cylinder(), r.sides()) }

// Cylinder returns a round keep-out as measured, not snapped.
func (r Round) Cylinder() geom.Cylinder {
	return geom.Cylinder{From: r.From, To: r.To, Radius: r.Diameter / 2}
}

// RoundError is how far in mm the flat sides that stand for a round keep-out in notching
// may be outside of it: 0.1 mm, and above a diameter of 370 mm a little more.
const RoundError = 0.1

// sides is how many flat sides stand for it.
func (r Round) sides() int {
	n := 16
	for n < 96 && geom.Circumradius(r.Diameter/2, n)-r.Diameter/2 > RoundError {
		n += 4
	}
	return n
}

// profile is one that lies straight across with flat sides around it.
func (r Round) profile() Profile {
	middle, _ := geom.SideView.Flatten(r.From)
	return Profile{
		Outline: geom.PolygonAround(middle, r.Diameter/2, r.sides()),
		Across:  r1.Interval{Lo: min(r.From.Y, r.To.Y), Hi: max(r.From.Y, r.To.Y)},
	}
}

// core is what of a round keep-out is d or more from its flat sides and its ends, but
// round: it goes through the corners that the sides have moved in by d.
func (r Round) core(d float64) (Round, bool) {
	along := r.To.Sub(r.From)
	if along.Norm() <= 2*d || r.Diameter <= 2*d {
		return Round{}, false
	}
	in := along.Normalize().Mul(d)
	return Round{From: r.From.Add(in), To: r.To.Sub(in), Diameter: 2 * geom.Circumradius(r.Diameter/2-d, r.sides())}, true
}

// Core returns what a notch d deep may not reach, as keep-outs: of a convex one itself
// with every face moved in by d, of others convex pieces of what is d or more from their
// surface. The error is ErrThrough, with the name, when nothing would be left, and of what
// is left of a drum that was notched: it is notched no further.
func (k KeepOut) Core(d float64) ([]KeepOut, error) {
	through := fmt.Errorf("%s: %w", k.Name, ErrThrough)
	if k.Piece != nil {
		return nil, through
	}
	p, ok := k.Surface()
	if !ok {
		in, left := k.Round.core(d)
		if !left {
			return nil, through
		}
		k.Round = &in
		return []KeepOut{k}, nil
	}
	if p.Across.Length() <= 2*d {
		return nil, through
	}
	if k.Box != nil {
		in := r3.Vector{X: d, Y: d, Z: d}
		lo, hi := k.Box.Low.Add(in), k.Box.High.Sub(in)
		if lo.X >= hi.X || lo.Z >= hi.Z {
			return nil, through
		}
		k.Box = &Corners{Low: lo, High: hi}
		return []KeepOut{k}, nil
	}
	var list []KeepOut
	for _, outline := range core(p.Outline, d) {
		in := k
		in.Round, in.Profile = nil, &Profile{Outline: outline, Across: p.Across.Expanded(-d)}
		list = append(list, in)
	}
	if len(list) == 0 {
		return nil, through
	}
	return list, nil
}

// Thickness is the diameter in millimetres, to 0.01, of the largest ball inside a
// keep-out. A notch of half of it cuts through.
func (k KeepOut) Thickness() float64 {
	low, high := 0.0, 8000.0
	for high-low > 0.005 {
		d := (low + high) / 2
		if _, err := k.Core(d); err == nil {
			low = d
		} else {
			high = d
		}
	}
	return math.Round(200*low) / 100
}

// WithRailsOff returns the frame without the rails of the given indices.
func (f *Frame) WithRailsOff(off []int) *Frame {
	out := *f
	out.Rails = nil
	for i, r := range f.Rails {
		if !slices.Contains(off, i) {
			out.Rails = append(out.Rails, r)
		}
	}
	return &out
}

// WithKeepOut returns the frame with others in place of keep-out i.
func (f *Frame) WithKeepOut(i int, others ...KeepOut) *Frame {
	out := *f
	out.KeepOuts = slices.Concat(f.KeepOuts[:i], others, f.KeepOuts[i+1:])
	return &out
}
