package design

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/pack/rack"
)

// Two-piece clamps on rails that may carry them are tried where the mounts of the frame give no rack:
// each is a mount that can be put where it is wanted along its rail.

// clampBolt is what a clamp's welded nut takes.
const clampBolt = "M8"

// fromEnds are places of clamps in mm, from the ends of the boxes inwards: beside the end bars, and
// under the outer cross bars.
var fromEnds = []float64{-24, 45}

// apartOnRail is how near in mm two places for clamps on a rail are one.
const apartOnRail = 8

// withClamps lets the designer tie to clamps too. It tells whether there are any.
func (d *designer) withClamps() bool {
	for _, tube := range rack.Tubes(d.problem.Frame) {
		for _, c := range d.clampsOn(tube) {
			d.room.clamps = append(d.room.clamps, c)
			d.mounts = append(d.mounts, c.Mount())
		}
	}
	d.ties()
	return len(d.room.clamps) > 0
}

// clampsOn are the clamps that may be of use on a length of rail.
func (d *designer) clampsOn(tube rack.Tube) []rack.Clamp {
	var list []rack.Clamp
	along, long := tube.Along(), tube.To.Sub(tube.From).Norm()
	axis := leading(along)
	for _, at := range d.placesAlong(axis) {
		off := (at - tube.From.Dot(axis)) / along.Dot(axis)
		if off < rack.ClampWide/2+1 || off > long-rack.ClampWide/2-1 {
			continue
		}
		for _, faces := range d.clampFaces(tube, along) {
			list = append(list, rack.Clamp{
				Name: clampName(tube.Rail, axis, at, faces), Rail: tube.Rail, At: tube.From.Add(along.Mul(off)), Along: along, Faces: faces,
				Diameter: tube.Diameter, Bolt: clampBolt,
			})
		}
	}
	return list
}

// clampName says where along its rail a clamp sits, for that is where it is looked for.
func clampName(rail string, axis r3.Vector, at float64, faces r3.Vector) string {
	word := map[r3.Vector]string{{X: 1}: "x", {Y: 1}: "y", {Z: 1}: "z"}[axis]
	name := fmt.Sprintf("clamp on %s at %s %.0f", rail, word, at)
	if faces.Z == 0 {
		name += " facing in"
	}
	return name
}

// leading is the axis of the vehicle that a direction is nearest to.
func leading(v r3.Vector) r3.Vector {
	switch v.LargestComponent() {
	case r3.XAxis:
		return r3.Vector{X: 1}
	case r3.YAxis:
		return r3.Vector{Y: 1}
	}
	return r3.Vector{Z: 1}
}

// placesAlong are where along an axis clamps may be of use: about the ends of each level, and of all.
func (d *designer) placesAlong(axis r3.Vector) []float64 {
	var list []float64
	add := func(at float64) {
		if !slices.ContainsFunc(list, func(o float64) bool { return math.Abs(o-at) < apartOnRail }) {
			list = append(list, at)
		}
	}
	if axis.Z != 0 {
		for _, l := range d.levels {
			add(math.Round(l.z + 20))
		}
		return list
	}
	for _, l := range d.levels[:1] {
		ends := around(l.boxes, axis)
		for _, in := range fromEnds {
			add(math.Round(ends.Lo + in))
			add(math.Round(ends.Hi - in))
		}
	}
	return list
}

// clampFaces are the ways in which clamps on a rail may face: up from one that is level, and across or
// along the vehicle towards the boxes from one that is square to that.
func (d *designer) clampFaces(tube rack.Tube, along r3.Vector) []r3.Vector {
	middle := tube.From.Add(tube.To).Mul(0.5)
	all := r1.EmptyInterval()
	for _, l := range d.levels {
		all = all.Union(around(l.boxes, r3.Vector{X: 1}))
	}
	var list []r3.Vector
	if math.Abs(along.Z) < square {
		list = append(list, r3.Vector{Z: 1})
	}
	if math.Abs(along.Y) < square && middle.Y != 0 {
		list = append(list, r3.Vector{Y: -math.Copysign(1, middle.Y)})
	}
	if math.Abs(along.X) < square {
		list = append(list, r3.Vector{X: math.Copysign(1, all.Center()-middle.X)})
	}
	return list
}

// square is how little a rail may be off square to where a clamp on it faces, as a part of 1.
const square = 1e-9

// clamp is the one of a name.
func (r *room) clamp(name string) (rack.Clamp, bool) {
	i := slices.IndexFunc(r.clamps, func(c rack.Clamp) bool { return c.Name == name })
	if i < 0 {
		return rack.Clamp{}, false
	}
	return r.clamps[i], true
}

// clampsOf are those into which bolts go.
func (r *room) clampsOf(fasteners []rack.Fastener) []rack.Clamp {
	var list []rack.Clamp
	for _, f := range fasteners {
		for _, name := range f.Joins {
			if c, ok := r.clamp(name); ok {
				list = append(list, c)
			}
		}
	}
	return list
}

// meetsClamp is the worst of what a clamp meets but its own rail and the sides of the opening.
func (r *room) meetsClamp(c rack.Clamp) conflict {
	worst := conflict{short: math.Inf(-1)}
	for _, s := range c.Solids() {
		worst = worst.worse(r.meetsIn(s, true, func(o frame.Obstacle) bool { return beside(o) || o.Name == c.Rail }))
	}
	return worst
}

// beside tells whether something of the frame is a side of the opening or its width.
func beside(o frame.Obstacle) bool { return o.Kind == frame.Width || o.Kind == frame.Side }
