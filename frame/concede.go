package frame

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// ErrThrough is wrapped for cuts that would go through.
var ErrThrough = errors.New("a notch that deep would cut through")

// Slanted tells whether the keep-out is a round one that does not lie straight across.
func (k KeepOut) Slanted() bool { return k.Round != nil && k.Round.Slanted() }

// Surface returns the keep-out as one side-view outline, not always convex, swept across:
// the surface that the depth of a notch is measured from. A round one that lies straight
// across becomes a prism with flat sides around it (see RoundError). It is false for one
// that is slanted; see Drum.
func (k KeepOut) Surface() (Profile, bool) {
	if s := k.Shape(); s != nil {
		return s.Surface()
	}
	return Profile{}, false
}

// Core returns what a notch d deep may not reach, as keep-outs: of a convex one itself
// with every face moved in by d, of others convex pieces of what is d or more from their
// surface. The error is ErrThrough, with the name, when nothing would be left, and of what
// is left of a drum that was notched: it is notched no further.
func (k KeepOut) Core(d float64) ([]KeepOut, error) {
	var list []KeepOut
	if s := k.Shape(); s != nil {
		for _, c := range s.core(d) {
			list = append(list, k.withShape(c))
		}
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("%s: %w", k.Name, ErrThrough)
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
