package ways

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
)

// ease is how much further than it must a leg goes when there is room, in
// millimetres: a stop that has to be met to the tenth is no use to hands.
const ease = 10

// settle returns a stop in the window: off its near end by ease, or half the window
// where it is narrow, in whole millimetres, else in tenths, where one is in it.
func settle(window r1.Interval) float64 {
	target := window.Lo + math.Min(ease, (window.Hi-window.Lo)/2)
	for _, unit := range []float64{1, 0.1} {
		if s := math.Round(target/unit) * unit; window.Lo <= s && s <= window.Hi {
			return s
		}
	}
	return target
}

// settle moves the first stop of a way in a plane off the least s that is possible,
// to whole millimetres, where the rest of the way stays free.
func (f *finder) settle(p stop, k int, limit float64) stop {
	for _, more := range []float64{ease, ease / 2, ease / 5, 0} {
		q := p
		q.s = math.Ceil(p.s + more)
		if q.s > limit {
			continue
		}
		length, _ := f.reach(q)
		if window, _, ok := f.opening(q, k, length); ok {
			return q.at(settle(window))
		}
	}
	return p
}

// way returns the way to the stop and then out along k.
func (f *finder) way(p stop, k int) Way {
	w := Way{Last: k}
	for _, leg := range []r3.Vector{f.directions[p.i].Mul(p.s), f.directions[p.j].Mul(p.t)} {
		if leg != (r3.Vector{}) {
			w.Legs = append(w.Legs, leg)
		}
	}
	w.Legs = append(w.Legs, f.directions[k].Mul(f.out(f.vector(p), k)))
	return w
}

// out returns the length of the last leg, in whole millimetres: until all bodies are
// beyond the room, by the air.
func (f *finder) out(from r3.Vector, k int) float64 {
	d := f.directions[k]
	length := 1.0
	for _, b := range f.bodies {
		length = math.Max(length, f.place.Room.Extent(d).Hi+f.place.Air-moved(b, from).Extent(d).Lo)
	}
	return math.Ceil(length)
}
