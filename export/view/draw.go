package view

import (
	"fmt"
	"io"
	"strings"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// drawing is one view of a scene.
type drawing struct {
	scene   *Scene
	dir     Direction
	window  r2.Rect
	prefix  string    // of names within the file
	at      r2.Point  // of the window's upper left corner in the picture
	taken   []r2.Rect // where no words may stand
	ink     []inked
	told    []gap // that are told in the view
	owners  map[string]int
	order   []layer                  // what is seen where, nearest first
	drawnOf map[string][][2]r2.Point // of bodies by their keys, what is drawn of them
	unit    geom.Unit                // of the words that are being placed
	worded  []worded                 // in each unit
	sizing  bool                     // only the size and the words are asked for
	shared  bool                     // a sheet with other views, which has one scale bar
	lift    float64                  // pixels that the column of words may reach above the view
	over    float64                  // pixels that it reaches below all else
	*picture
}

func (s *Scene) view(d Direction) *drawing {
	return &drawing{scene: s, dir: d, window: s.window(d), prefix: s.options.Prefix + d.String() + "-", picture: &picture{}, drawnOf: map[string][][2]r2.Point{}}
}

// WriteView writes one view as SVG.
func (s *Scene) WriteView(w io.Writer, dir Direction) error {
	d := s.ready().view(dir)
	d.draw()
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

// topRoom in pixels is above a view, for its title.
const topRoom = 34.0

// rightRim in pixels is left at the right of a view.
const rightRim = 14.0

// draw makes the picture. Where the column of words beside the view is the longest, the view is put as
// far down as takes no more paper, so that fewer leaders run through the figures below it.
func (d *drawing) draw() {
	d.paint()
	if d.sizing || d.over == 0 {
		return
	}
	low := d.scene.view(d.dir)
	low.prefix, low.shared, low.lift = d.prefix, d.shared, d.over
	low.paint()
	if low.size.X <= d.size.X && low.size.Y <= d.size.Y {
		*d = *low
	}
}

// paint draws what is far first, then edges, then leaders, then words.
func (d *drawing) paint() {
	rulers := d.rulers()
	d.at = r2.Point{X: rulers.left.room(d.scene), Y: topRoom}
	w := d.window.Size().Mul(d.scene.scale)
	top := rulers.left.heights(d)[0]
	d.at.Y += d.lift + max(0, d.at.Y-(top.label-top.size/2+lineHeight/2)) // labels that reach above the window
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
	rulers.block(d)
	if !d.shared {
		d.foot()
	}
	d.notches()
	d.gaps()
	d.measures()
	d.polarities()
	d.letters()
	d.words(rulers)
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

// fills paints the faces that look to the eye.
func (d *drawing) fills() {
	if d.sizing {
		return
	}
	for _, b := range d.scene.sightFrom(d.dir).painted {
		fmt.Fprintf(d, "<path fill=%q d=%q/>\n", d.fillOf(b), d.silhouette(b))
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

// edges draws what is seen of the bodies, and what is hidden.
func (d *drawing) edges() {
	for _, o := range d.scene.sightFrom(d.dir).outlines {
		var lines strokes
		for _, e := range o.edges {
			d.segment(&lines, e.class, e.a, e.b)
		}
		d.stroke(lines)
		for _, paths := range lines.paths {
			d.drew(o.body, paths)
		}
	}
}

// drew notes what is drawn of a body, so that words do not lie on it and leaders end at it.
func (d *drawing) drew(b body, paths [][]r2.Point) {
	for _, path := range paths {
		for i := 1; i < len(path); i++ {
			d.ink = append(d.ink, inked{path[i-1], path[i], light})
			d.drawnOf[b.key()] = append(d.drawnOf[b.key()], [2]r2.Point{path[i-1], path[i]})
		}
	}
}

func (d *drawing) segment(lines *strokes, class string, a, b r3.Vector) {
	from, to := d.px(d.dir.flat(a)), d.px(d.dir.flat(b))
	if from.Sub(to).Norm() >= 0.1 {
		lines.add(class, from, to)
	}
}

// frame draws the opening: its sides, in the side view those that are open when boxes go in
// dash-dotted.
func (d *drawing) frame() {
	o := d.scene.problem.Frame.Opening
	for _, rim := range d.scene.rim(d.dir) {
		corners := d.pxAll(rim)
		for i, a := range corners {
			class := "rw-side"
			if d.dir.facing() == FromRight && o.SideOpen(i) {
				class = "rw-open"
			}
			d.line(class, a, corners[(i+1)%len(corners)])
			d.ink = append(d.ink, inked{a, corners[(i+1)%len(corners)], heavy})
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
		d.taken = append(d.taken, r2.RectFromCenterSize(c, r2.Point{X: 2 * r, Y: 2 * r}))
	}
}

// measures draws relations in place, with a ring around each; their words come with all others.
func (d *drawing) measures() {
	for _, m := range d.scene.measures {
		d.ringOf(m)
	}
}

// gaps draws those that are told in the view.
func (d *drawing) gaps() {
	if d.scene.cut != nil {
		return
	}
	d.told = d.scene.gapsIn(d.dir)
	for _, g := range d.told {
		a, b := d.px(d.dir.flat(g.from)), d.px(d.dir.flat(g.to))
		d.taken = append(d.taken, r2.RectFromPoints(a, b).ExpandedByMargin(3))
		d.drawGap(g)
	}
}

// letters writes those of a rack's bars.
func (d *drawing) letters() {
	for _, b := range d.scene.ofRole(func(b body) bool { return b.role == rackBody }) {
		d.letter(b)
	}
}

// ring is the circle around where a relation is drawn.
func (d *drawing) ring(m Measure) (middle r2.Point, radius float64) {
	a, b := d.px(d.dir.flat(m.From)), d.px(d.dir.flat(m.To))
	return a.Add(b).Mul(0.5), max(9, a.Sub(b).Norm()/2+5)
}

// ringOf draws a relation without its words.
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

// bare is a length without its unit.
func bare(length string) string {
	return strings.TrimSuffix(strings.TrimSuffix(length, " mm"), " in")
}
