package answer

import (
	"fmt"
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/export/layoutfile"
	"rackwright/geom"
	"rackwright/pack"
)

// Place is where a box goes, as it is set out with a tape: how far its nearest point
// is from the floor and the rear of the opening, and where it reaches across from the
// middle (y = 0).
type Place struct {
	FromFloor float64
	FromRear  float64
	Across    r1.Interval // right is negative
}

// PlaceOf measures a placement against the lowest and the rearmost corner of the
// outline. The error is that of Problem.Bodies.
func PlaceOf(p pack.Problem, at pack.Placement) (Place, error) {
	b, err := p.Bodies(at)
	if err != nil {
		return Place{}, err
	}
	bounds := p.Frame.Opening.Outline.Bounds()
	return Place{
		FromFloor: b.Case.Extent(r3.Vector{Z: 1}).Lo - bounds.Y.Lo,
		FromRear:  b.Case.Extent(r3.Vector{X: 1}).Lo - bounds.X.Lo,
		Across:    b.Case.Extent(r3.Vector{Y: 1}),
	}, nil
}

// same is how far in mm from nothing the answer does not show.
const same = 0.05

// columns tells a place in a row of a table, in lengths without their unit.
func (p Place) columns(to printer) string {
	up, forward := to.bare(p.FromFloor)+" up", to.bare(p.FromRear)+" from rear"
	if p.FromFloor < -same {
		up = to.bare(-p.FromFloor) + " below"
	}
	if p.FromRear < -same {
		forward = to.bare(-p.FromRear) + " behind rear"
	}
	side := func(y float64) string {
		switch {
		case y < -same:
			return to.bare(-y) + " right"
		case y > same:
			return to.bare(y) + " left"
		}
		return "middle"
	}
	return up + "\t" + forward + "\t" + side(p.Across.Lo) + " to " + side(p.Across.Hi)
}

// FloorWords says how far the lowest point is above the floor.
func (p Place) FloorWords(u geom.Unit) string { return beyond(p.FromFloor, "below", u) }

// RearWords says how far the nearest point is from the rear.
func (p Place) RearWords(u geom.Unit) string { return beyond(p.FromRear, "behind", u) }

// beyond is a length, with a word where it goes the other way.
func beyond(mm float64, other string, u geom.Unit) string {
	if mm < -same {
		return geom.FormatLength(-mm, u) + " " + other
	}
	return geom.FormatLength(math.Abs(mm), u)
}

// AcrossWords says how far a box reaches to the right and left of the middle.
func (p Place) AcrossWords(u geom.Unit) string {
	in := p.Across
	switch {
	case math.Abs(in.Lo+in.Hi) < same:
		return fmt.Sprintf("in the middle (%s each side)", geom.FormatLength(in.Hi, u))
	case in.Lo > -same:
		return fmt.Sprintf("%s to %s left of the middle", geom.FormatLength(math.Abs(in.Lo), u), geom.FormatLength(in.Hi, u))
	case in.Hi < same:
		return fmt.Sprintf("%s to %s right of the middle", geom.FormatLength(math.Abs(in.Hi), u), geom.FormatLength(-in.Lo, u))
	}
	return fmt.Sprintf("from %s right to %s left of the middle", geom.FormatLength(-in.Lo, u), geom.FormatLength(in.Hi, u))
}

// StandWords says how a box stands: which face it lies on, which looks forward, and
// its tilt.
func StandWords(o pack.Orientation) string {
	how := map[pack.Face]string{
		pack.Top: "upright", pack.Bottom: "upside down",
		pack.Left: "on its right side", pack.Right: "on its left side",
		pack.Front: "on its back end", pack.Back: "on its front end",
	}[o.Up]
	text := fmt.Sprintf("%s, %s forward", how, o.Front)
	switch d := layoutfile.Degrees(o.Tilt); {
	case d > 0:
		text += fmt.Sprintf(", nose down %g°", d)
	case d < 0:
		text += fmt.Sprintf(", nose up %g°", -d)
	}
	return text
}
