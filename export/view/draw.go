package view

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r2"

	"rackwright/geom"
)

// drawing is one view of a scene.
type drawing struct {
	scene  *Scene
	dir    Direction
	window r2.Rect
	prefix string    // of names within the file
	posts  []r2.Rect // where words stand only if there is no other room
	at     r2.Point  // of the window's upper left corner in the picture
	taken  []r2.Rect
	*picture
}

func (s *Scene) view(d Direction) *drawing {
	return &drawing{scene: s, dir: d, window: s.window(d), prefix: s.options.Prefix + d.String() + "-", picture: &picture{}}
}

// WriteView writes one view as SVG.
func (s *Scene) WriteView(w io.Writer, dir Direction) error {
	d := s.view(dir)
	d.draw()
	// In the corner between the rulers nothing else stands.
	corner := r2.Point{X: 4, Y: d.px(d.window.Lo()).Y + bend}
	d.size.Y = max(d.size.Y, corner.Y+barHeight)
	d.scene.scaleBar(d.picture, corner)
	return s.writeSVG(w, d.picture, d.prefix, d.title, s.description)
}

// title is what stands over the drawing.
func (d *drawing) title(u geom.Unit) string {
	if d.scene.cut == nil && d.scene.options.Rack != nil {
		return d.dir.Title() + ": the " + d.scene.options.RackName + ", by the letters of its bars"
	}
	if d.scene.cut == nil {
		return d.dir.Title()
	}
	floor := d.scene.opening(FromRight).Y.Lo
	return "Cut level at " + geom.FormatLength(*d.scene.cut-floor, u) + " above the floor, from the top"
}

// rightRim in pixels is left at the right of a view.
const rightRim = 14.0

// draw makes the picture: what is far first, then edges, then words.
func (d *drawing) draw() {
	rulers := d.rulers()
	d.at = r2.Point{X: rulers.left.room(d.scene), Y: 34}
	w := d.window.Size().Mul(d.scene.scale)
	top := rulers.left.heights(d)[0]
	d.at.Y += max(0, d.at.Y-(top.label-top.size/2+lineHeight/2)) // labels that reach above the window
	places := rulers.bottom.places(d)
	last := places[len(places)-1]
	d.size = r2.Point{X: max(d.at.X+w.X, last.label+last.size/2-lineHeight/2) + rightRim, Y: d.at.Y + w.Y + rulers.bottom.room(d.scene)}
	d.scene.each(d.title, func(_, line string) { d.size.X = max(d.size.X, 8+boldWidth(line)) })
	d.scene.each(d.title, func(class, line string) { d.text("rw-b"+class, r2.Point{X: 4, Y: 15}, line) })
	clip := d.prefix + "clip-" + d.dir.String()
	fmt.Fprintf(d, `<clipPath id="%s"><rect x="%s" y="%s" width="%s" height="%s"/></clipPath><g clip-path="url(#%s)">`+"\n",
		clip, num(d.at.X), num(d.at.Y), num(w.X), num(w.Y), clip)
	d.fills()
	d.frame()
	d.edges()
	fmt.Fprintln(d, "</g>")
	d.measures()
	d.polarities()
	d.names()
	rulers.draw(d)
}

// px is a point of the view in the picture.
func (d *drawing) px(q r2.Point) r2.Point {
	return r2.Point{X: d.at.X + (q.X-d.window.X.Lo)*d.scene.scale, Y: d.at.Y + (d.window.Y.Hi-q.Y)*d.scene.scale}
}

func (d *drawing) pxAll(points []r2.Point) []r2.Point {
	var all []r2.Point
	for _, q := range points {
		all = append(all, d.px(q))
	}
	return all
}

func (d *drawing) pxRect(r r2.Rect) r2.Rect {
	return r2.RectFromPoints(d.px(r.Lo()), d.px(r.Hi()))
}

// fills paints the faces that look to the eye: what is of the frame first, even where it
// is before the boxes, for these are what is looked for; then the farthest body first.
func (d *drawing) fills() {
	type deep struct {
		body
		far float64
	}
	var all []deep
	for _, b := range d.scene.bodies {
		all = append(all, deep{b, b.farEnd(d.dir)})
	}
	slices.SortStableFunc(all, func(a, b deep) int {
		if a.ofFrame() != b.ofFrame() {
			return map[bool]int{true: -1, false: 1}[a.ofFrame()]
		}
		return cmp.Compare(a.far, b.far)
	})
	for _, b := range all {
		fmt.Fprintf(d, "<path fill=%q d=%q/>\n", d.fillOf(b.body), d.silhouette(b.body))
	}
}

// silhouette is the path around what a body covers: of a convex one around its corners,
// else around each face that looks to the eye.
func (d *drawing) silhouette(b body) string {
	var path strings.Builder
	var all []r2.Point
	for _, f := range b.faces {
		var loop []r2.Point
		for _, c := range f.Corners {
			loop = append(loop, d.px(d.dir.flat(c)))
		}
		all = append(all, loop...)
		if f.Normal.Dot(d.dir.eye()) > 1e-9 {
			path.WriteString(pathOf(loop) + "z")
		}
	}
	if len(b.solids) > 1 {
		return path.String()
	}
	return pathOf(geom.Polygon{Corners: all}.Hull().Corners) + "z"
}

func (d *drawing) fillOf(b body) string {
	switch b.role {
	case boxBody:
		return fmt.Sprintf("url(#%sk%d)", d.prefix, b.kind%len(hatches))
	case keepOutBody:
		return fmt.Sprintf("url(#%sko)", d.prefix)
	case rackBody:
		return fmt.Sprintf("url(#%srk)", d.prefix)
	case railBody:
		return "#cfd3d8"
	}
	return "#fff"
}

// edges draws what is seen, what is hidden, and what is before the boxes. Rails and
// keep-outs hide each other, but no box.
func (d *drawing) edges() {
	frame := newScreen(d.dir, d.scene.ofRole(body.ofFrame))
	rest := newScreen(d.dir, d.scene.ofRole(func(o body) bool { return !o.ofFrame() }))
	boxes := newScreen(d.dir, d.scene.ofRole(isBox))
	for _, b := range d.scene.bodies {
		if b.ofFrame() {
			d.edgesOf(b, frame, boxes)
		} else {
			d.edgesOf(b, rest, boxes)
		}
	}
}

func (d *drawing) edgesOf(b body, before, boxes *screen) {
	eye := d.dir.eye()
	var lines strokes
	var shown []edge
	pieces := d.scene.pieces(b)
	for _, e := range b.edges(eye) {
		shown = append(shown, withoutSeams(e, pieces)...)
	}
	for _, e := range shown {
		for _, s := range e.stretches(before, eye) {
			if s.hidden && b.role == rackBody {
				continue // there are too many for dashes to tell anything
			}
			class := map[bool]string{true: "rw-hid", false: "rw-line"}[s.hidden]
			if !b.ofFrame() {
				d.segment(&lines, class, s)
				continue
			}
			if s.hidden {
				continue // lines behind rails and keep-outs would only confuse
			}
			d.frameSegment(&lines, s, boxes)
		}
	}
	d.stroke(lines)
}

// frameSegment draws a part of an edge of the frame: behind boxes dashed, before them
// dotted.
func (d *drawing) frameSegment(lines *strokes, s stretch, boxes *screen) {
	eye := d.dir.eye()
	for _, behind := range (edge{a: s.a, b: s.b}).stretches(boxes, eye) {
		if behind.hidden {
			d.segment(lines, "rw-hid", behind)
			continue
		}
		for _, over := range (edge{a: behind.a, b: behind.b}).stretches(boxes, eye.Mul(-1)) {
			d.segment(lines, map[bool]string{true: "rw-over", false: "rw-line"}[over.hidden], over)
		}
	}
}

func (d *drawing) segment(lines *strokes, class string, s stretch) {
	from, to := d.px(d.dir.flat(s.a)), d.px(d.dir.flat(s.b))
	if from.Sub(to).Norm() >= 0.1 {
		lines.add(class, from, to)
	}
}

// frame draws the opening: its sides, those that are open when boxes go in dash-dotted.
func (d *drawing) frame() {
	o := d.scene.problem.Frame.Opening
	switch d.dir {
	case FromRight:
		corners := d.pxAll(o.Outline.Corners)
		for i, a := range corners {
			class := "rw-side"
			if o.SideOpen(i) {
				class = "rw-open"
			}
			d.line(class, a, corners[(i+1)%len(corners)])
		}
	case FromFront:
		corners := d.pxAll(d.scene.section())
		d.line("rw-side", append(corners, corners[0])...)
	case FromTop:
		for _, r := range d.scene.plan() {
			v := r.Vertices()
			corners := d.pxAll(v[:])
			d.line("rw-side", append(corners, corners[0])...)
		}
	}
}

// polarities marks the posts that can be seen from the end.
func (d *drawing) polarities() {
	eye := d.dir.eye()
	for _, b := range d.scene.bodies {
		if b.role != postBody || b.polarity == "" {
			continue
		}
		end := b.faces[0]
		c := d.px(b.bounds(d.dir).Center())
		r := max(4, b.bounds(d.dir).Size().X*d.scene.scale/2-1)
		middle := end.Corners[0].Add(end.Corners[len(end.Corners)/2]).Mul(0.5)
		if end.Normal.Dot(eye) < 0.9 || !d.scene.seen(middle.Add(eye.Mul(0.1)), eye) {
			continue
		}
		d.line("rw-line", r2.Point{X: c.X - r*0.7, Y: c.Y}, r2.Point{X: c.X + r*0.7, Y: c.Y})
		if b.polarity == "+" {
			d.line("rw-line", r2.Point{X: c.X, Y: c.Y - r*0.7}, r2.Point{X: c.X, Y: c.Y + r*0.7})
		}
		d.posts = append(d.posts, r2.RectFromCenterSize(c, r2.Point{X: 2 * r, Y: 2 * r}))
	}
}

// measures draws relations in place, with a ring around each.
func (d *drawing) measures() {
	for _, m := range d.scene.measures {
		d.ringOf(m)
	}
	for i, m := range d.scene.measures {
		d.measure(m, i == 0)
	}
}

// ring is the circle around where a relation is drawn.
func (d *drawing) ring(m Measure) (middle r2.Point, radius float64) {
	a, b := d.px(d.dir.flat(m.From)), d.px(d.dir.flat(m.To))
	return a.Add(b).Mul(0.5), max(9, a.Sub(b).Norm()/2+5)
}

// ringOf draws a relation without its words: all are drawn before words find their room.
func (d *drawing) ringOf(m Measure) {
	middle, ring := d.ring(m)
	d.corners(middle, ring)
	a, b := d.px(d.dir.flat(m.From)), d.px(d.dir.flat(m.To))
	if gap := b.Sub(a); gap.Norm() > 1 {
		d.line("rw-gap", a, b)
		aside := gap.Ortho().Normalize().Mul(tickHalf)
		d.line("rw-gap", a.Sub(aside), a.Add(aside))
		d.line("rw-gap", b.Sub(aside), b.Add(aside))
	}
	d.taken = append(d.taken, r2.RectFromCenterSize(middle, r2.Point{X: 2*ring + 2, Y: 2*ring + 2}))
}

// tickHalf in pixels is half of the tick at each end of a relation's line.
const tickHalf = 4.0

// corners draws the four corners of a square around a middle, which look at it as a viewfinder
// does: a circle with a bar in it would say that something is forbidden.
func (d *drawing) corners(middle r2.Point, half float64) {
	for turns := range 4 {
		x, y := float64(1-turns/2*2)*half, float64(1-(turns+1)/2%2*2)*half
		d.line("rw-gap",
			middle.Add(r2.Point{X: x * 0.4, Y: y}), middle.Add(r2.Point{X: x, Y: y}), middle.Add(r2.Point{X: x, Y: y * 0.4}))
	}
}

// measure writes the words of a relation, with a line to its ring: on one line or, where
// there is no room for that or it is wider than the view, on two. Where there is none either,
// those that are not told always are left to the other views.
func (d *drawing) measure(m Measure, always bool) {
	middle, ring := d.ring(m)
	within := d.pxRect(d.window)
	var lines func(geom.Unit) []string
	var area r2.Rect
	ok := false
	for rows := 1; rows <= 2 && !ok; rows++ {
		lines = func(u geom.Unit) []string { return strings.SplitN(m.Words(u), ", ", rows) }
		var size r2.Point
		for _, u := range d.scene.options.Units {
			own := textSize(lines(u)...)
			size = r2.Point{X: max(size.X, own.X), Y: max(size.Y, own.Y)}
		}
		area, ok = d.place(size, within, func(c r2.Point) float64 { return c.Sub(middle).Norm() }, nil)
		ok = ok && (rows == 2 || within.X.ContainsInterval(area.X))
	}
	if !ok && !always {
		return
	}
	d.taken = append(d.taken, area)
	d.line("rw-gap", area.ClampPoint(middle), middle.Add(area.ClampPoint(middle).Sub(middle).Normalize().Mul(ring)))
	d.scene.eachLine(lines, func(class string, below float64, line string) {
		d.text("rw-m rw-gapt rw-halo"+class, r2.Point{X: area.Center().X, Y: area.Center().Y + 4 + below}, line)
	})
}

// bare is a length without its unit.
func bare(length string) string {
	return strings.TrimSuffix(strings.TrimSuffix(length, " mm"), " in")
}

// textSize is the room that lines take, bold or not.
func textSize(lines ...string) r2.Point {
	wide := 0.0
	for _, l := range lines {
		wide = math.Max(wide, boldWidth(l))
	}
	return r2.Point{X: wide + 4, Y: lineHeight * float64(len(lines))}
}
