package design

import (
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/rack"
)

// Pads fill the room between a face of a box and what holds it there.

// thickestFoam is up to how many mm foam alone will do; beyond, a block of wood with foam.
const thickestFoam = 12

// thickestBlock is how long in mm a block between a box and what holds it may be.
const thickestBlock = 200

// leastPad is the least side of a pad in mm.
const leastPad = 6

// face is one of the six sides of a box.
type face struct {
	axis int     // 0, 1, 2: x, y, z
	sign float64 // which way it looks
}

func faces() []face {
	return []face{{2, -1}, {2, 1}, {0, 1}, {0, -1}, {1, 1}, {1, -1}}
}

func (f face) normal() r3.Vector {
	return [3]r3.Vector{{X: f.sign}, {Y: f.sign}, {Z: f.sign}}[f.axis]
}

// flatten gives the two coordinates along a face, and the one across it.
func (f face) flatten(p r3.Vector) (r2.Point, float64) {
	switch f.axis {
	case 0:
		return r2.Point{X: p.Y, Y: p.Z}, p.X
	case 1:
		return r2.Point{X: p.X, Y: p.Z}, p.Y
	}
	return r2.Point{X: p.X, Y: p.Y}, p.Z
}

func (f face) point(p r2.Point, d float64) r3.Vector {
	switch f.axis {
	case 0:
		return r3.Vector{X: d, Y: p.X, Z: p.Y}
	case 1:
		return r3.Vector{X: p.X, Y: d, Z: p.Y}
	}
	return r3.Vector{X: p.X, Y: p.Y, Z: d}
}

// flattened is the extent of a block along a face, and across it.
func (f face) flattened(low, high r3.Vector) (r2.Rect, r1.Interval) {
	a, da := f.flatten(low)
	b, db := f.flatten(high)
	return r2.RectFromPoints(a, b), r1.IntervalFromPoint(da).AddPoint(db)
}

// thing is something that a pad may lie against.
type thing struct {
	name      string
	low, high r3.Vector
	of        rack.Material // empty: by thickness
	box       bool
	on        []pack.Part // boxes that carry it
}

// padAll gives every face of every box of the level its pads.
func (t *tray) padAll() {
	things := t.things()
	for _, b := range t.level.all() {
		for _, f := range faces() {
			t.padFace(b, f, things)
		}
	}
}

// things are the legs of the tray's bars, its rods and its boxes.
func (t *tray) things() []thing {
	var list []thing
	for _, b := range t.whole.Bars {
		if b.Tray != t.level.name+"tray" && !(b.Late && len(b.Name) > len(t.level.name) && b.Name[:len(t.level.name)] == t.level.name) {
			continue
		}
		for _, leg := range b.Legs() {
			low, high := geom.Bounds(leg)
			list = append(list, thing{name: b.Name, low: low, high: high})
		}
	}
	for _, f := range t.whole.Fasteners {
		if f.Rod && f.Late {
			low, high := geom.Bounds(f.Shank())
			list = append(list, thing{name: f.Name, low: low, high: high, of: rack.Hose})
		}
	}
	for _, b := range t.level.all() {
		list = append(list, thing{name: b.part.String(), low: b.low, high: b.high, box: true, on: b.on})
	}
	return list
}

// padFace puts pads on a face: under and over a box against every bar there, on its sides against what
// is nearest, and against the upright legs of side members too, which are stiffer than rods.
func (t *tray) padFace(b placed, f face, things []thing) {
	var best *rack.Pad
	for _, o := range things {
		if o.name == b.name || o.box && f.axis == 2 && !stacked(b, f, o) {
			continue
		}
		p, ok := t.padBetween(b, f, o)
		if !ok {
			continue
		}
		switch {
		case f.axis == 2:
			t.whole.Pads = append(t.whole.Pads, p)
		case best == nil:
			best = &p
		case p.Thickness() < best.Thickness()-1e-9:
			t.padSide(*best)
			best = &p
		default:
			t.padSide(p)
		}
	}
	if best != nil {
		t.whole.Pads = append(t.whole.Pads, *best)
	}
}

// stacked tells whether a face of a box lies on one that carries it, or below one that it carries.
func stacked(b placed, f face, o thing) bool {
	if f.sign < 0 {
		return slices.ContainsFunc(b.on, func(p pack.Part) bool { return p.String() == o.name })
	}
	return slices.Contains(o.on, b.part)
}

// padSide puts a pad that is not the nearest against a side member.
func (t *tray) padSide(p rack.Pad) {
	if p.To == t.sideName(0) || p.To == t.sideName(1) {
		t.whole.Pads = append(t.whole.Pads, p)
	}
}

// padBetween is the pad between a face and a thing: where both are across from each other,
// beside posts, with nothing between.
func (t *tray) padBetween(b placed, f face, o thing) (rack.Pad, bool) {
	mine, depth := f.flattened(b.low, b.high)
	theirs, far := f.flattened(o.low, o.high)
	from, to := depth.Hi, far.Lo
	if f.sign < 0 {
		from, to = far.Hi, depth.Lo
	}
	thick := to - from
	most := float64(thickestBlock)
	if f.axis == 2 {
		most = highestPad
	}
	switch {
	case f.axis == 2 && o.box:
		most = pack.CarryReach
	case f.axis == 2 && f.sign < 0:
		most = t.foam + 2
	}
	if thick < 1 || thick > most {
		return rack.Pad{}, false
	}
	area := mine.Intersection(theirs)
	if o.of == rack.Hose && f.axis != 2 { // beside the nuts below
		area.Y.Lo += t.rod.WasherThk + t.rod.Nut - 2*t.foam + 2
	}
	area = t.besidePosts(b, o, f, area, r1.Interval{Lo: from, Hi: to})
	area = t.besideBolts(o, f, area, r1.Interval{Lo: from, Hi: to})
	if o.of != rack.Hose && (area.Size().X < leastPad || area.Size().Y < leastPad) || area.Size().X < 2 || area.Size().Y < 2 {
		return rack.Pad{}, false
	}
	p := rack.Pad{
		Box: b.part.Box, Number: b.part.Number, Face: f.normal(), To: o.name, Of: o.of,
		Low: f.point(area.Lo(), from), High: f.point(area.Hi(), to),
	}
	if p.Of == "" {
		p.Of = rack.Foam
	}
	if thick > thickestFoam {
		p.Of = rack.Block
	}
	return p, t.freePad(b, o, p)
}

// besidePosts is the largest part of an area that keeps the boot's gap to the posts of any box
// which reach into the pad's depth.
func (t *tray) besidePosts(b placed, o thing, f face, area r2.Rect, depth r1.Interval) r2.Rect {
	for _, other := range t.room.boxes {
		for _, post := range other.posts {
			low, high := geom.Bounds(post)
			p, d := f.flattened(low, high)
			mine := other.part == b.part || other.part.String() == o.name // flush posts too
			if mine && !d.Intersects(depth) || !mine && !d.Intersects(depth.Expanded(-0.01)) {
				continue
			}
			p = p.ExpandedByMargin(math.Max(t.room.gaps.Boot, 3))
			if area.Intersects(p) {
				area = largestBeside(area, p)
			}
		}
	}
	return area
}

// besideBolts is the largest part of an area that keeps off heads and nuts.
func (t *tray) besideBolts(o thing, f face, area r2.Rect, depth r1.Interval) r2.Rect {
	for _, fast := range t.whole.Fasteners {
		if fast.Name == o.name {
			continue
		}
		for _, s := range fast.Solids() {
			p, d := f.flattened(geom.Bounds(s))
			if p = p.ExpandedByMargin(1); area.Intersects(p) && d.Intersection(depth).Length() > 0.01 {
				area = largestBeside(area, p)
			}
		}
	}
	return area
}

func largestBeside(area, hole r2.Rect) r2.Rect {
	best := r2.EmptyRect()
	for _, r := range []r2.Rect{
		{X: r1.Interval{Lo: area.X.Lo, Hi: hole.X.Lo}, Y: area.Y},
		{X: r1.Interval{Lo: hole.X.Hi, Hi: area.X.Hi}, Y: area.Y},
		{X: area.X, Y: r1.Interval{Lo: area.Y.Lo, Hi: hole.Y.Lo}},
		{X: area.X, Y: r1.Interval{Lo: hole.Y.Hi, Hi: area.Y.Hi}},
	} {
		if !r.X.IsEmpty() && !r.Y.IsEmpty() && r.Size().X*r.Size().Y > best.Size().X*best.Size().Y {
			best = r
		}
	}
	return best
}

// freePad tells whether nothing but its box and its thing is where a pad goes.
func (t *tray) freePad(b placed, o thing, p rack.Pad) bool {
	body := geom.BoxFromCorners(p.Low, p.High)
	for _, other := range t.room.boxes {
		if other.part != b.part && other.part.String() != o.name && geom.Distance(other.body, body) < -0.01 {
			return false
		}
	}
	for _, bar := range t.whole.Bars {
		for _, leg := range bar.Legs() {
			if bar.Name != o.name && geom.Distance(leg, body) < -0.01 {
				return false
			}
		}
	}
	for _, fast := range t.whole.Fasteners {
		if fast.Name == o.name {
			continue
		}
		for _, s := range fast.Solids() {
			if geom.Distance(s, body) < -0.01 {
				return false
			}
		}
	}
	return true
}
