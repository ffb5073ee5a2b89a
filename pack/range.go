package pack

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/frame/strict"
	"rackwright/geom"
)

// Range is where boxes of a kind may be: for each of x, y and z an interval in
// millimetres, or nil where it does not matter. It is the builder's wish and not a
// measured thing, so it holds for the boxes as measured, and asks for no spare.
type Range [3]*r1.Interval

// IsAny tells whether the range leaves everything open.
func (g Range) IsAny() bool { return g == Range{} }

// beyondRange is how far in millimetres a box may reach beyond its range and still
// count as within: what rounding and places with seven digits after the point need.
const beyondRange = 1e-6

// Beyond returns how many millimetres the bodies of a box reach beyond the range, and
// along which axis (0, 1, 2 for x, y, z); at most 0 where they lie in it.
func (g Range) Beyond(b Bodies) (mm float64, axis int) {
	mm = math.Inf(-1)
	for i, in := range g {
		if in == nil {
			continue
		}
		at := b.extent(i)
		if over := max(in.Lo-at.Lo, at.Hi-in.Hi); over > mm {
			mm, axis = over, i
		}
	}
	return mm, axis
}

// extent is how far case and posts reach along an axis of the vehicle.
func (b Bodies) extent(axis int) r1.Interval {
	u := [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}[axis]
	at := b.Case.Extent(u)
	for _, post := range b.Posts {
		at = at.Union(post.Extent(u))
	}
	return at
}

// Orientations returns all orientations that the pack allows for a kind: for each
// stand and turn each tilt.
func (k Kind) Orientations() []Orientation {
	var list []Orientation
	for up := Front; up <= Bottom; up++ {
		for front := Front; front <= Bottom; front++ {
			o := Orientation{Up: up, Front: front}
			if up.Axis() == front.Axis() || !slices.Contains(k.Stands, o.Stand()) {
				continue
			}
			for _, o.Tilt = range k.Tilts {
				list = append(list, o)
			}
		}
	}
	return list
}

// within reads a range.
func (r *reader) within(f *withinFile) Range {
	var g Range
	given := [3]*strict.Point2{f.X, f.Y, f.Z}
	for i, p := range given {
		if p == nil {
			continue
		}
		if p[0] >= p[1] && r.Sound(p) {
			r.At(p, strict.OutOfRange, "a range goes from less to more, not from %g to %g", p[0], p[1])
		}
		g[i] = &r1.Interval{Lo: p[0], Hi: p[1]}
	}
	if g.IsAny() && r.Sound(f) {
		r.At(f, strict.BadValue, "a range is given for x, y or z, such as z: [0, 180]")
	}
	return g
}

// holds checks that a range holds a box of its kind in some way that it may stand.
func (r *reader) holds(f *kindFile, k Kind) {
	if !r.Sound(f) || !sized(k.Size) || slices.ContainsFunc(k.Posts, k.isOff) || slices.ContainsFunc(k.Within[:], isDown) {
		return // something else is wrong
	}
	least := math.Inf(1)
	for _, o := range k.Orientations() {
		least = min(least, k.lacks(o))
	}
	if least > beyondRange && !math.IsInf(least, 1) {
		r.At(f.Within, strict.OutOfRange, "no %s goes into this range: it lacks %s whichever way the box stands; make it larger, or allow another stand",
			k.Name, geom.FormatLengthRounded(least, r.Unit, geom.ToMore))
	}
}

func isDown(in *r1.Interval) bool { return in != nil && in.Length() <= 0 }

// isOff tells whether a post is not on its face.
func (k Kind) isOff(p Post) bool {
	u, v := faceSize(k.Size, p.Face)
	return outside(p.At.X, p.Diameter, u) || outside(p.At.Y, p.Diameter, v)
}

// lacks returns how many millimetres the range of a kind is too short for a box of it
// in an orientation.
func (k Kind) lacks(o Orientation) float64 {
	bodies := Problem{Pack: &Pack{Kinds: []Kind{k}}}.solids(k, Placement{Box: k.Name, Number: 1, Orientation: o})
	lack := math.Inf(-1)
	for i, in := range k.Within {
		if in != nil {
			lack = max(lack, bodies.extent(i).Length()-in.Length())
		}
	}
	return lack
}

// words names the limits of a range: "x 0 to 250 mm, z 0 to 180 mm".
func (g Range) words(u geom.Unit) string {
	text := ""
	for i, in := range g {
		if in == nil {
			continue
		}
		if text != "" {
			text += ", "
		}
		text += fmt.Sprintf("%c from %s to %s", "xyz"[i], geom.FormatLength(in.Lo, u), geom.FormatLength(in.Hi, u))
	}
	return text
}
