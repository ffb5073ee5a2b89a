package view

import (
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// overlaps counts the areas that one overlaps.
func overlaps(areas []r2.Rect, area r2.Rect) float64 {
	n := 0.0
	for _, a := range areas {
		if a.InteriorIntersects(area) {
			n++
		}
	}
	return n
}

// largest are the rails and keep-outs, of each that is in several pieces, as bent or notched, the one
// that covers most of the view, so that it gets its name once.
func (d *drawing) largest() []body {
	area := func(b body) float64 {
		size := b.bounds(d.dir).Intersection(d.window).Size()
		return size.X * size.Y
	}
	var all []body
	var covers []float64
	at := map[string]int{} // of each name in all
	for _, b := range d.scene.ofRole(body.ofFrame) {
		covered := area(b)
		i, known := at[b.name]
		switch {
		case !known:
			at[b.name] = len(all)
			all, covers = append(all, b), append(covers, covered)
		case covered > covers[i]:
			all[i], covers[i] = b, covered
		}
	}
	return all
}

// seen tells whether nothing is between a point and the eye.
func (s *Scene) seen(q, eye r3.Vector) bool {
	for _, b := range s.bodies {
		if b.role != boxBody && b.role != rackBody {
			continue
		}
		for _, c := range b.solids {
			if c.hides(q, eye) {
				return false
			}
		}
	}
	return true
}
