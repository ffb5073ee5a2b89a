package inspection

import (
	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/wire"
)

// Covering names the boxes, the parts of the rack and the cables that are in the way of who reads
// the frame number, each once; none where the frame file does not say where that is.
func Covering(in Input) []string {
	var all []string
	if in.Problem.Frame.Number == nil || in.Layout == nil {
		return nil
	}
	for _, part := range in.Problem.NumberCovered(*in.Layout) {
		all = append(all, part.String())
	}
	for _, b := range in.metal() {
		if in.Problem.Frame.Number.CoveredBy(b.solid) {
			all = appendNew(all, b.name)
		}
	}
	return append(all, in.cablesCovering()...)
}

func (in Input) cablesCovering() []string {
	var all []string
	if in.Wiring == nil {
		return nil
	}
	for _, c := range in.Wiring.Cables() {
		for _, s := range c.Solids {
			if in.Problem.Frame.Number.CoveredBy(s) {
				all = appendNew(all, "the cable from "+c.From.String()+" to "+c.To.String())
			}
		}
	}
	return all
}

func appendNew(list []string, name string) []string {
	if len(list) > 0 && list[len(list)-1] == name {
		return list
	}
	return append(list, name)
}

// named is a solid with what it is called.
type named struct {
	name  string
	solid geom.Solid
}

// metal are the solids of the rack.
func (in Input) metal() []named {
	var all []named
	if in.Rack == nil || in.Rack.Rack == nil {
		return nil
	}
	for _, o := range wire.Around(in.Rack.Rack) {
		all = append(all, named{o.Name, o.Solid})
	}
	return all
}

// across is how far to the right (less than 0) and to the left of the middle boxes, posts and rack
// reach, and what reaches furthest there.
func (in Input) across() (reach r1.Interval, right, left string) {
	reach = r1.EmptyInterval()
	for _, b := range append(in.boxes(), in.metal()...) {
		e := b.solid.Extent(r3.Vector{Y: 1})
		if reach.IsEmpty() || e.Lo < reach.Lo {
			right = b.name
		}
		if reach.IsEmpty() || e.Hi > reach.Hi {
			left = b.name
		}
		reach = reach.Union(e)
	}
	return reach, right, left
}

func (in Input) boxes() []named {
	var all []named
	for _, at := range in.Layout.Placements {
		bodies, err := in.Problem.Bodies(at)
		if err != nil {
			continue
		}
		all = append(all, named{at.Part().String(), bodies.Case})
		for _, post := range bodies.Posts {
			all = append(all, named{"a post of " + at.Part().String(), post})
		}
	}
	return all
}
