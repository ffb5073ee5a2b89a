package frame

import (
	"errors"
	"fmt"
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// Errors of keep-outs that cannot be notched.
var (
	// ErrRound is wrapped for round keep-outs.
	ErrRound = errors.New("a round keep-out is not notched; give it as an outline")
	// ErrNotConvex is wrapped for outlines with a corner that points inward.
	ErrNotConvex = errors.New("an outline with a corner that points inward is not notched; give it as two keep-outs")
	// ErrThrough is wrapped for cuts that would go through.
	ErrThrough = errors.New("a notch that deep would cut through")
)

// Prism returns a keep-out that is no round one and has a convex outline as the solid
// that it is, not snapped. The error is ErrRound or ErrNotConvex, with the name.
func (k KeepOut) Prism() (geom.Prism, error) {
	switch {
	case k.Round != nil:
		return geom.Prism{}, fmt.Errorf("%s: %w", k.Name, ErrRound)
	case k.Box != nil:
		lo, hi := k.Box.Low, k.Box.High
		corners := []r2.Point{{X: lo.X, Y: lo.Z}, {X: hi.X, Y: lo.Z}, {X: hi.X, Y: hi.Z}, {X: lo.X, Y: hi.Z}}
		return geom.Prism{Profile: geom.Polygon{Corners: corners}, Depth: r1.Interval{Lo: lo.Y, Hi: hi.Y}}, nil
	case !k.Profile.Outline.IsConvex():
		return geom.Prism{}, fmt.Errorf("%s: %w", k.Name, ErrNotConvex)
	}
	return geom.Prism{Profile: k.Profile.Outline.Hull(), Depth: k.Profile.Across}, nil
}

// Shrunk returns the keep-out with every face moved in by d: what a notch d deep may
// not reach. Besides the errors of Prism it has ErrThrough, when nothing would be left.
func (k KeepOut) Shrunk(d float64) (KeepOut, error) {
	p, err := k.Prism()
	if err != nil {
		return k, err
	}
	if k.Box != nil {
		in := r3.Vector{X: d, Y: d, Z: d}
		lo, hi := k.Box.Low.Add(in), k.Box.High.Sub(in)
		if lo.X >= hi.X || lo.Y >= hi.Y || lo.Z >= hi.Z {
			return k, fmt.Errorf("%s: %w", k.Name, ErrThrough)
		}
		k.Box = &Corners{Low: lo, High: hi}
		return k, nil
	}
	outline, ok := p.Profile.Offset(-d)
	if !ok || p.Depth.Length() <= 2*d {
		return k, fmt.Errorf("%s: %w", k.Name, ErrThrough)
	}
	k.Profile = &Profile{Outline: outline, Across: p.Depth.Expanded(-d)}
	return k, nil
}

// Thickness is the diameter in millimetres, to 0.01, of the largest ball inside a
// keep-out that can be notched, 0 for others. A notch of half of it cuts through.
func (k KeepOut) Thickness() float64 {
	if _, err := k.Prism(); err != nil {
		return 0
	}
	low, high := 0.0, 8000.0
	for high-low > 0.005 {
		d := (low + high) / 2
		if _, err := k.Shrunk(d); err == nil {
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
		keep := true
		for _, k := range off {
			keep = keep && k != i
		}
		if keep {
			out.Rails = append(out.Rails, r)
		}
	}
	return &out
}

// WithKeepOut returns the frame with others in place of keep-out i.
func (f *Frame) WithKeepOut(i int, others ...KeepOut) *Frame {
	out := *f
	out.KeepOuts = append([]KeepOut(nil), f.KeepOuts[:i]...)
	out.KeepOuts = append(out.KeepOuts, others...)
	out.KeepOuts = append(out.KeepOuts, f.KeepOuts[i+1:]...)
	return &out
}
