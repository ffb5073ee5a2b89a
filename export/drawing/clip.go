package drawing

import "github.com/golang/geo/r2"

// Clipped is the drawing with its marks cut off at a rectangle; lines to cut or fold and words
// stay, circles as far as their middle is in it.
func (d Drawing) Clipped(to r2.Rect) Drawing {
	out := d
	out.Paths, out.Circles = nil, nil
	for _, p := range d.Paths {
		if p.Layer != Mark {
			out.Paths = append(out.Paths, p)
			continue
		}
		out.Paths = append(out.Paths, p.clipped(to)...)
	}
	for _, c := range d.Circles {
		if c.Layer != Mark || to.ContainsPoint(c.Centre) {
			out.Circles = append(out.Circles, c)
		}
	}
	return out
}

// clipped are the stretches of a line within a rectangle: itself where all of it is.
func (p Path) clipped(to r2.Rect) []Path {
	points := p.Points
	if p.Closed {
		points = append(append([]r2.Point{}, points...), points[0])
	}
	if to.Contains(r2.RectFromPoints(points...)) {
		return []Path{p}
	}
	var all []Path
	open := false // the last stretch goes on
	for i := 1; i < len(points); i++ {
		from, till, ok := within(points[i-1], points[i], to)
		if !ok {
			open = false
			continue
		}
		if !open || from > 0 {
			all = append(all, Path{Layer: p.Layer, Dotted: p.Dotted, Width: p.Width, Points: []r2.Point{between(points[i-1], points[i], from)}})
		}
		last := &all[len(all)-1]
		last.Points = append(last.Points, between(points[i-1], points[i], till))
		open = till == 1
	}
	return all
}

func between(a, b r2.Point, part float64) r2.Point { return a.Add(b.Sub(a).Mul(part)) }

// within is the part of ab in a rectangle, from 0 to 1 (Liang and Barsky, ACM Transactions on
// Graphics 3 (1984) 1–22).
func within(a, b r2.Point, to r2.Rect) (from, till float64, ok bool) {
	from, till = 0, 1
	along := b.Sub(a)
	for _, side := range [][2]float64{
		{-along.X, a.X - to.X.Lo}, {along.X, to.X.Hi - a.X}, {-along.Y, a.Y - to.Y.Lo}, {along.Y, to.Y.Hi - a.Y},
	} {
		switch speed, room := side[0], side[1]; {
		case speed == 0 && room < 0:
			return 0, 0, false
		case speed < 0:
			from = max(from, room/speed)
		case speed > 0:
			till = min(till, room/speed)
		}
	}
	return from, till, from < till
}
