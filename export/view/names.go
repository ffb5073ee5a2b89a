package view

import (
	"math"
	"slices"
	"strconv"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// longestName is how many letters of a name stand in a drawing.
const longestName = 28

// place finds room for words of a size within an area, clear of what is taken, where
// cost is least, and fits, where it is not nil, allows it. free tells whether there is
// such room; where there is none the area may overlap something.
func (d *drawing) place(size r2.Point, within r2.Rect, cost func(centre r2.Point) float64, fits func(r2.Rect) bool) (area r2.Rect, free bool) {
	const steps = 24
	const taken, post = 1e4, 300
	best, least := r2.RectFromCenterSize(within.Center(), size), math.Inf(1)
	room := r2.Rect{X: within.X.Expanded(-size.X / 2), Y: within.Y.Expanded(-size.Y / 2)}
	if room.X.IsEmpty() || room.Y.IsEmpty() {
		room = r2.RectFromPoints(within.Center())
	}
	for i := range steps + 1 {
		for j := range steps + 1 {
			c := r2.Point{X: room.X.Lo + room.X.Length()*float64(i)/steps, Y: room.Y.Lo + room.Y.Length()*float64(j)/steps}
			area := r2.RectFromCenterSize(c, size)
			value := cost(c)
			value += taken*overlaps(d.taken, area) + post*overlaps(d.posts, area)
			if value < least && (fits == nil || fits(area)) {
				least, best = value, area
			}
		}
	}
	return best, least < taken
}

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

// names writes what everything is called: boxes inside of them, rails and keep-outs
// near them with a line. What is behind gets its name last, where there is room left.
func (d *drawing) names() {
	var behind []body
	for _, b := range d.scene.ofRole(func(b body) bool { return b.role == rackBody }) {
		d.letter(b)
	}
	for _, b := range d.scene.ofRole(isBox) {
		if !d.boxName(b, false) {
			behind = append(behind, b)
		}
	}
	for _, b := range behind {
		d.boxName(b, true)
	}
	var done []r2.Rect
	boxes := d.boxAreas()
	for _, b := range d.largest() {
		if r := b.bounds(d.dir).Intersection(d.window); !r.IsEmpty() && !contains(done, r) {
			done = append(done, r)
			d.obstacleName(b, d.pxRect(r), boxes)
		}
	}
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

// boxAreas are where the boxes are in the picture.
func (d *drawing) boxAreas() []r2.Rect {
	var all []r2.Rect
	for _, b := range d.scene.ofRole(isBox) {
		all = append(all, d.pxRect(b.bounds(d.dir)))
	}
	return all
}

func contains(done []r2.Rect, r r2.Rect) bool {
	for _, o := range done {
		if o.ApproxEqual(r) {
			return true
		}
	}
	return false
}

// boxName writes the name of a box within it, where it can be seen, and tells whether
// there was room; or behind other boxes in brackets.
func (d *drawing) boxName(b body, behind bool) bool {
	within := d.pxRect(b.bounds(d.dir))
	lines := namesake(b.part, within.Size().X)
	size := textSize(lines...)
	class := "rw-m rw-b rw-halo"
	if behind {
		class = "rw-m rw-i rw-halo"
		lines[0] = "(" + lines[0]
		lines[len(lines)-1] += ")"
		size = textSize(lines...)
	}
	fits := func(area r2.Rect) bool { return d.seesBox(b, area) }
	if behind {
		fits = nil
	}
	area, free := d.place(size, within, func(c r2.Point) float64 { return c.Sub(within.Center()).Norm() / 4 }, fits)
	if !free {
		return false
	}
	d.taken = append(d.taken, area)
	for i, l := range lines {
		d.text(class, r2.Point{X: area.Center().X, Y: area.Y.Lo + lineHeight*float64(i) + textHeight}, l)
	}
	return true
}

// shortestName is to how many letters a name is cut before its number stands alone.
const shortestName = 4

// namesake is what stands in a box that is so wide: its name on one line or on two, a
// long one cut short, or its number alone.
func namesake(p pack.Part, width float64) []string {
	number := strconv.Itoa(p.Number)
	if line := called(p); textSize(line).X <= width {
		return []string{line}
	}
	for n := longestName; n >= shortestName; n-- {
		if lines := []string{brief(p.Box, n), number}; textSize(lines...).X <= width {
			return lines
		}
	}
	return []string{number}
}

// seesBox tells whether the middle and the corners of an area of the picture show the
// near face of a box.
func (d *drawing) seesBox(b body, area r2.Rect) bool {
	v := area.Vertices()
	for _, q := range append(v[:], area.Center()) {
		if !d.scene.seen(d.onNear(b, q), d.dir.eye()) {
			return false
		}
	}
	return true
}

// onNear is the point in space before the box at a point of the picture.
func (d *drawing) onNear(b body, q r2.Point) r3.Vector {
	flat := r2.Point{X: d.window.X.Lo + (q.X-d.at.X)/d.scene.scale, Y: d.window.Y.Hi - (q.Y-d.at.Y)/d.scene.scale}
	near := math.Inf(-1)
	for _, f := range b.faces {
		for _, c := range f.Corners {
			_, n := d.dir.flatten(c)
			near = math.Max(near, n)
		}
	}
	return d.dir.unflatten(flat, near)
}

func (d Direction) unflatten(p r2.Point, near float64) r3.Vector {
	switch d {
	case FromFront:
		return r3.Vector{X: near, Y: p.X, Z: p.Y}
	case FromTop:
		return r3.Vector{X: p.X, Y: p.Y, Z: near}
	}
	return r3.Vector{X: p.X, Y: -near, Z: p.Y}
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

// obstacleName writes the name of a rail or a keep-out near where it is, rather beside the boxes.
func (d *drawing) obstacleName(b body, bounds r2.Rect, boxes []r2.Rect) {
	name := brief(b.name, longestName)
	middle, size := bounds.Center(), textSize(name)
	area, free := d.place(size, d.pxRect(d.window), func(c r2.Point) float64 {
		value := bounds.ClampPoint(c).Sub(c).Norm() + c.Sub(middle).Norm()/8
		if overAny(boxes, r2.RectFromCenterSize(c, size)) {
			value += 60
		}
		return value
	}, nil)
	if !free {
		return
	}
	d.taken = append(d.taken, area)
	if !bounds.ContainsPoint(area.Center()) {
		d.line("rw-thin", area.ClampPoint(bounds.ClampPoint(area.Center())), bounds.ClampPoint(area.Center()))
	}
	d.text("rw-m rw-halo", r2.Point{X: area.Center().X, Y: area.Center().Y + 4}, name)
}

func overAny(areas []r2.Rect, area r2.Rect) bool {
	return slices.ContainsFunc(areas, area.Intersects)
}
