package rackplan

import (
	"fmt"
	"slices"
	"strings"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"rackwright/export/drawing"
	"rackwright/pack/rack"
)

// Sizes on a sheet in mm.
const (
	between = 14.0 // of two legs
	margin  = 12.0
	letters = 3.2
)

// Sheet draws one part at true size: each leg as it looks from outside one above the other
// with the heel between them, with hole centres from the left end.
func (p Part) Sheet() drawing.Drawing {
	d := drawing.Drawing{Title: p.Letter}
	length, w := p.Bar.Length(), p.Bar.Section.Width
	y := margin
	for i, leg := range p.legs() {
		y = p.leg(&d, leg, i, y, length, w)
	}
	head := fmt.Sprintf("%s   %d × %s, %.1f mm long, ends square", p.Letter, len(p.Names), p.Bar.Section, length)
	d.TextFrom(r2.Point{X: margin, Y: y + 6}, 5, length+60, head)
	d.TextFrom(r2.Point{X: margin, Y: y + 13}, letters, max(length, 160), strings.Join(p.Names, ", "))
	d.Size = r2.Point{X: max(length+32, 160) + 2*margin, Y: y + 22}
	return d
}

// legs are those of the part as they are drawn, from below: folded away from the reader along
// the heel, which is between them, they make the bar, seen from outside.
func (p Part) legs() []rack.Leg {
	legs := []rack.Leg{rack.LegA}
	if p.Bar.Section.Form == rack.Angle {
		legs = append(legs, rack.LegB)
		if leftHanded(p.Bar) {
			slices.Reverse(legs)
		}
	}
	return legs
}

// leg draws one leg from a height up and returns the height above it.
func (p Part) leg(d *drawing.Drawing, leg rack.Leg, n int, y, length, w float64) float64 {
	heelAbove := n == 0 && p.Bar.Section.Form == rack.Angle
	holes := p.holesOf(leg)
	rows := len(holes)
	base := y + 4*float64(min(rows, 1)) + 5
	d.Rect(drawing.Cut, r2.Rect{X: r1.Interval{Lo: margin, Hi: margin + length}, Y: r1.Interval{Lo: base, Hi: base + w}})
	heel := base
	if heelAbove {
		heel = base + w
	}
	if p.Bar.Section.Form == rack.Angle {
		in := p.Bar.Section.Thick
		if heelAbove {
			in = -in
		}
		d.Paths = append(d.Paths, drawing.Path{Layer: drawing.Mark, Dotted: true, Points: []r2.Point{{X: margin, Y: heel + in}, {X: margin + length, Y: heel + in}}})
	}
	word := "width"
	if p.Bar.Section.Form == rack.Angle {
		word = fmt.Sprintf("leg %d, heel %s", n+1, map[bool]string{false: "below", true: "above"}[heelAbove])
	}
	d.TextFrom(r2.Point{X: margin + length + 3, Y: base + w/2}, 2.6, 40, word)
	last := -100.0
	level := 0
	for _, h := range holes {
		at := r2.Point{X: margin + h.At, Y: heel + h.Across}
		if heelAbove {
			at.Y = heel - h.Across
		}
		d.Circle(drawing.Cut, at, h.Diameter/2)
		d.Cross(drawing.Mark, at, h.Diameter/2+1.5)
		if h.At-last < 12 {
			level++
		} else {
			level = 0
		}
		last = h.At
		d.Text(r2.Point{X: at.X, Y: base - 3 - 3.6*float64(level)}, letters, 40, 0, fmt.Sprintf("%.1f", h.At))
		d.TextNear(r2.Point{X: at.X + h.Diameter/2 + 7, Y: at.Y}, 2.4, 0, fmt.Sprintf("Ø%g, %.1f", h.Diameter, h.Across))
	}
	return base + w + between/2
}

func (p Part) holesOf(leg rack.Leg) []rack.Hole {
	var list []rack.Hole
	for _, h := range p.Holes {
		if h.Leg == leg {
			list = append(list, h)
		}
	}
	return list
}
