package wiring

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"rackwright/export"
	"rackwright/export/drawing"
	"rackwright/export/view"
	"rackwright/pack"
	"rackwright/pack/wire"
)

// Lines and letters of the pictures in mm on paper.
const (
	thick    = 1.1 // a cable
	farthest = 9.0 // the number of a cable from it, if a smaller one comes nearer
	nameAt   = 2.9 // the name of a box
	postSign = 1.3 // half of the strokes of a post's sign
	caption  = 5.0 // room for the words over a picture
)

// numbers are how large those of cables are, the first that has room.
var numbers = [...]float64{4.6, 3.4, 2.5}

// pictures are the views of a sheet: the same scale, front to the right in both.
type pictures struct {
	scene *view.Scene
	plan  wire.Plan
	dirs  []view.Direction
	lines []view.Lines
	area  []r2.Rect // what each shows, in mm of the vehicle
}

func newPictures(problem pack.Problem, layout pack.Layout, plan wire.Plan) (*pictures, error) {
	scene, err := view.NewScene(problem, export.Judged{Layout: layout}, view.Options{})
	if err != nil {
		return nil, err
	}
	p := &pictures{scene: scene, plan: plan, dirs: []view.Direction{view.FromRight, view.FromTop}}
	for _, d := range p.dirs {
		l := scene.Lines(d)
		p.lines = append(p.lines, l)
		p.area = append(p.area, p.extent(l, d))
	}
	return p, nil
}

// extent is the rectangle around all that a picture shows.
func (p *pictures) extent(l view.Lines, d view.Direction) r2.Rect {
	all := r2.EmptyRect()
	for _, loop := range l.Opening {
		for _, q := range loop {
			all = all.AddPoint(q)
		}
	}
	for _, b := range l.Boxes {
		all = all.AddRect(b.Area)
	}
	for _, j := range p.plan.Cables() {
		for _, piece := range j.Solids {
			seen, hidden := p.scene.Split(piece.From, piece.To, d)
			for _, line := range append(seen, hidden...) {
				all = all.AddPoint(line[0]).AddPoint(line[1])
			}
		}
	}
	return all
}

// sign is what stands at a cable in the pictures: its number, or the polarity of a lead.
func (p *pictures) sign(i int) string {
	to := "lead"
	switch leads := i - len(p.plan.Jumpers); {
	case leads < 0:
		return fmt.Sprint(i + 1)
	case leads >= len(p.plan.Leads):
		to = "charger"
	}
	if k := slices.Index(p.plan.Plus, p.plan.Cables()[i].From); k >= 0 {
		return to + " +" + p.plan.StringName(k)
	}
	return to + " −"
}

// draw puts the pictures below each other into the room from top down, at most high, and
// returns where they end.
func (p *pictures) draw(d *drawing.Drawing, top, high float64) float64 {
	wide, sum := 0.0, 0.0
	for _, a := range p.area {
		wide, sum = max(wide, a.Size().X), sum+a.Size().Y
	}
	room := d.Size.X - 2*margin
	scale := min(1, room/wide, (high-float64(len(p.dirs))*(caption+2))/sum)
	for i, dir := range p.dirs {
		d.TextFrom(r2.Point{X: margin, Y: top - caption/2}, 3, room, dir.Title()+":")
		top -= caption
		size := p.area[i].Size().Mul(scale)
		one := picture{d, scale, r2.Point{X: margin + (room-size.X)/2, Y: top - size.Y}.Sub(p.area[i].Lo().Mul(scale))}
		one.draw(p, i)
		top -= size.Y + 2
	}
	return top
}

// picture is one view being drawn.
type picture struct {
	*drawing.Drawing
	scale float64
	shift r2.Point
}

func (v picture) at(p r2.Point) r2.Point { return p.Mul(v.scale).Add(v.shift) }

func (v picture) draw(p *pictures, i int) {
	lines := p.lines[i]
	for _, loop := range lines.Opening {
		v.loop(loop)
	}
	for _, l := range lines.Seen {
		v.Line(drawing.Mark, v.at(l[0]), v.at(l[1]))
	}
	for _, post := range lines.Posts {
		v.post(post)
	}
	for _, j := range p.plan.Cables() {
		v.cable(p, j, p.dirs[i])
	}
	for k, j := range p.plan.Cables() {
		v.number(p, j, p.dirs[i], p.sign(k))
	}
	for _, b := range lines.Boxes {
		v.name(b, func(q r2.Point) string { return p.scene.BoxAt(v.back(q), p.dirs[i]) })
	}
}

// name writes the name of a box where it and nothing else is seen, as near to its middle as can
// be; a box without such a place is named in the other picture, or in none.
func (v picture) name(b view.NamedArea, seen func(r2.Point) string) {
	const step = 1.0 // mm on paper
	area := r2.RectFromPoints(v.at(b.Area.Lo()), v.at(b.Area.Hi()))
	size := r2.Point{X: drawing.Width(b.Name, nameAt), Y: nameAt}
	best, found := r2.Point{}, false
	for x := area.X.Lo + size.X/2 + step; x < area.X.Hi-size.X/2; x += step {
		for y := area.Y.Lo + size.Y/2 + step; y < area.Y.Hi-size.Y/2; y += step {
			at := r2.Point{X: x, Y: y}
			nearer := !found || at.Sub(area.Center()).Norm() < best.Sub(area.Center()).Norm()
			if nearer && v.free(r2.RectFromCenterSize(at, size), b.Name, seen) {
				best, found = at, true
			}
		}
	}
	if found {
		v.Text(best, nameAt, math.Inf(1), 0, b.Name)
	}
}

// free tells whether only a box is seen in an area.
func (v picture) free(area r2.Rect, name string, seen func(r2.Point) string) bool {
	for _, q := range area.Vertices() {
		if seen(q) != name {
			return false
		}
	}
	return !v.Touches(area.ExpandedByMargin(0.5))
}

// back is the point of the vehicle of a point on paper.
func (v picture) back(p r2.Point) r2.Point { return p.Sub(v.shift).Mul(1 / v.scale) }

func (v picture) loop(points []r2.Point) {
	var corners []r2.Point
	for _, q := range points {
		corners = append(corners, v.at(q))
	}
	v.Paths = append(v.Paths, drawing.Path{Layer: drawing.Mark, Points: corners, Closed: true, Dotted: true})
}

// post writes the sign of a polarity on a post, where it can be seen.
func (v picture) post(post view.NamedArea) {
	if !post.Seen {
		return
	}
	c := v.at(post.Area.Center())
	v.Line(drawing.Cut, c.Sub(r2.Point{X: postSign}), c.Add(r2.Point{X: postSign}))
	if post.Name == "+" {
		v.Line(drawing.Cut, c.Sub(r2.Point{Y: postSign}), c.Add(r2.Point{Y: postSign}))
	}
}

// cable draws a cable as a thick line, broken where a box is before it.
func (v picture) cable(p *pictures, j wire.Jumper, dir view.Direction) {
	for _, piece := range j.Solids {
		seen, hidden := p.scene.Split(piece.From, piece.To, dir)
		for _, l := range seen {
			v.Paths = append(v.Paths, drawing.Path{Layer: drawing.Mark, Points: []r2.Point{v.at(l[0]), v.at(l[1])}, Width: thick})
		}
		for _, l := range hidden {
			v.Paths = append(v.Paths, drawing.Path{Layer: drawing.Mark, Dotted: true, Points: []r2.Point{v.at(l[0]), v.at(l[1])}, Width: thick})
		}
	}
}

// number writes the sign of a cable beside the longest stretch that shows of it, with a line to
// that where the sign had to go farther.
func (v picture) number(p *pictures, j wire.Jumper, dir view.Direction, sign string) {
	var longest [2]r2.Point
	for _, piece := range j.Solids {
		seen, hidden := p.scene.Split(piece.From, piece.To, dir)
		for _, l := range append(seen, hidden...) {
			if l[0].Sub(l[1]).Norm() > longest[0].Sub(longest[1]).Norm() {
				longest = l
			}
		}
	}
	middle := v.at(longest[0].Add(longest[1]).Mul(0.5))
	for i, size := range numbers {
		v.TextNear(middle, size, 0, sign)
		text := v.Texts[len(v.Texts)-1]
		away := text.Area().ClampPoint(middle)
		last := i == len(numbers)-1
		sheet := r2.Rect{X: r1.Interval{Lo: margin, Hi: v.Size.X - margin}, Y: r1.Interval{Lo: margin, Hi: v.Size.Y - margin}}
		if away.Sub(middle).Norm() > farthest && !(last && sheet.Contains(text.Area())) {
			v.Texts = v.Texts[:len(v.Texts)-1]
			if last { // no room anywhere: on the cable itself
				v.Text(middle, size, math.Inf(1), 0, sign)
			}
			continue
		}
		if away.Sub(middle).Norm() > size/2 {
			v.Line(drawing.Mark, away, middle)
		}
		return
	}
}
