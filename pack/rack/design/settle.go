package design

import (
	"context"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// Tried is a layout with the rack that was designed for it.
type Tried struct {
	Layout pack.Layout
	Result Result
	Err    error
}

// Sound tells whether the rack breaks no rule but, perhaps, that it holds less than is aimed at.
func (t Tried) Sound() bool {
	return t.Err == nil && t.Result.Rack != nil && len(t.Result.Verdict.Weak) >= t.Result.Verdict.Violations
}

// Weak tells whether a sound rack holds less than is aimed at.
func (t Tried) Weak() bool { return t.Sound() && t.Result.Verdict.Violations > 0 }

// off is how far from a rack a try is: nought is one.
func (t Tried) off() float64 {
	if t.Err != nil || t.Result.Rack == nil {
		return math.Inf(1)
	}
	return 5*float64(t.Result.Verdict.Violations-len(t.Result.Verdict.Weak)) + t.Result.Verdict.Off
}

// strides are by how many mm levels are moved, the widest first.
var strides = []float64{24, 12, 6, 3}

// mostMoves is how many moved layouts are looked at.
const mostMoves = 30

// Settle looks for a rack for a layout by a function such as New, and moves whole levels for as
// long as that brings one nearer and the layout still holds. It ends with ctx, or at the first sound rack.
func Settle(ctx context.Context, p pack.Problem, l pack.Layout, holds func(pack.Layout) bool, design func(pack.Layout) (Result, error)) Tried {
	try := func(l pack.Layout) Tried {
		result, err := design(l)
		return Tried{l, result, err}
	}
	best, moves := try(l), 0
	for _, stride := range strides {
		for changed := true; changed && !best.Sound() && !math.IsInf(best.off(), 1); {
			changed = false
			for _, moved := range shifted(p, best.Layout, stride) {
				if ctx.Err() != nil || moves == mostMoves {
					return best
				}
				if !holds(moved) {
					continue
				}
				moves++
				if t := try(moved); t.off() < best.off()-0.01 {
					best, changed = t, true
					break
				}
			}
		}
	}
	return best
}

// shifted are the layouts with one level of a layout moved lengthwise, and those with it and all above
// raised, or it and all below lowered.
func shifted(p pack.Problem, l pack.Layout, by float64) []pack.Layout {
	var list []pack.Layout
	move := func(boxes []pack.Part, to r3.Vector) {
		moved := pack.Layout{Placements: slices.Clone(l.Placements)}
		for i := range moved.Placements {
			if at := &moved.Placements[i]; slices.Contains(boxes, at.Part()) {
				at.Centre = at.Centre.Add(to)
			}
		}
		list = append(list, moved)
	}
	levels := pack.StandingOf(p, l).Levels
	for i, level := range levels {
		move(level.Boxes, r3.Vector{X: by})
		move(level.Boxes, r3.Vector{X: -by})
		move(boxesOf(levels[i:]), r3.Vector{Z: by})
		move(boxesOf(levels[:i+1]), r3.Vector{Z: -by})
	}
	return list
}

func boxesOf(levels []pack.Level) []pack.Part {
	var list []pack.Part
	for _, l := range levels {
		list = append(list, l.Boxes...)
	}
	return list
}
