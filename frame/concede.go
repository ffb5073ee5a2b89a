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

// Errors of keep-outs that cannot be notched.
var (
	// ErrAskew is wrapped for round keep-outs that do not lie straight across.
	ErrAskew = errors.New("a round keep-out is notched only where it lies straight across, as a motor does; give it as an outline or a box")
	// ErrThrough is wrapped for cuts that would go through.
	ErrThrough = errors.New("a notch that deep would cut through")
)

// Prisms returns a keep-out as the convex solids that it is made of, drawn in the side
// view and not snapped: a profile in its convex pieces, a box whole. A round one that lies
// straight across becomes a prism with flat sides around it (see RoundError). The error
// is ErrAskew for other round ones, with the name.
func (k KeepOut) Prisms() ([]geom.Prism, error) {
	p, err := k.Surface()
	if err != nil {
		return nil, err
	}
	var list []geom.Prism
	for _, piece := range p.Outline.ConvexPieces() {
		list = append(list, geom.Prism{Profile: piece, Depth: p.Across})
	}
	return list, nil
}

// Surface returns the keep-out as one side-view outline, not always convex, swept across:
// the surface that the depth of a notch is measured from. The error is that of Prisms.
func (k KeepOut) Surface() (Profile, error) {
	switch {
	case k.Round != nil:
		return k.Round.profile(k.Name)
	case k.Box != nil:
		lo, hi := k.Box.Low, k.Box.High
		corners := []r2.Point{{X: lo.X, Y: lo.Z}, {X: hi.X, Y: lo.Z}, {X: hi.X, Y: hi.Z}, {X: lo.X, Y: hi.Z}}
		return Profile{Outline: geom.Polygon{Corners: corners}, Across: r1.Interval{Lo: lo.Y, Hi: hi.Y}}, nil
	}
	return *k.Profile, nil
}

// RoundError is how far in mm the flat sides that stand for a round keep-out in notching
// may be outside of it: 0.1 mm, and above a diameter of 370 mm a little more.
const RoundError = 0.1

// profile is the round keep-out with flat sides around it.
func (r Round) profile(name string) (Profile, error) {
	if r.From.X != r.To.X || r.From.Z != r.To.Z {
		return Profile{}, fmt.Errorf("%s: %w", name, ErrAskew)
	}
	radius := r.Diameter / 2
	// A corner of n sides around a circle is radius/cos(π/n) from its middle.
	n := 16
	for n < 96 && radius/math.Cos(math.Pi/float64(n))-radius > RoundError {
		n += 4
	}
	corners := make([]r2.Point, n)
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / float64(n))
		reach := radius / math.Cos(math.Pi/float64(n))
		corners[i] = r2.Point{X: r.From.X + reach*cos, Y: r.From.Z + reach*sin}
	}
	across := r1.Interval{Lo: min(r.From.Y, r.To.Y), Hi: max(r.From.Y, r.To.Y)}
	return Profile{Outline: geom.Polygon{Corners: corners}, Across: across}, nil
}

// Core returns what a notch d deep may not reach, as keep-outs: of a convex one itself
// with every face moved in by d, of others convex pieces of what is d or more from their
// surface. Besides the error of Prisms it has ErrThrough, when nothing would be left.
func (k KeepOut) Core(d float64) ([]KeepOut, error) {
	p, err := k.Surface()
	if err != nil {
		return nil, err
	}
	if p.Across.Length() <= 2*d {
		return nil, fmt.Errorf("%s: %w", k.Name, ErrThrough)
	}
	if k.Box != nil {
		in := r3.Vector{X: d, Y: d, Z: d}
		lo, hi := k.Box.Low.Add(in), k.Box.High.Sub(in)
		if lo.X >= hi.X || lo.Z >= hi.Z {
			return nil, fmt.Errorf("%s: %w", k.Name, ErrThrough)
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
		return nil, fmt.Errorf("%s: %w", k.Name, ErrThrough)
	}
	return list, nil
}

// Thickness is the diameter in millimetres, to 0.01, of the largest ball inside a
// keep-out that can be notched, 0 for others. A notch of half of it cuts through.
func (k KeepOut) Thickness() float64 {
	if _, err := k.Surface(); err != nil {
		return 0
	}
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
