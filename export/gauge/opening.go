package gauge

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"rackwright/export/drawing"
	"rackwright/frame"
	"rackwright/geom"
)

// Opening draws the gauge of the opening: its outline to cut out and hold into the frame
// from the side, with the length of every side and the angle at every corner. A card that goes
// in, and touches all around, proves the measurements. Rails, keep-outs and mounts are drawn
// where they should be found, as far as they are near.
func Opening(f *frame.Frame) drawing.Drawing {
	var flat drawing.Drawing
	outline := f.Opening.Outline.Corners
	flat.Polygon(drawing.Cut, outline)
	flat.ScissorsOn(outline)
	for _, o := range f.Obstacles(0) {
		if o.Kind == frame.RailTube {
			flat.Polygon(drawing.Mark, shadow(side, o.Solid))
		}
	}
	for i := range f.KeepOuts {
		dotted(&flat, shadows(side, keptOut(f, i)))
	}
	flat = flat.Clipped(f.Opening.Outline.Bounds().ExpandedByMargin(nearBy))
	lines(&flat, f)
	corners(&flat, f)
	names(&flat, f)
	words(&flat, f)
	return bordered("Gauge of the opening: "+f.Name, flat)
}

// nearBy is how far around the opening rails and keep-outs are drawn on its gauge.
const nearBy = 20.0

// corners writes the angle at every corner of the outline, inside of it.
func corners(d *drawing.Drawing, f *frame.Frame) {
	all := f.Opening.Outline.Corners
	for i, c := range all {
		to, from := all[(i+1)%len(all)].Sub(c), all[(i+len(all)-1)%len(all)].Sub(c)
		angle := math.Atan2(to.Cross(from), to.Dot(from)) // counter-clockwise: what is inside lies between
		if angle < 0 {
			angle += 2 * math.Pi
		}
		sin, cos := math.Sincos(math.Atan2(to.Y, to.X) + angle/2)
		in := r2.Point{X: cos, Y: sin}
		away := max(10, 7/math.Sin(min(angle, math.Pi)/2))
		d.TextNear(c.Add(in.Mul(min(away, 60))), drawing.Least, 0, fmt.Sprintf("%.1f°", angle*180/math.Pi))
	}
}

// bordered puts a drawing onto a sheet with a border around it.
func bordered(title string, flat drawing.Drawing) drawing.Drawing {
	b := flat.Bounds().ExpandedByMargin(border)
	d := drawing.Drawing{Title: title, Size: b.Size()}
	d.Add(flat, 0, b.Lo().Mul(-1))
	return d
}

// lines draws the heights at which the width was measured, and the mounts.
func lines(d *drawing.Drawing, f *frame.Frame) {
	for _, s := range heights(f.Opening) {
		for _, run := range chords(f.Opening.Outline, s.Z) {
			d.Line(drawing.Mark, r2.Point{X: run[0], Y: s.Z}, r2.Point{X: run[1], Y: s.Z})
		}
	}
	for _, m := range f.Mounts {
		at := r2.Point{X: m.At.X, Y: m.At.Z}
		d.Circle(drawing.Mark, at, 3)
		d.Cross(drawing.Mark, at, 5)
	}
}

// words says what the gauge is, in the middle, which way is the front, and the widths.
func words(d *drawing.Drawing, f *frame.Frame) {
	size := max(drawing.Least, min(8, f.Opening.Outline.Bounds().Size().X/40))
	middle := roomy(f.Opening.Outline, 4*size)
	for i, line := range []string{f.Name, "gauge of the opening, seen from the right", "front →"} {
		d.TextNear(middle.Add(r2.Point{Y: (2 - 1.4*float64(i)) * size}), size, 0, line)
	}
	for _, s := range heights(f.Opening) {
		for _, run := range chords(f.Opening.Outline, s.Z) {
			d.TextNear(r2.Point{X: run[0] + 0.8*(run[1]-run[0]), Y: s.Z + 4}, drawing.Least, 0, geom.FormatLength(s.Across.Length(), f.Unit)+" across at this height")
		}
	}
}

// roomy is the middle of the rectangle around an outline, where it is inside by a distance
// from the edge; elsewhere the place of a grid that is farthest inside.
func roomy(p geom.Polygon, distance float64) r2.Point {
	inside := func(q r2.Point) float64 {
		if !p.Contains(q) {
			return 0
		}
		return p.DistanceToEdge(q)
	}
	b := p.Bounds()
	best := b.Center()
	if inside(best) >= distance {
		return best
	}
	const steps = 40
	for i := range steps {
		for j := range steps {
			q := b.Lo().Add(r2.Point{X: b.X.Length() * (float64(i) + 0.5) / steps, Y: b.Y.Length() * (float64(j) + 0.5) / steps})
			if inside(q) > inside(best) {
				best = q
			}
		}
	}
	return best
}

// names writes the names and lengths of sides, inside of them, and the names of rails,
// keep-outs and mounts.
func names(d *drawing.Drawing, f *frame.Frame) {
	corners := f.Opening.Outline.Corners
	for i, c := range corners {
		along := corners[(i+1)%len(corners)].Sub(c)
		in := along.Ortho().Normalize() // to the left of a counter-clockwise side
		line := geom.FormatLength(along.Norm(), f.Unit)
		if i < len(f.Opening.Sides) && f.Opening.Sides[i] != "" {
			line = f.Opening.Sides[i] + ", " + line
		}
		d.TextNear(c.Add(along.Mul(0.5)).Add(in.Mul(8)), drawing.Least, lying(along), line)
	}
	near := f.Opening.Outline.Bounds().ExpandedByMargin(nearBy)
	for _, r := range f.Rails {
		from, till := side.flat(r.Path[0]), side.flat(r.Path[len(r.Path)-1])
		nameIn(d, near, []r2.Point{from, till}, lying(till.Sub(from)), r.Name)
	}
	for i, k := range f.KeepOuts {
		var points []r2.Point
		for _, s := range keptOut(f, i) {
			points = append(points, shadow(side, s)...)
		}
		nameIn(d, near, points, 0, k.Name)
	}
	for _, m := range f.Mounts {
		d.TextNear(r2.Point{X: m.At.X, Y: m.At.Z - 8}, drawing.Least, 0, m.Name)
	}
}

// nameIn writes a name into the middle of what is near of the rectangle around points.
func nameIn(d *drawing.Drawing, near r2.Rect, points []r2.Point, turns int, name string) {
	if in := r2.RectFromPoints(points...).Intersection(near); !in.IsEmpty() {
		d.TextNear(in.Center(), drawing.Least, turns, name)
	}
}

// lying is 1 quarter turn for the name of something steep, 0 otherwise.
func lying(along r2.Point) int {
	if math.Abs(along.Y) > math.Abs(along.X) {
		return 1
	}
	return 0
}

// heights are the stations within the outline; of a single one, at its middle height.
func heights(o frame.Opening) []frame.Station {
	in := o.Outline.Bounds().Y
	if len(o.Stations) == 1 {
		return []frame.Station{{Z: in.Center(), Across: o.Stations[0].Across}}
	}
	var all []frame.Station
	for _, z := range []float64{in.Lo, in.Hi} {
		if z < o.Stations[0].Z || z > o.Stations[len(o.Stations)-1].Z {
			continue
		}
		all = append(all, frame.Station{Z: z, Across: o.AcrossAt(z)})
	}
	for _, s := range o.Stations {
		if in.InteriorContains(s.Z) {
			all = append(all, s)
		}
	}
	slices.SortFunc(all, func(a, b frame.Station) int { return cmp.Compare(a.Z, b.Z) })
	return all
}

// chords are the stretches of a level line inside a polygon.
func chords(p geom.Polygon, z float64) [][2]float64 {
	var xs []float64
	for i, a := range p.Corners {
		b := p.Corners[(i+1)%len(p.Corners)]
		if (a.Y <= z) != (b.Y <= z) {
			xs = append(xs, a.X+(z-a.Y)/(b.Y-a.Y)*(b.X-a.X))
		}
	}
	slices.Sort(xs)
	var runs [][2]float64
	for i := 0; i+1 < len(xs); i += 2 {
		runs = append(runs, [2]float64{xs[i], xs[i+1]})
	}
	return runs
}

// stripHeight is how high a gauge across the opening is.
const stripHeight = 40.0

// Across draws a gauge for each height at which the width was measured: a strip of the
// section as seen from the front, to hold across the opening with its line at that
// height.
func Across(f *frame.Frame) []drawing.Drawing {
	var all []drawing.Drawing
	for i, s := range heights(f.Opening) {
		all = append(all, across(f, i, s))
	}
	return all
}

func across(f *frame.Frame, i int, s frame.Station) drawing.Drawing {
	in := f.Opening.Outline.Bounds().Y
	high := min(stripHeight, in.Length())
	low := min(max(s.Z-high/2, in.Lo), in.Hi-high)
	strip := f.Opening.Section(low, low+high)
	var flat drawing.Drawing
	flat.Polygon(drawing.Cut, strip)
	flat.Line(drawing.Mark, r2.Point{X: s.Across.Lo, Y: s.Z}, r2.Point{X: s.Across.Hi, Y: s.Z})
	room := r2.Rect{X: s.Across.Expanded(-4), Y: r1.Interval{Lo: s.Z, Hi: low + high}}
	if under := (r1.Interval{Lo: low, Hi: s.Z}); under.Length() > room.Y.Length() {
		room.Y = under
	}
	said := []string{
		f.Name + ": across at height " + geom.FormatLength(s.Z, f.Unit), geom.FormatLength(s.Across.Length(), f.Unit) + ", left of the vehicle →",
	}
	if !write(&flat, room, said) {
		below(&flat, said)
	}
	middleLine(&flat, max(s.Across.Lo, min(0, s.Across.Hi)), r1.Interval{Lo: low, Hi: low + high})
	flat.ScissorsOn(strip)
	return bordered(fmt.Sprintf("Gauge across %d: %s", i+1, f.Name), flat)
}

// middleLine draws where the middle of the vehicle is, interrupted at words.
func middleLine(d *drawing.Drawing, x float64, in r1.Interval) {
	from := in.Lo
	upTo := func(y float64) {
		if y > from {
			d.Paths = append(d.Paths, drawing.Path{Layer: drawing.Mark, Dotted: true, Points: []r2.Point{{X: x, Y: from}, {X: x, Y: y}}})
		}
	}
	words := slices.Clone(d.Texts)
	slices.SortFunc(words, func(a, b drawing.Text) int { return cmp.Compare(a.At.Y, b.At.Y) })
	for _, t := range words {
		if area := t.Area().ExpandedByMargin(1); area.X.Contains(x) {
			upTo(min(area.Y.Lo, in.Hi))
			from = max(from, area.Y.Hi)
		}
	}
	upTo(in.Hi)
}
