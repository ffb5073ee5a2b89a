package view

import (
	"slices"

	"github.com/golang/geo/r2"

	"rackwright/export/label"
)

// key tells bodies apart by what they are: pieces of one thing have the same.
func (b body) key() string {
	if b.role == boxBody {
		return "box " + b.name
	}
	if b.ofFrame() {
		return "frame " + b.name
	}
	return ""
}

// ownerOf numbers what is named in the view.
func (d *drawing) ownerOf() map[string]int {
	numbers := map[string]int{"": 1} // posts and bars, which are not named so
	for _, b := range d.scene.sightFrom(d.dir).painted {
		if _, ok := numbers[b.key()]; !ok {
			numbers[b.key()] = len(numbers) + 1
		}
	}
	return numbers
}

// seenAt is the number of what is seen at a point of the picture.
func (d *drawing) seenAt(at r2.Point) int {
	if d.order == nil {
		for _, b := range d.scene.sightFrom(d.dir).painted {
			d.order = append(d.order, layer{b, d.owners[b.key()], b.bounds(d.dir)})
		}
		slices.Reverse(d.order)
	}
	q := r2.Point{X: d.window.X.Lo + (at.X-d.at.X)/d.scene.scale, Y: d.window.Y.Hi - (at.Y-d.at.Y)/d.scene.scale}
	for _, l := range d.order {
		if l.bounds.ContainsPoint(q) && l.body.meets(q, d.dir) {
			return l.owner
		}
	}
	return label.Nothing
}

// layer is a body with what is asked of it often.
type layer struct {
	body   body
	owner  int
	bounds r2.Rect
}

// meets tells whether the line of sight through a point of a view meets a body.
func (b body) meets(q r2.Point, d Direction) bool {
	for _, c := range b.solids {
		if _, ok := (body{solids: []convex{c}}).nearEnd(q, d); ok {
			return true
		}
	}
	return false
}
