package rackplan

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/rack/judge"
)

// inTheWay names what comes off the frame that the moves of some bar, rod or box would meet:
// the judge of racks takes such things to be off. The block around each is swept.
func inTheWay(a Answer) []string {
	var names []string
	for _, o := range a.Problem.Frame.ObstaclesAtRest() {
		met := func(s judge.Step) bool { return meets(a.comingWith(s), s.Legs, o.Solid) }
		if (o.Removable || o.LiftsOff) && slices.ContainsFunc(a.Report.Order, met) {
			names = append(names, o.Name)
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// comingWith are the solids that are put in their place in one step.
func (a Answer) comingWith(s judge.Step) []geom.Solid {
	if len(s.Bars) == 0 {
		return a.solidsOf(s.Name)
	}
	var all []geom.Solid
	for _, name := range s.Bars {
		all = append(all, a.solidsOf(name)...)
	}
	return all
}

// solidsOf are a bar, a bolt or rod, what comes onto its rail of a clamp, or a box with its posts.
func (a Answer) solidsOf(name string) []geom.Solid {
	if b, ok := a.Rack.Bar(name); ok {
		return b.Solids()
	}
	if c, ok := a.Rack.Clamp(name); ok {
		return c.Half(true)
	}
	if f, ok := a.Rack.Fastener(name); ok {
		return []geom.Solid{f.Shank()}
	}
	for _, p := range a.Layout.Placements {
		if p.Part().String() != name {
			continue
		}
		box, err := a.Problem.Bodies(p)
		if err != nil {
			return nil // the judge has told it
		}
		all := []geom.Solid{box.Case}
		for _, post := range box.Posts {
			all = append(all, post)
		}
		return all
	}
	return nil
}

// meets tells whether the blocks around solids meet another one on their way.
func meets(solids []geom.Solid, legs []r3.Vector, other geom.Solid) bool {
	for _, s := range solids {
		at := r3.Vector{} // from the end of the way back
		for i := len(legs) - 1; i >= 0; i-- {
			before := at.Sub(legs[i])
			low, high := geom.Bounds(s)
			swept := geom.BoxFromCorners(least(low.Add(at), low.Add(before)), most(high.Add(at), high.Add(before)))
			if geom.Distance(swept, other) < -0.1 {
				return true
			}
			at = before
		}
	}
	return false
}

func least(a, b r3.Vector) r3.Vector {
	return r3.Vector{X: math.Min(a.X, b.X), Y: math.Min(a.Y, b.Y), Z: math.Min(a.Z, b.Z)}
}

func most(a, b r3.Vector) r3.Vector {
	return r3.Vector{X: math.Max(a.X, b.X), Y: math.Max(a.Y, b.Y), Z: math.Max(a.Z, b.Z)}
}
