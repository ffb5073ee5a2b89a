package card

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r2"

	"rackwright/export/drawing"
	"rackwright/export/nest"
	"rackwright/geom"
	"rackwright/pack"
)

// Label says what is written on a net.
type Label struct {
	Name   string            // what the box is called: "battery", "battery 1 and 3"
	Stand  *pack.Orientation // how it stands in the layout, nil without one
	Layout string            // what the layout is called
	Unit   geom.Unit         // of sizes and masses in words
	Clear  float64           // what a post has to stay clear of metal, in millimetres
	Copies int               // how many boxes are made of it, 0 where that is not said
}

// labels writes on one net.
type labels struct {
	Label
	net   *Net
	aside *[]aside                      // what has no room on the part that is drawn
	notes map[pack.Face]map[string]note // at the posts of a face by their names, once asked for
}

// margin is left free around a part of a net, in millimetres.
const margin = 6.0

// Pieces returns a drawing for each part of the net, with the rectangles that it takes:
// solid lines are cut, dashed ones folded away from the reader. The strips to roll posts
// of lie beside the first part, or with apart are a piece of their own.
func (n *Net) Pieces(label Label, apart bool) []nest.Part {
	l := labels{Label: label, net: n, aside: new([]aside), notes: map[pack.Face]map[string]note{}}
	var all, strips []nest.Part
	for part := range n.Parts {
		whole, left := l.part(part)
		all = append(all, l.seamed(part, whole)...)
		strips = append(strips, stripsOf(left)...)
	}
	rolls := l.rolls()
	switch {
	case rolls.Size == (r2.Point{}):
	case apart:
		all = append(all, nest.Whole(rolls))
	default:
		all[0] = beside(all[0], rolls)
	}
	return append(all, strips...)
}

// beside adds a small drawing: into a lower corner of another one where nothing is, or
// to the right of it.
func beside(p nest.Part, small drawing.Drawing) nest.Part {
	size := &p.Drawing.Size
	for _, at := range []r2.Point{{X: size.X - small.Size.X - margin, Y: margin}, {X: margin, Y: margin}, {X: size.X, Y: margin}} {
		area := r2.RectFromPoints(at, at.Add(small.Size))
		free := at.X >= margin
		for _, r := range p.Rects {
			free = free && !r.ExpandedByMargin(margin/2).Intersects(area)
		}
		if free {
			p.Drawing.Add(small, 0, at)
			p.Rects = append(p.Rects, area)
			*size = r2.Point{X: max(size.X, area.X.Hi+margin), Y: max(size.Y, area.Y.Hi+margin)}
			return p
		}
	}
	return p
}

// part draws a part of the net, and returns what of its words has no room on it or beside it.
func (l labels) part(part int) (nest.Part, []aside) {
	n := l.net
	*l.aside = nil
	var flat drawing.Drawing
	for _, loop := range drawing.Join(n.cuts(part)) {
		flat.Polygon(drawing.Cut, loop)
		flat.ScissorsOn(loop)
	}
	for _, f := range n.Folds {
		if n.Panels[f.Child].Part == part {
			flat.Line(drawing.Fold, f.From, f.To)
		}
	}
	var rects []r2.Rect
	for _, p := range n.Panels {
		if p.Part == part {
			l.panel(&flat, p)
			rects = append(rects, p.Rect)
		}
	}
	left := *l.aside
	if !n.isSeamed(part) {
		left = l.writeAside(&flat, &rects, left)
	}
	b := n.Bounds(part)
	for _, r := range rects {
		b = b.AddRect(r)
	}
	by := r2.Point{X: margin, Y: margin}.Sub(b.Lo())
	piece := nest.Part{Drawing: drawing.Drawing{Title: l.title(part), Size: b.Size().Add(r2.Point{X: 2 * margin, Y: 2 * margin})}}
	for _, r := range rects {
		piece.Rects = append(piece.Rects, moved(r, by))
	}
	piece.Drawing.Add(flat, 0, by)
	return piece, left
}

func (l labels) title(part int) string {
	text := "Card template: " + l.Name
	if l.net.Parts > 1 {
		text += fmt.Sprintf(", part %d of %d", part+1, l.net.Parts)
	}
	if l.Copies > 1 {
		text += fmt.Sprintf(", %d copies", l.Copies)
	}
	return text
}

// panel draws what is on a panel and in it.
func (l labels) panel(d *drawing.Drawing, p Panel) {
	if p.Flap {
		turns := 0
		if p.Rect.Y.Length() > p.Rect.X.Length() {
			turns = 1
		}
		if narrow := min(p.Rect.X.Length(), p.Rect.Y.Length()); narrow > drawing.Least+1 {
			fitting(d, p.Rect.Center(), min(5, narrow/2), max(p.Rect.X.Length(), p.Rect.Y.Length())-4, turns, l.flapText(p), "glue inside", "glue")
		}
		return
	}
	if hole, ok := l.net.hole(p.Face); ok {
		d.Polygon(drawing.Cut, slot(hole))
	}
	before := len(d.Texts)
	l.face(d, l.net.roomOn(p, nil))
	for _, t := range l.net.Kind.Posts {
		if t.Face == p.Face {
			l.post(d, p, t)
		}
	}
	l.level(d, p)
	for _, t := range l.net.Kind.Posts {
		if t.Face == p.Face && l.Clear > 0 {
			l.ring(d, p, t, d.Texts[before:])
		}
	}
}

// flapText says where a flap goes.
func (l labels) flapText(p Panel) string {
	for _, g := range l.net.Glued {
		if l.net.Panels[g.Flap] == p {
			return "glue inside of " + l.net.Panels[g.Inside].Face.String()
		}
	}
	return "glue inside"
}

// slot is a slot with round ends that fills a rectangle.
func slot(r r2.Rect) []r2.Point {
	c, half := r.Center(), r.Size().Mul(0.5)
	turn := 0.0
	if half.Y > half.X {
		half.X, half.Y, turn = half.Y, half.X, math.Pi/2
	}
	off := half.X - half.Y
	aside := r2.Point{X: off * math.Cos(turn), Y: off * math.Sin(turn)}
	right := drawing.Arc(c.Add(aside), half.Y, turn-math.Pi/2, turn+math.Pi/2)
	return append(right, drawing.Arc(c.Sub(aside), half.Y, turn+math.Pi/2, turn+3*math.Pi/2)...)
}

// stand is how the box stands where no layout says it: upright.
func (l labels) stand() pack.Orientation {
	if l.Stand != nil {
		return *l.Stand
	}
	return pack.Orientation{Up: pack.Top, Front: pack.Front}
}

// lead is the distance of lines of text over their size.
const lead = 1.3

// face writes what a face is, clear of its posts and its hand hole. The walls of the
// box in its stand say which way is up, the upper and the lower face where the front of the
// vehicle is, and the largest two what the real box weighs. Of the box's own faces and of the
// vehicle it never speaks in one line.
func (l labels) face(d *drawing.Drawing, p Panel) {
	stand := l.stand()
	arrow, up := "this way up", stand.Up.Normal()
	lines := []string{l.Name, "its " + p.Face.String() + " face"}
	switch {
	case p.Face.Axis() == stand.Up.Axis():
		arrow, up = "vehicle's front", stand.Front.Normal()
		if l.Stand == nil {
			arrow = "to its front face"
		}
		if p.Face == stand.Up && l.Layout != "" {
			lines = append(lines, "up in "+l.Layout)
		}
	case l.Stand == nil:
		arrow = "up when upright"
	case p.Face == stand.Front:
		lines = append(lines, "looks forward")
	}
	if tilt := l.tilt(); tilt != "" && p.Face.Axis() != stand.Front.Axis() {
		lines = append(lines, tilt)
	}
	if p.Face.Axis() == l.net.largest() {
		if l.net.Kind.Mass > 0 {
			lines = append(lines, "the real one weighs "+mass(l.net.Kind.Mass, l.Unit))
			if l.net.Kind.Mass > oneLifts {
				lines = append(lines, "lift it with two people or a hoist")
			}
		}
		lines = append(lines, "mock-up – weighs nothing")
	}
	turns := quarter(l.net.along(p.Face, up))
	if l.write(d, p, turns, append([]string{"", "", arrow}, lines...)) || l.write(d, p, turns, append([]string{"", "", arrow}, lines[:2]...)) {
		return
	}
	lines[0] += ", " + lines[1]
	l.arrowAlone(d, p, turns, append([]string{lines[0], "arrow: " + arrow}, lines[2:]...))
}

// arrowAlone draws but the arrow on a face that is too small for words, as long as posts leave
// room for it, and leaves the words to go beside the net.
func (l labels) arrowAlone(d *drawing.Drawing, p Panel, turns int, lines []string) {
	up := drawing.Turned(r2.Point{Y: 1}, turns)
	long := p.Rect.Y.Length()
	if turns%2 == 1 {
		long = p.Rect.X.Length()
	}
	half := min(8, 0.3*long)
	for _, at := range []r2.Point{{X: 0.5, Y: 0.5}, {X: 0.2, Y: 0.5}, {X: 0.8, Y: 0.5}, {X: 0.5, Y: 0.2}, {X: 0.5, Y: 0.8}} {
		c := p.Rect.Lo().Add(r2.Point{X: at.X * p.Rect.X.Length(), Y: at.Y * p.Rect.Y.Length()})
		area := r2.RectFromPoints(c.Sub(up.Mul(half)), c.Add(up.Mul(half))).ExpandedByMargin(2)
		if p.Rect.Contains(area) && !l.taken(p, area, false) {
			d.Arrow(c.Sub(up.Mul(half)), c.Add(up.Mul(half)))
			*l.aside = append(*l.aside, newAside(c.Sub(up.Mul(half)), lines...))
			return
		}
	}
	*l.aside = append(*l.aside, newAside(p.Rect.Center(), slices.Delete(lines, 1, 2)...))
}

// level draws, on the sides of a tilted box, a line that is level in the layout: from edge to
// edge through the middle, interrupted where words are.
func (l labels) level(d *drawing.Drawing, p Panel) {
	stand := l.stand()
	sideways := stand.Up.Normal().Cross(stand.Front.Normal())
	if l.tilt() == "" || math.Abs(p.Face.Normal().Dot(sideways)) < 0.5 {
		return
	}
	sin, cos := math.Sincos(stand.Tilt.Radians())
	// Tilted nose down, what is level points up by the tilt along the box's own front.
	along := l.net.along(p.Face, stand.Front.Normal().Mul(cos).Add(stand.Up.Normal().Mul(sin))).Normalize()
	middle, reach := p.Rect.Center(), p.Rect.Size().Norm()
	var line []r2.Point
	for at := -reach; at <= reach; at++ {
		line = append(line, middle.Add(along.Mul(at)))
	}
	free := func(q r2.Point) bool {
		for _, text := range d.Texts {
			if text.Area().ExpandedByMargin(ringAir).ContainsPoint(q) {
				return false
			}
		}
		return p.Rect.ContainsPoint(q)
	}
	for _, run := range within(line, free) {
		d.Paths = append(d.Paths, drawing.Path{Layer: drawing.Mark, Points: run, Dotted: true})
	}
}

// oneLifts is the most in kg that one person should lift: the load constant of NIOSH
// 94-110, from a secondary source.
const oneLifts = 23

// largest is the axis across the largest two faces of the box.
func (n *Net) largest() int {
	s := n.Kind.Size
	switch min(s.X, s.Y, s.Z) {
	case s.Z:
		return 2
	case s.Y:
		return 1
	}
	return 0
}

// quarter is how many quarter turns counter-clockwise bring upwards to a direction.
func quarter(up r2.Point) int {
	for turns := range 4 {
		if drawing.Turned(r2.Point{Y: 1}, turns).Dot(up) > 0.5 {
			return turns
		}
	}
	return 0
}

// write puts lines of text under each other where the panel has room for them, with an
// arrow upwards in the room of the first two; it is false for a face too small for them.
func (l labels) write(d *drawing.Drawing, p Panel, turns int, lines []string) bool {
	at, size, ok := l.room(p, turns, lines)
	if !ok {
		return false
	}
	up := drawing.Turned(r2.Point{Y: lead * size}, turns)
	middle := float64(len(lines)-1) / 2
	long := p.Rect.X.Length()
	if turns%2 == 1 {
		long = p.Rect.Y.Length()
	}
	for i, line := range lines {
		d.Text(at.Add(up.Mul(middle-float64(i))), size, long-2, turns, line)
	}
	d.Arrow(at.Add(up.Mul(middle-1.3)), at.Add(up.Mul(middle+0.4)))
	return true
}

// room finds where on a panel lines of text go, as large as posts and hole let them.
func (l labels) room(p Panel, turns int, lines []string) (at r2.Point, size float64, ok bool) {
	long := 0.0
	for _, line := range lines {
		long = max(long, drawing.Width(line, 1))
	}
	for _, rings := range []bool{true, false} { // clear of the rings where that can be
		if at, size, ok := l.roomBeside(p, turns, long, len(lines), rings); ok {
			return at, size, true
		}
	}
	return r2.Point{}, 0, false
}

// roomBeside is room for a number of lines as long as given, over their size.
func (l labels) roomBeside(p Panel, turns int, long float64, lines int, rings bool) (at r2.Point, size float64, ok bool) {
	const air = 3.0
	for _, size = range []float64{9, 7.6, 6.5, 5.5, 4.8, drawing.Least} {
		need := r2.Point{X: size*long + 2*air, Y: lead*size*float64(lines) + 2*air}
		if turns%2 == 1 {
			need.X, need.Y = need.Y, need.X
		}
		free := r2.Rect{X: p.Rect.X.Expanded(-need.X / 2), Y: p.Rect.Y.Expanded(-need.Y / 2)}
		if free.X.IsEmpty() || free.Y.IsEmpty() {
			continue
		}
		for _, fy := range []float64{0.5, 0.25, 0.75, 0, 1} {
			for _, fx := range []float64{0.5, 0.25, 0.75, 0, 1} {
				at = r2.Point{X: free.X.Lo + fx*free.X.Length(), Y: free.Y.Lo + fy*free.Y.Length()}
				if !l.taken(p, r2.RectFromCenterSize(at, need), rings) {
					return at, size, true
				}
			}
		}
	}
	return r2.Point{}, 0, false
}

// taken tells whether an area of a panel meets a post, what is written at it, its ring
// too with rings, or the hand hole.
func (l labels) taken(p Panel, area r2.Rect, rings bool) bool {
	if hole, ok := l.net.hole(p.Face); ok && area.Intersects(hole) {
		return true
	}
	for _, t := range l.net.Kind.Posts {
		if t.Face != p.Face {
			continue
		}
		wide := t.Diameter
		if rings {
			wide += 2 * l.Clear
		}
		c := l.net.At(p.Face, t.At)
		if area.Intersects(r2.RectFromCenterSize(c, r2.Point{X: wide, Y: wide})) || area.Intersects(l.postNote(t).area) {
			return true
		}
	}
	return false
}

func mass(kg float64, unit geom.Unit) string {
	if unit == geom.Inch {
		return fmt.Sprintf("%.1f lb", kg/geom.KilogramsPerPound)
	}
	return fmt.Sprintf("%.1f kg", kg)
}
