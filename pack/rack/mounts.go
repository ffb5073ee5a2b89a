package rack

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// MountError is a mount of the frame file that no rack can be tied to as it is written.
type MountError struct {
	Mount frame.Mount // its Line is its place in the frame file
	Text  string      // what is wrong and what to do
}

// Error names the mount.
func (e *MountError) Error() string { return fmt.Sprintf("the mount %q %s", e.Mount.Name, e.Text) }

// Reaches of mounts in mm, our own choices: how far one may be from the metal that the frame
// file knows (the length of a lug), and from the boxes that hang on it (as long as an upright
// gets).
const (
	MostFromMetal = 80
	MostFromBoxes = 500
)

// AssumedThick is how thick in mm the metal of a mount is taken to be where the frame file does
// not say: bolts are to be measured before they are bought.
const AssumedThick = 6

// ThickOf is how thick the metal of a mount is, as far as is known.
func ThickOf(m frame.Mount) float64 { return cmp.Or(m.Thick, AssumedThick) }

// Mounts lists the mounts of a frame, each side on its own, for a rack of a layout. One that
// lacks what a rack needs, or is where none can be, is a *MountError; several are joined. It is
// an error too when there is none, or none within reach of the boxes, and no rail may carry clamps.
func Mounts(p pack.Problem, l pack.Layout) ([]frame.Mount, error) {
	clampable := len(Tubes(p.Frame)) > 0
	if len(p.Frame.Mounts) == 0 && !clampable {
		return nil, errNoMounts
	}
	boxes, err := cases(p, l)
	if err != nil {
		return nil, err
	}
	obstacles := p.Obstacles()
	var all []frame.Mount
	var wrong []error
	for _, m := range p.Frame.Mounts {
		text := lacking(m)
		for _, side := range m.Sides() {
			if text != "" {
				break
			}
			all = append(all, side)
			if text = misplaced(side.At, p.Frame, l, boxes, obstacles); text != "" {
				m = side
			}
		}
		if text != "" {
			wrong = append(wrong, &MountError{m, text})
		}
	}
	if len(wrong) == 0 && !clampable {
		wrong = append(wrong, within(all, boxes))
	}
	return all, errors.Join(wrong...)
}

// lacking says what a mount does not tell of itself.
func lacking(m frame.Mount) string {
	var keys []string
	if m.Faces == (r3.Vector{}) {
		keys = append(keys, "faces (where its bolt points, out of the metal: left, right, front, back, up, down or [x, y, z])")
	}
	if m.Bolt == "" {
		keys = append(keys, "bolt (its size, such as M8)")
	} else if _, err := ThreadOf(m.Bolt); err != nil {
		return fmt.Sprintf("has the bolt %v", err)
	}
	if m.Holds == "" {
		keys = append(keys, "holds (thread, hole or stud: what holds its bolt)")
	}
	if len(keys) == 0 {
		return ""
	}
	return "lacks what a rack needs to know: look at it, and add " + strings.Join(keys, "; ") + " to it in the frame file"
}

// misplaced says why no mount can be at a place.
func misplaced(at r3.Vector, f *frame.Frame, l pack.Layout, boxes []geom.Box, obstacles []frame.Obstacle) string {
	for i, b := range boxes {
		if inside(b, at) {
			return fmt.Sprintf("is inside %v: correct its place in the frame file, or keep boxes off it with a keep-out and fit again", l.Placements[i].Part())
		}
	}
	if far := fromMetal(at, f, obstacles); far > MostFromMetal {
		return fmt.Sprintf("is on no metal: %.0f mm from the nearest rail, metal keep-out or side of the opening that the frame file has; correct its place, or add the tube or plate that it is on", far)
	}
	return ""
}

// within is an error where no mount is within reach of the boxes.
func within(mounts []frame.Mount, boxes []geom.Box) error {
	nearest, least := 0, math.Inf(1)
	for i, m := range mounts {
		point := geom.BoxFromCorners(m.At, m.At)
		for _, b := range boxes {
			if d := geom.Distance(point, b); d < least {
				nearest, least = i, d
			}
		}
	}
	if math.IsInf(least, 1) || least <= MostFromBoxes {
		return nil
	}
	return &MountError{mounts[nearest], fmt.Sprintf("is the nearest one and too far away: %.0f mm from the boxes, and a rack reaches %d; correct its place in the frame file, or add mounts that are nearer", least, MostFromBoxes)}
}

func cases(p pack.Problem, l pack.Layout) ([]geom.Box, error) {
	var all []geom.Box
	for _, at := range l.Placements {
		bodies, err := p.Bodies(at)
		if err != nil {
			return nil, err
		}
		all = append(all, bodies.Case)
	}
	return all, nil
}

// inside tells whether a point is inside a box and not on its face.
func inside(b geom.Box, q r3.Vector) bool {
	d := q.Sub(b.Centre)
	half := [3]float64{b.Half.X, b.Half.Y, b.Half.Z}
	for i, axis := range b.Axes {
		if math.Abs(d.Dot(axis)) >= half[i] {
			return false
		}
	}
	return true
}

// fromMetal is how far a point is from the nearest metal, inside or out: rails, metal keep-outs,
// and the sides of the opening that are not open.
func fromMetal(q r3.Vector, f *frame.Frame, obstacles []frame.Obstacle) float64 {
	least := fromSides(q, f.Opening)
	point := geom.BoxFromCorners(q, q)
	for _, o := range obstacles {
		if o.Metal && o.Kind != frame.Width && o.Kind != frame.Side {
			gap, _ := geom.SheetGap(point, o.Solid)
			least = math.Min(least, math.Abs(gap))
		}
	}
	return least
}

// fromSides is how far a point is from the sides of an opening, which end at their corners.
func fromSides(q r3.Vector, o frame.Opening) float64 {
	across, least := o.AcrossAt(q.Z), math.Inf(1)
	beyond := math.Max(0, math.Max(across.Lo-q.Y, q.Y-across.Hi))
	for i, c := range o.Outline.Corners {
		side := geom.Polygon{Corners: []r2.Point{c, o.Outline.Corners[(i+1)%len(o.Outline.Corners)]}}
		if !o.SideOpen(i) {
			least = math.Min(least, math.Hypot(beyond, side.DistanceToEdge(r2.Point{X: q.X, Y: q.Z})))
		}
	}
	return least
}
