package judge

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/pack/rack"
)

// margin is how far inside of what carries it the middle of a box has to be, as a part of its
// length and width.
const margin = 0.1

// seam is how far from a joint of two boxes, as a part of each one's size across it, something
// has to carry them.
const seam = 0.35

// lies tells whether a pad fills the room between its box's face and what it lies against.
func (j *scene) lies(p rack.Pad) bool {
	b := j.box(p.Part().String())
	if b == nil || p.Face.Norm() == 0 {
		return false
	}
	body := solidOf(p.Solid())
	outer := b.body.Extent(p.Face).Hi
	e := body.Extent(p.Face)
	if math.Abs(e.Lo-outer) > touch || geomGap(b.body, body) > touch {
		return false
	}
	far := j.solidsOf(p.To)
	for _, s := range far {
		// Its far face is on the other's near face, and both are across from each other.
		if math.Abs(s.Extent(p.Face).Lo-e.Hi) <= touch && distance(s, body, 1) <= touch {
			return true
		}
		if s.Round() && math.Abs(distance(s, body, 1)) <= touch {
			return true
		}
	}
	return false
}

func geomGap(a, b solid) float64 { return distance(a, b, 1) }

// solidsOf are those of a bar, of a rod's shank, or of a box.
func (j *scene) solidsOf(name string) []solid {
	if p := j.part(name); p != nil {
		if p.fastener != nil {
			return p.solids[:1]
		}
		return p.solids
	}
	if b := j.box(name); b != nil {
		return []solid{b.body}
	}
	return nil
}

// carried is rule 2.
func (j *scene) carried() {
	down := r3.Vector{Z: -1}
	for i := range j.boxes {
		b := &j.boxes[i]
		x, y := r1.EmptyInterval(), r1.EmptyInterval()
		for _, p := range j.rack.Pads {
			if p.Part() == b.part && p.Face == down && j.lies(p) {
				x, y = x.AddPoint(p.Low.X).AddPoint(p.High.X), y.AddPoint(p.Low.Y).AddPoint(p.High.Y)
			}
		}
		if x.IsEmpty() {
			j.say(Carried, 0, "", []string{b.name}, "%s stands on nothing: put bars under it", b.name)
			continue
		}
		j.middle(b, x, y)
	}
	j.seams(down)
}

// middle asks that the middle of a box is inside what carries it.
func (j *scene) middle(b *box, x, y r1.Interval) {
	low, high := b.body.low, b.body.high
	for _, a := range []struct {
		on        r1.Interval
		low, high float64
		word      string
	}{{x, low.X, high.X, "lengthwise"}, {y, low.Y, high.Y, "across"}} {
		c, m := (a.low+a.high)/2, margin*(a.high-a.low)
		if lack := math.Max(a.on.Lo-(c-m), (c+m)-a.on.Hi); lack > 1e-6 {
			j.say(Carried, lack, "mm", []string{b.name}, "the middle of %s is not %.0f mm inside what carries it (%s, by %.1f mm): put a bar under its other half", b.name, m, a.word, lack)
		}
	}
}

// seams asks that no joint of two boxes of one level hangs.
func (j *scene) seams(down r3.Vector) {
	for i := range j.boxes {
		for k := range j.boxes {
			a, b := &j.boxes[i], &j.boxes[k]
			if i == k || math.Abs(a.body.low.Z-b.body.low.Z) > 0.5 {
				continue
			}
			for _, axis := range []r3.Vector{{X: 1}, {Y: 1}} {
				if gap := b.body.low.Dot(axis) - a.body.high.Dot(axis); gap >= -touch && gap < 30 && overlaps(a, b, r3.Vector{X: axis.Y, Y: axis.X}) {
					j.seam(a, b, axis, down)
				}
			}
		}
	}
}

func overlaps(a, b *box, axis r3.Vector) bool {
	return math.Min(a.body.high.Dot(axis), b.body.high.Dot(axis))-math.Max(a.body.low.Dot(axis), b.body.low.Dot(axis)) > 10
}

// seam asks of two boxes beside each other that each is carried near their joint.
func (j *scene) seam(a, b *box, axis, down r3.Vector) {
	nearA, nearB := math.Inf(1), math.Inf(1)
	for _, p := range j.rack.Pads {
		if p.Face != down || !j.lies(p) {
			continue
		}
		if p.Part() == a.part {
			nearA = math.Min(nearA, a.body.high.Dot(axis)-p.High.Dot(axis))
		}
		if p.Part() == b.part {
			nearB = math.Min(nearB, p.Low.Dot(axis)-b.body.low.Dot(axis))
		}
	}
	for _, e := range []struct {
		b    *box
		near float64
	}{{a, nearA}, {b, nearB}} {
		size := e.b.body.high.Sub(e.b.body.low).Dot(axis)
		if lack := e.near - seam*size; lack > 1e-6 && !math.IsInf(lack, 1) {
			j.say(Carried, lack, "mm", []string{a.name, b.name}, "the joint of %s and %s hangs: the next bar under %s is %.0f mm away; put a seam bar under the joint", a.name, b.name, e.b.name, e.near)
		}
	}
}

// rect is the area of a pad on its face.
func rect(p rack.Pad) r2.Point {
	size := p.High.Sub(p.Low)
	switch {
	case p.Face.X != 0:
		return r2.Point{X: size.Y, Y: size.Z}
	case p.Face.Y != 0:
		return r2.Point{X: size.X, Y: size.Z}
	}
	return r2.Point{X: size.X, Y: size.Y}
}
