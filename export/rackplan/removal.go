package rackplan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/export/drawing"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/detour"
)

// Removal is a rail that comes off for good, and the way that a tube may take instead.
type Removal struct {
	Rail string
	Was  float64     // its length, in mm
	Way  *detour.Way // nil where there is none
	Why  string      // why there is none
}

// bent is the radius of a bend that is told, in diameters of the tube: what benders for tube
// commonly make (practice).
const bent = 3

// Removals are those of the rails that a layout takes off the frame as it was. The problem is that
// with the frame without them; r may be nil.
func Removals(was *frame.Frame, off []string, p pack.Problem, l pack.Layout, r *rack.Rack) []Removal {
	var others []geom.Solid
	if r != nil {
		for _, b := range r.Bars {
			others = append(others, b.Solids()...)
		}
		for _, f := range r.Fasteners {
			others = append(others, f.Solids()...)
		}
	}
	var all []Removal
	for _, rail := range was.Rails {
		if !slices.Contains(off, rail.Name) {
			continue
		}
		for _, one := range sides(rail) {
			x := Removal{Rail: one.Name}
			for i, to := range one.Path[1:] {
				x.Was += to.Sub(one.Path[i]).Norm()
			}
			if way, err := detour.Around(p, l, one, others); err != nil {
				x.Why = err.Error()
			} else {
				x.Way = &way
			}
			all = append(all, x)
		}
	}
	return all
}

// sides are a rail and, where there is one, its mirror image.
func sides(r frame.Rail) []frame.Rail {
	if !r.Mirror {
		return []frame.Rail{r}
	}
	other := r
	r.Name, other.Name, other.Path = r.Name+" left", r.Name+" right", nil
	for _, q := range r.Path {
		other.Path = append(other.Path, r3.Vector{X: q.X, Y: -q.Y, Z: q.Z})
	}
	return []frame.Rail{r, other}
}

// carries is said of every removal.
const carries = "it carries the vehicle. Whether the vehicle may stand, be ridden or be driven without it, and of what tube and wall a replacement is, is for someone qualified to reckon, make and join. Nothing here says that it is strong enough."

// Words say what comes off, and which way a tube may take instead.
func (x Removal) Words() []string {
	list := []string{fmt.Sprintf("%s comes off for good: %s", x.Rail, carries)}
	if x.Way == nil {
		return append(list, fmt.Sprintf("No way was found for a tube instead of %s: %s.", x.Rail, x.Why))
	}
	w := *x.Way
	var pieces []string
	for _, l := range w.Pieces() {
		pieces = append(pieces, fmt.Sprintf("%.1f mm", l))
	}
	from := w.Points[0]
	text := fmt.Sprintf("Instead of %s (%.1f mm) a tube of the same %g mm may go, between the same two ends: %s by its middle line, from the end at [%s]", x.Rail, x.Was, w.Diameter, strings.Join(pieces, ", then "), place(from))
	for i, bend := range w.Bends() {
		off, along := w.Off(i + 1)
		text += fmt.Sprintf("; bend %d by %.1f°, %.1f mm along the straight line between the ends and %.1f mm beside it, to the %s, at [%s]", i+1, bend, along, off.Norm(), heading(off.Normalize()), place(w.Points[i+1]))
	}
	list = append(list, text+". It is as short as the boxes allow with so few bends; it keeps the rail's gap to boxes and posts.")
	if twist := twistOf(w); twist > 1 {
		list = append(list, fmt.Sprintf("Between its bends it is turned by %.1f°: it does not lie flat.", twist))
	}
	for i := range w.Bends() {
		radius := bent * w.Diameter
		list = append(list, fmt.Sprintf("Bend %d is meant as a corner, mitred. Bent in a curve of %.0f mm (%d diameters) the tube passes %.1f mm nearer to the boxes there.", i+1, radius, bent, w.Nearer(i, radius)))
	}
	return append(list, "What the frame file does not know of (wheel at full lock and travel, fork, exhaust, the rider's feet) is not looked at: hold the template there first.")
}

// place is a point in whole millimetres, without a zero that is less than nothing.
func place(v r3.Vector) string {
	return fmt.Sprintf("%g, %g, %g", math.Round(v.X)+0, math.Round(v.Y)+0, math.Round(v.Z)+0)
}

// twistOf is the angle in degrees between the planes of two bends.
func twistOf(w detour.Way) float64 {
	if len(w.Points) < 4 {
		return 0
	}
	a, b, c := w.Points[1].Sub(w.Points[0]), w.Points[2].Sub(w.Points[1]), w.Points[3].Sub(w.Points[2])
	twist := a.Cross(b).Angle(b.Cross(c)).Degrees()
	return math.Min(twist, 180-twist)
}

// Template draws the way at true size, flat: its middle line and both sides of the tube, mitred at
// the bends.
func (x Removal) Template() drawing.Drawing {
	d := drawing.Drawing{Title: "instead of " + x.Rail}
	line := flat(*x.Way)
	low, high := line[0], line[0]
	for _, q := range line {
		low, high = r2.Point{X: min(low.X, q.X), Y: min(low.Y, q.Y)}, r2.Point{X: max(high.X, q.X), Y: max(high.Y, q.Y)}
	}
	edge := x.Way.Diameter/2 + 14
	for i, q := range line {
		line[i] = q.Sub(low).Add(r2.Point{X: edge, Y: edge})
	}
	d.Size = high.Sub(low).Add(r2.Point{X: 2 * edge, Y: 2*edge + 16})
	left, right := beside(line, x.Way.Diameter/2), beside(line, -x.Way.Diameter/2)
	slices.Reverse(right)
	d.Polygon(drawing.Cut, append(left, right...))
	d.Paths = append(d.Paths, drawing.Path{Layer: drawing.Mark, Points: line, Dotted: true})
	for i, q := range line {
		d.Cross(drawing.Mark, q, 5)
		switch {
		case i == 0 || i == len(line)-1:
			d.TextNear(q, 3.5, 0, "bolted end")
		default:
			d.TextNear(q, 3.5, 0, fmt.Sprintf("bend %d: %.1f°", i, x.Way.Bends()[i-1]))
		}
	}
	for i, l := range x.Way.Pieces() {
		d.TextNear(line[i].Add(line[i+1]).Mul(0.5), 3.5, 0, fmt.Sprintf("%.1f mm", l))
	}
	d.TextFrom(r2.Point{X: 6, Y: d.Size.Y - 6}, 4, d.Size.X-12, fmt.Sprintf("Instead of %s: tube of %g mm, at true size, a way alone", x.Rail, x.Way.Diameter))
	d.TextFrom(r2.Point{X: 6, Y: d.Size.Y - 12}, 3, d.Size.X-12, "It carries the vehicle: its strength is for someone qualified.")
	return d
}

// flat lays a way into a plane, each piece with its length and each bend with its angle: both to
// the same side, or to the other where they turn against each other.
func flat(w detour.Way) []r2.Point {
	line := []r2.Point{{}}
	turn, side := 0.0, 1.0
	var last r3.Vector
	for i, l := range w.Pieces() {
		if i > 0 {
			axis := w.Points[i].Sub(w.Points[i-1]).Cross(w.Points[i+1].Sub(w.Points[i]))
			if last.Dot(axis) < 0 {
				side = -side
			}
			last = axis
			turn -= side * w.Bends()[i-1] * math.Pi / 180
		} else if bends := w.Bends(); len(bends) > 0 {
			turn = bends[0] / 2 * math.Pi / 180 // so that it lies level
		}
		sin, cos := math.Sincos(turn)
		line = append(line, line[i].Add(r2.Point{X: l * cos, Y: l * sin}))
	}
	return line
}

// beside is the line beside another one, its corners mitred.
func beside(line []r2.Point, by float64) []r2.Point {
	var all []r2.Point
	for i, q := range line {
		before, after := line[max(i, 1)].Sub(line[max(i, 1)-1]), line[min(i, len(line)-2)+1].Sub(line[min(i, len(line)-2)])
		n, m := before.Normalize().Ortho(), after.Normalize().Ortho()
		mid := n.Add(m)
		all = append(all, q.Add(mid.Mul(2*by/mid.Dot(mid))))
	}
	return all
}
