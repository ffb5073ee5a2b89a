package compared

import (
	"math"
	"unicode"

	"github.com/golang/geo/r2"
)

// fontSize is that of names in pixels.
const fontSize = 11.0

// markSize is how far a mark reaches from its middle in pixels.
const markSize = 5.5

// widths of letters in parts of the font's size: at least those of the widest sans-serif fonts that
// browsers come with.
const (
	narrow, digit, capital, wide, other = 0.4, 0.66, 0.8, 1.05, 0.66
)

// textWidth is at least the width of a text in pixels.
func textWidth(text string, size float64) float64 {
	sum := 0.0
	for _, r := range text {
		switch {
		case r == ' ' || r == '.' || r == ',' || r == 'i' || r == 'l':
			sum += narrow
		case unicode.IsDigit(r):
			sum += digit
		case r == 'm' || r == 'w' || r == 'M' || r == 'W' || r > 0x2000:
			sum += wide
		case unicode.IsUpper(r) || r == '×':
			sum += capital
		default:
			sum += other
		}
	}
	return sum * size
}

// label is a name beside a point.
type label struct {
	text string
	of   r2.Point
	box  r2.Rect // that the text takes, once it is placed
}

// leads tells whether a line goes from the point to the name: where the name is not close by.
func (l label) leads() bool { return l.reach() > markSize+3 }

func (l label) reach() float64 { return l.of.Sub(l.box.ClampPoint(l.of)).Norm() }

// end is where the line from the point meets the name.
func (l label) end() r2.Point { return l.box.ClampPoint(l.of) }

// place finds places for names: within a field, over no mark, no other name and no line to one. Those
// close to their points come first. Where crossing is allowed, lines may go over marks. It tells
// whether there was a place for all.
func place(labels []label, marks []r2.Point, field r2.Rect, crossing bool) bool {
	for i := range labels {
		if !placeOne(labels, i, marks, field, crossing) {
			return false
		}
	}
	return true
}

// Places that are tried around a point: so many directions, at distances that grow by so much.
const (
	directions   = 16
	distanceStep = 6.0
	farthest     = 60 // steps
)

func placeOne(labels []label, i int, marks []r2.Point, field r2.Rect, crossing bool) bool {
	l := labels[i]
	size := r2.Point{X: textWidth(l.text, fontSize), Y: fontSize + 3}
	for step := 1; step <= farthest; step++ {
		for k := range directions {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / directions)
			far := float64(step)*distanceStep + markSize - 4
			// The side of the box that faces the point is so far away.
			centre := l.of.Add(r2.Point{X: cos * (far + size.X/2), Y: -sin * (far + size.Y/2)})
			l.box = r2.RectFromCenterSize(centre, size)
			if field.Contains(l.box) && l.isFree(labels[:i], marks, crossing) {
				labels[i] = l
				return true
			}
		}
	}
	return false
}

// isFree tells whether a name and its line meet nothing that is there.
func (l label) isFree(others []label, marks []r2.Point, crossing bool) bool {
	for _, m := range marks {
		box := r2.RectFromCenterSize(m, r2.Point{X: 2 * markSize, Y: 2 * markSize})
		if box.Intersects(l.box) || !crossing && l.leads() && m != l.of && meets(box, l.of, l.end()) {
			return false
		}
	}
	for _, o := range others {
		if o.box.Intersects(l.box) || o.leads() && meets(l.box, o.of, o.end()) || l.leads() && meets(o.box, l.of, l.end()) {
			return false
		}
	}
	return true
}

// meets tells whether a straight line goes through a box, by clipping it to the box side by side (Liang
// & Barsky, ACM Transactions on Graphics 3 (1984)).
func meets(box r2.Rect, a, b r2.Point) bool {
	from, to := 0.0, 1.0
	d := b.Sub(a)
	for _, side := range [][2]float64{{-d.X, a.X - box.X.Lo}, {d.X, box.X.Hi - a.X}, {-d.Y, a.Y - box.Y.Lo}, {d.Y, box.Y.Hi - a.Y}} {
		p, q := side[0], side[1]
		switch {
		case p == 0 && q < 0:
			return false
		case p < 0:
			from = max(from, q/p)
		case p > 0:
			to = min(to, q/p)
		}
	}
	return from <= to
}
