package drawing

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
)

// How far TextNear looks for room, and in what steps, in millimetres.
const (
	nearest = 80.0
	nearBy  = 2.0
)

// TextNear adds a line of text where it meets nothing that is drawn already, as near to
// a point as can be; at the point itself where there is no such room about.
func (d *Drawing) TextNear(at r2.Point, size float64, turns int, line string) {
	var one Drawing
	one.Text(at, size, math.Inf(1), turns, line)
	if len(one.Texts) == 0 {
		return
	}
	t := one.Texts[0]
	for away := 0.0; away <= nearest; away += nearBy {
		steps := max(1, int(2*math.Pi*away/nearBy/2))
		for i := range steps {
			sin, cos := math.Sincos(math.Pi/2 + 2*math.Pi*float64(i)/float64(steps))
			t.At = at.Add(r2.Point{X: away * cos, Y: away * sin})
			if !d.Touches(t.Area().ExpandedByMargin(1)) {
				d.Texts = append(d.Texts, t)
				return
			}
		}
	}
	t.At = at
	d.Texts = append(d.Texts, t)
}

// Touches tells whether anything is drawn in a rectangle, its edge included.
func (d Drawing) Touches(area r2.Rect) bool {
	for _, p := range d.Paths {
		for i, q := range p.Points {
			next := p.Points[(i+1)%len(p.Points)]
			if (i+1 < len(p.Points) || p.Closed) && segmentMeets(q, next, area) {
				return true
			}
		}
	}
	for _, c := range d.Circles {
		if area.Intersects(r2.RectFromCenterSize(c.Centre, r2.Point{X: 2 * c.Radius, Y: 2 * c.Radius})) {
			return true
		}
	}
	for _, x := range d.Texts {
		if area.Intersects(x.Area()) {
			return true
		}
	}
	return false
}

// segmentMeets tells whether a segment meets a rectangle: neither the axes nor the
// segment's own normal separate them.
func segmentMeets(a, b r2.Point, area r2.Rect) bool {
	if !area.Intersects(r2.RectFromPoints(a, b)) {
		return false
	}
	n := b.Sub(a).Ortho()
	across := r1.EmptyInterval()
	for _, v := range area.Vertices() {
		across = across.AddPoint(n.Dot(v))
	}
	return across.Contains(n.Dot(a))
}
