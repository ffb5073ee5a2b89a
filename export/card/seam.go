package card

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"rackwright/export/drawing"
	"rackwright/export/nest"
)

// A face larger than the sheet is cut along straight seams. Its pieces meet edge to edge
// and are held by strips glued inside, so that the outside of the box stays as it is.

const (
	// leastPiece is the least size in millimetres of a piece of a face that is worth cutting.
	leastPiece = 40.0
	// seamAir is left between a seam and a post or a hand hole, in millimetres.
	seamAir = 5.0
	// moreSeams is how many more pieces along an axis are tried where the fewest would
	// have a seam in a post.
	moreSeams = 4
)

// seams are the rows and columns of rectangles that a part is cut into by seams; none
// where pieces would be too small. Seams keep clear of posts and hand holes where they can.
func (n *Net) seams(part int) [][]r2.Rect {
	b := n.Bounds(part)
	var xs, ys []r1.Interval
	for _, r := range n.uncut(part) {
		xs, ys = append(xs, r.X), append(ys, r.Y)
	}
	var cols, rows []r1.Interval
	for _, s := range []r2.Point{n.sheet, {X: n.sheet.Y, Y: n.sheet.X}} {
		c, r := parted(b.X, s.X, n.full, xs), parted(b.Y, s.Y, n.full, ys)
		if len(c)*len(r) > 0 && (len(cols) == 0 || len(c)*len(r) < len(cols)*len(rows)) {
			cols, rows = c, r
		}
	}
	all := make([][]r2.Rect, len(cols))
	for i, c := range cols {
		for _, r := range rows {
			all[i] = append(all[i], r2.Rect{X: c, Y: r})
		}
	}
	return all
}

// uncut are the rectangles around the posts and the hand hole of a part, with some air.
func (n *Net) uncut(part int) []r2.Rect {
	var all []r2.Rect
	for _, p := range n.Panels {
		if p.Part != part || p.Flap {
			continue
		}
		if hole, ok := n.hole(p.Face); ok {
			all = append(all, hole.ExpandedByMargin(seamAir))
		}
		for _, t := range n.Kind.Posts {
			if t.Face == p.Face {
				wide := t.Diameter + 2*seamAir
				all = append(all, r2.RectFromCenterSize(n.At(t.Face, t.At), r2.Point{X: wide, Y: wide}))
			}
		}
	}
	return all
}

// parted cuts a length into the fewest stretches no longer than most, about equal, or with
// full each as long as can be but the last two, and with no cut inside of what is closed.
// Where every cut would be, equal stretches are cut through it. None where they would be
// too short.
func parted(whole r1.Interval, most float64, full bool, closed []r1.Interval) []r1.Interval {
	fewest := int(math.Ceil(whole.Length()/most - 1e-9))
	if fewest <= 1 {
		return []r1.Interval{whole}
	}
	for n := fewest; n <= fewest+moreSeams; n++ {
		long := whole.Length() / float64(n)
		if full {
			long = min(most, (whole.Length()-leastPiece)/float64(n-1))
		}
		if list, ok := stretches(whole, n, long, closed); ok && fit(list, most) {
			return list
		}
	}
	if list, _ := stretches(whole, fewest, whole.Length()/float64(fewest), nil); !full && fit(list, most) {
		return list
	}
	return nil
}

// stretches cuts a length into n, each cut at the place nearest to where stretches that
// are long would have it that is not inside of what is closed; false where there is none.
func stretches(whole r1.Interval, n int, long float64, closed []r1.Interval) ([]r1.Interval, bool) {
	var list []r1.Interval
	lo := whole.Lo
	for i := 1; i <= n; i++ {
		hi := whole.Hi
		if i < n {
			var ok bool
			if hi, ok = nearestOpen(whole.Lo+long*float64(i), closed); !ok || hi <= lo {
				return nil, false
			}
		}
		list = append(list, r1.Interval{Lo: lo, Hi: hi})
		lo = hi
	}
	return list, true
}

// nearestOpen is the place nearest to x that is not inside of what is closed.
func nearestOpen(x float64, closed []r1.Interval) (float64, bool) {
	places := []float64{x}
	for _, c := range closed {
		places = append(places, c.Lo, c.Hi)
	}
	best, found := 0.0, false
	for _, y := range places {
		in := slices.ContainsFunc(closed, func(c r1.Interval) bool { return c.InteriorContains(y) })
		if !in && (!found || math.Abs(y-x) < math.Abs(best-x)) {
			best, found = y, true
		}
	}
	return best, found
}

// fit tells whether stretches are neither too long nor, where there are several, too short.
func fit(list []r1.Interval, most float64) bool {
	for _, s := range list {
		if s.Length() > most+1e-9 || len(list) > 1 && s.Length() < leastPiece {
			return false
		}
	}
	return len(list) > 0
}

// fitsOn tells whether a rectangle goes onto a sheet, level or turned; any does onto none.
func fitsOn(size, sheet r2.Point) bool {
	return sheet == (r2.Point{}) ||
		max(size.X, size.Y) <= max(sheet.X, sheet.Y) && min(size.X, size.Y) <= min(sheet.X, sheet.Y)
}

// isSeamed tells whether a part is cut along seams.
func (n *Net) isSeamed(part int) bool { return !fitsOn(n.Bounds(part).Size(), n.sheet) }

// seamed are the pieces of a part that is larger than the sheet, and the strips that hold
// them together; the part alone where it is not.
func (l labels) seamed(part int, whole nest.Part) []nest.Part {
	n := l.net
	if !n.isSeamed(part) {
		return []nest.Part{whole}
	}
	by := r2.Point{X: margin, Y: margin}.Sub(n.Bounds(part).Lo()) // where the drawing has it
	face := n.Panels[slices.IndexFunc(n.Panels, func(p Panel) bool { return p.Part == part && !p.Flap })]
	inner := face.Rect.ExpandedByMargin(-n.flapWidth() - flapInset) // clear of the flaps inside
	all := n.seams(part)
	var pieces, strips []nest.Part
	for c := range all {
		for r, t := range all[c] {
			name := fmt.Sprintf("%s, %s, piece %s", l.Name, face.Face, pieceName(c, r))
			pieces = append(pieces, l.piece(whole, moved(t, by), moved(t.Intersection(face.Rect), by), name, pieceName(c, r)))
			edge := t.Intersection(inner)
			if edge.IsEmpty() {
				continue
			}
			join := func(long float64, next string) {
				words := fmt.Sprintf("%s, %s: strip inside over the seam of %s and %s", l.Name, face.Face, pieceName(c, r), next)
				strips = append(strips, strip(long-2*flapInset, 2*n.flapWidth(), words, "inside "+pieceName(c, r)+" and "+next, pieceName(c, r)+" "+next))
			}
			if c+1 < len(all) && inner.X.Contains(t.X.Hi) {
				join(edge.Y.Length(), pieceName(c+1, r))
			}
			if r+1 < len(all[c]) && inner.Y.Contains(t.Y.Hi) {
				join(edge.X.Length(), pieceName(c, r+1))
			}
		}
	}
	return append(pieces, strips...)
}

func moved(r r2.Rect, by r2.Point) r2.Rect { return r2.RectFromPoints(r.Lo().Add(by), r.Hi().Add(by)) }

// roomOn is what of a panel words and marks go onto: all of it, or of one with seams the
// largest piece of it that has a point, or of all pieces where none is given.
func (n *Net) roomOn(p Panel, point *r2.Point) Panel {
	if !n.isSeamed(p.Part) {
		return p
	}
	whole, most := p.Rect, 0.0
	for _, column := range n.seams(p.Part) {
		for _, t := range column {
			t = t.Intersection(whole)
			if area := t.X.Length() * t.Y.Length(); !t.IsEmpty() && area > most && (point == nil || t.ContainsPoint(*point)) {
				p.Rect, most = t, area
			}
		}
	}
	return p
}

// flapWidth is how wide the net's flaps are.
func (n *Net) flapWidth() float64 { return newSpread(n.own(n.Kind.Size), n.Board, 0).flap }

// pieceName is a letter for the column and a number for the row, from the lower left.
func pieceName(col, row int) string { return fmt.Sprintf("%c%d", rune('A'+col%26), row+1) }

func strip(long, wide float64, words ...string) nest.Part {
	d := drawing.Drawing{Title: words[0], Size: r2.Point{X: max(long, leastPiece/2), Y: wide}}
	d.Rect(drawing.Cut, r2.RectFromPoints(r2.Point{}, d.Size))
	d.Line(drawing.Mark, r2.Point{Y: wide / 2}, r2.Point{X: d.Size.X, Y: wide / 2})
	fitting(&d, r2.Point{X: d.Size.X / 2, Y: wide / 4}, min(5, wide/4), d.Size.X-4, 0, words...)
	return nest.Whole(d)
}

// piece is what a rectangle shows of a part, moved to the origin, with its name on the
// face. Words and arrows that a seam would cut are left out.
func (l labels) piece(whole nest.Part, t, face r2.Rect, name, short string) nest.Part {
	p := nest.Part{Drawing: drawing.Drawing{Title: whole.Drawing.Title + ", " + name, Size: t.Size()}}
	var d drawing.Drawing
	for _, path := range whole.Drawing.Paths {
		if path.Layer != drawing.Mark || path.Dotted || !slices.ContainsFunc(path.Points, func(q r2.Point) bool { return !t.ContainsPoint(q) }) {
			d.Paths = append(d.Paths, clipped(path, t)...)
		}
	}
	for _, c := range whole.Drawing.Circles {
		if t.Contains(r2.RectFromCenterSize(c.Centre, r2.Point{X: 2 * c.Radius, Y: 2 * c.Radius})) {
			d.Circles = append(d.Circles, c)
			continue
		}
		ring := drawing.Path{Layer: c.Layer, Points: drawing.Arc(c.Centre, c.Radius, 0, 2*math.Pi)}
		d.Paths = append(d.Paths, clipped(ring, t)...)
	}
	for _, text := range whole.Drawing.Texts {
		if t.Contains(text.Area()) {
			d.Texts = append(d.Texts, text)
		}
	}
	namePiece(&d, face, name, short)
	back := t.Lo().Mul(-1)
	p.Drawing.Add(d, 0, back)
	for _, r := range whole.Rects {
		if in := r.Intersection(t); !in.IsEmpty() && in.X.Length() > drawing.Same && in.Y.Length() > drawing.Same {
			p.Rects = append(p.Rects, r2.RectFromPoints(in.Lo().Add(back), in.Hi().Add(back)))
		}
	}
	return p
}

// namePiece writes the name of a piece, or a shorter one where the piece is narrow, into a corner
// of it: the first where nothing is drawn, else where there are no other words, else the first. A
// sliver goes without.
func namePiece(d *drawing.Drawing, face r2.Rect, name, short string) {
	wide := 0.45 * face.X.Length() // clear of an arrow in the middle
	if drawing.Width(name, drawing.Least) > wide {
		name = short
	}
	text := drawing.Text{Line: name, Size: max(drawing.Least, min(7, wide/drawing.Width(name, 1)))}
	half := r2.Point{X: drawing.Width(name, text.Size)/2 + 4, Y: text.Size/2 + 4}
	if long := drawing.Width(name, text.Size); long > face.X.Length()-2 { // too narrow: upwards
		if long > face.Y.Length()-2 || text.Size > face.X.Length()-1 {
			return
		}
		text.Turns, half = 1, r2.Point{X: half.Y, Y: half.X}
	}
	in := r2.Rect{X: face.X.Expanded(-half.X), Y: face.Y.Expanded(-half.Y)}
	if in.X.IsEmpty() || in.Y.IsEmpty() {
		in = r2.RectFromPoints(face.Center())
	}
	for _, free := range []func(r2.Rect) bool{
		func(area r2.Rect) bool { return !d.Touches(area) },
		func(area r2.Rect) bool { return !drawing.Drawing{Texts: d.Texts}.Touches(area) },
		func(r2.Rect) bool { return true },
	} {
		for _, text.At = range in.Vertices() {
			if free(text.Area()) {
				d.Text(text.At, text.Size, math.Inf(1), text.Turns, name)
				return
			}
		}
	}
}

// clipped is what a rectangle leaves of a line: of a closed one to cut, the outline of
// what is inside of it, of others their stretches.
func clipped(p drawing.Path, t r2.Rect) []drawing.Path {
	if p.Closed && p.Layer == drawing.Cut {
		points := p.Points
		for side := range 4 {
			points = clippedAt(points, t, side)
		}
		if len(points) < 3 {
			return nil
		}
		p.Points = points
		return []drawing.Path{p}
	}
	points := p.Points
	if p.Closed {
		points = append(slices.Clone(points), points[0])
	}
	var all []drawing.Path
	for i, a := range points[:len(points)-1] {
		a, b, ok := stretch(a, points[i+1], t)
		if !ok {
			continue
		}
		if last := len(all) - 1; last >= 0 && all[last].Points[len(all[last].Points)-1] == a {
			all[last].Points = append(all[last].Points, b)
			continue
		}
		all = append(all, drawing.Path{Layer: p.Layer, Points: []r2.Point{a, b}, Dotted: p.Dotted})
	}
	return all
}

// clippedAt keeps of a closed line what lies on the inner side of an edge of the
// rectangle (Sutherland and Hodgman, Communications of the ACM 17 (1974) 32–42).
func clippedAt(points []r2.Point, t r2.Rect, side int) []r2.Point {
	inside := func(p r2.Point) float64 {
		return [4]float64{p.X - t.X.Lo, t.X.Hi - p.X, p.Y - t.Y.Lo, t.Y.Hi - p.Y}[side]
	}
	var out []r2.Point
	for i, p := range points {
		q := points[(i+1)%len(points)]
		a, b := inside(p), inside(q)
		if a >= 0 {
			out = append(out, p)
		}
		if a > 0 && b < 0 || a < 0 && b > 0 {
			out = append(out, p.Add(q.Sub(p).Mul(a/(a-b))))
		}
	}
	return out
}

// stretch is what lies of a straight line in a rectangle.
func stretch(a, b r2.Point, t r2.Rect) (from, to r2.Point, ok bool) {
	lo, hi, d := 0.0, 1.0, b.Sub(a)
	for _, e := range [4][2]float64{{a.X - t.X.Lo, -d.X}, {t.X.Hi - a.X, d.X}, {a.Y - t.Y.Lo, -d.Y}, {t.Y.Hi - a.Y, d.Y}} {
		switch {
		case e[1] == 0 && e[0] < 0:
			return a, b, false
		case e[1] > 0:
			hi = min(hi, e[0]/e[1])
		case e[1] < 0:
			lo = max(lo, e[0]/e[1])
		}
	}
	point := func(s float64) r2.Point {
		if s == 0 {
			return a
		}
		if s == 1 {
			return b
		}
		return a.Add(d.Mul(s))
	}
	return point(lo), point(hi), lo < hi
}
