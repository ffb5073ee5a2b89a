package gauge

import (
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/export/drawing"
	"rackwright/frame"
	"rackwright/geom"
)

// sleeve is the curved surface of a drum, rolled out: x is the way around from a seam, to
// the right seen from outside with the drum's upper end up, y the way along.
type sleeve struct {
	from           r3.Vector // the middle of the end at y = 0
	out, on, axis  r3.Vector // towards the seam, on around from there, and along
	radius, length float64
}

// sleeveOf is that of a drum with the seam on the far side of a point. Its lower end is at
// y = 0; of a level drum the right one, then the rear one.
func sleeveOf(r frame.Round, far r3.Vector) sleeve {
	from, to := r.From, r.To
	d := to.Sub(from)
	if d.Z < 0 || d.Z == 0 && (d.Y < 0 || d.Y == 0 && d.X < 0) {
		from, to, d = to, from, d.Mul(-1)
	}
	s := sleeve{from: from, axis: d.Normalize(), radius: r.Diameter / 2, length: d.Norm()}
	v := from.Sub(far)
	if v = v.Sub(s.axis.Mul(v.Dot(s.axis))); v.Norm() < 1e-6 {
		v = s.axis.Ortho()
	}
	s.out = v.Normalize()
	s.on = s.axis.Cross(s.out)
	return s
}

// around is the length of the way once around.
func (s sleeve) around() float64 { return 2 * math.Pi * s.radius }

// point is where a point of the paper comes to lie.
func (s sleeve) point(q r2.Point) r3.Vector {
	sin, cos := math.Sincos(q.X / s.radius)
	return s.from.Add(s.out.Mul(s.radius * cos)).Add(s.on.Mul(s.radius * sin)).Add(s.axis.Mul(q.Y))
}

// within is what of the line along the drum at x is in a part.
func (s sleeve) within(part geom.Polyhedron, x float64) r1.Interval {
	in := r1.Interval{Lo: 0, Hi: s.length}
	foot := s.point(r2.Point{X: x})
	for _, h := range part.Planes() {
		room, rate := h.Offset-h.Normal.Dot(foot), h.Normal.Dot(s.axis)
		switch {
		case rate > geom.Tolerance:
			in.Hi = min(in.Hi, room/rate)
		case rate < -geom.Tolerance:
			in.Lo = max(in.Lo, room/rate)
		case room < -geom.Tolerance:
			return r1.EmptyInterval()
		}
	}
	if in.IsEmpty() {
		return r1.EmptyInterval()
	}
	return in
}

// wrapSteps is how many lines along the drum show where a part is cut: one each half
// degree.
const wrapSteps = 720

// loops are the outlines of a part on the paper, between its lower and its upper end at
// each line.
func (s sleeve) loops(part geom.Polyhedron) [][]r2.Point {
	var loops [][]r2.Point
	var low, high []r2.Point
	add := func(x float64) {
		in := s.within(part, x)
		low, high = append(low, r2.Point{X: x, Y: in.Lo}), append(high, r2.Point{X: x, Y: in.Hi})
	}
	step := s.around() / wrapSteps
	for i := range wrapSteps + 1 {
		x := float64(i) * step
		now, before := !s.within(part, x).IsEmpty(), len(low) > 0
		switch {
		case now && !before && i > 0:
			add(s.edge(part, x, x-step))
		case !now && before:
			add(s.edge(part, x-step, x))
		}
		if now {
			add(x)
		}
		if len(low) > 0 && (!now || i == wrapSteps) {
			slices.Reverse(high)
			loops = append(loops, append(low, high...))
			low, high = nil, nil
		}
	}
	return loops
}

// edge is where the part ends between a line that meets it and one that does not.
func (s sleeve) edge(part geom.Polyhedron, in, out float64) float64 {
	for range 30 {
		if x := (in + out) / 2; s.within(part, x).IsEmpty() {
			out = x
		} else {
			in = x
		}
	}
	return in
}

// wrap is the template to wrap around a drum: what is cut out of its curved surface, on
// paper as long as the drum that goes once around. Dotted is the lowest line of the drum,
// of one that stands the foremost.
func (n Notch) wrap() drawing.Drawing {
	var middle r3.Vector
	count := 0.0
	var parts []geom.Polyhedron
	for _, c := range n.cuts {
		part := polyhedron(c)
		parts = append(parts, part)
		for _, q := range part.Corners() {
			middle, count = middle.Add(q), count+1
		}
	}
	s := sleeveOf(*n.drum, middle.Mul(1/count))
	var flat drawing.Drawing
	flat.Rect(drawing.Mark, r2.RectFromPoints(r2.Point{}, r2.Point{X: s.around(), Y: s.length}))
	for i, part := range parts {
		for _, loop := range s.loops(part) {
			s.outline(&flat, loop, slices.Delete(slices.Clone(parts), i, i+1))
		}
	}
	lowest, line := r3.Vector{Z: -1}, "its lowest line"
	if math.Abs(s.axis.Z) > 0.9 {
		lowest, line = r3.Vector{X: 1}, "its foremost line"
	}
	at := math.Mod(math.Atan2(lowest.Dot(s.on), lowest.Dot(s.out))+2*math.Pi, 2*math.Pi) * s.radius
	flat.Paths = append(flat.Paths, drawing.Path{Layer: drawing.Mark, Dotted: true, Points: []r2.Point{{X: at}, {X: at, Y: s.length}}})
	return s.captioned(flat, n.KeepOut, line)
}

// outline adds what of a part's outline is not inside of the others.
func (s sleeve) outline(flat *drawing.Drawing, loop []r2.Point, others []geom.Polyhedron) {
	hidden := func(i int) bool {
		middle := s.point(loop[i].Add(loop[(i+1)%len(loop)]).Mul(0.5))
		return slices.ContainsFunc(others, func(o geom.Polyhedron) bool { return o.Contains(middle) })
	}
	start := -1
	for i := range loop {
		if hidden(i) {
			start = i + 1
		}
	}
	if start < 0 {
		flat.Polygon(drawing.Cut, loop)
		return
	}
	var line []r2.Point
	end := func() {
		if len(line) > 1 {
			flat.Paths = append(flat.Paths, drawing.Path{Layer: drawing.Cut, Points: line})
		}
		line = nil
	}
	for k := range loop {
		i := (start + k) % len(loop)
		if hidden(i) {
			end()
			continue
		}
		if line == nil {
			line = []r2.Point{loop[i]}
		}
		line = append(line, loop[(i+1)%len(loop)])
	}
	end()
}

// captioned puts words below the rolled-out surface.
func (s sleeve) captioned(flat drawing.Drawing, name, line string) drawing.Drawing {
	end := "lower"
	switch {
	case s.axis.Z != 0:
	case s.axis.Y != 0:
		end = "right"
	default:
		end = "rear"
	}
	return piece("Notch in "+name, flat, r2.EmptyRect(), []string{
		"notch in " + name + ", to wrap around it, this side out", "this edge at its " + end + " end; dotted: " + line,
	})
}
