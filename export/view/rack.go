package view

import (
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/rack"
)

// rackBodies are the bars of a rack, named by their letters, its rods, the tubes around its bolts and
// its clamps.
func rackBodies(r *rack.Rack, letters map[string]string) []body {
	if r == nil {
		return nil
	}
	var all []body
	for _, b := range r.Bars {
		all = append(all, bodyOfBar(b, letters[b.Name]))
	}
	for _, f := range r.Fasteners {
		if t, err := rack.ThreadOf(f.Size); f.Rod && err == nil {
			all = append(all, roundBody(geom.Cylinder{From: f.From, To: f.To, Radius: t.D / 2}))
		}
		if s := f.Sleeve; s != nil {
			all = append(all, roundBody(geom.Cylinder{From: f.At(s.From), To: f.At(s.To), Radius: s.Outer / 2}))
		}
	}
	for _, c := range r.Clamps {
		all = append(all, bodyOfClamp(c))
	}
	return all
}

// roundBody is a rod or a tube.
func roundBody(c geom.Cylinder) body {
	out := body{role: rackBody, faces: c.Surface(roundCorners), smooth: true}
	out.solids = []convex{solidOf(out.faces)}
	return out
}

// bodyOfClamp is a clamp by the blocks around its ears, bands and nut.
func bodyOfClamp(c rack.Clamp) body {
	out := body{role: rackBody}
	for _, s := range c.Solids() {
		faces := s.(geom.Box).Surface(roundCorners)
		out.faces = append(out.faces, faces...)
		out.solids = append(out.solids, solidOf(faces))
	}
	return out
}

// bodyOfBar is a bar's section swept along it. What hides is its legs, each without the other's
// corner.
func bodyOfBar(b rack.Bar, letter string) body {
	w, t := b.Section.Width, b.Section.Thick
	section := []r2.Point{{}, {X: w}, {X: w, Y: t}, {Y: t}}
	legs := [][]r2.Point{section}
	if b.Section.Form == rack.Angle {
		legs = append(legs, []r2.Point{{Y: t}, {X: t, Y: t}, {X: t, Y: w}, {Y: w}})
		section = []r2.Point{{}, {X: w}, {X: w, Y: t}, {X: t, Y: t}, {X: t, Y: w}, {Y: w}}
	}
	out := body{role: rackBody, name: letter, faces: sweptBar(b, section)}
	for _, leg := range legs {
		out.solids = append(out.solids, solidOf(sweptBar(b, leg)))
	}
	return out
}

// sweptBar sweeps a part of a bar's section, given along its legs A and B, along it.
func sweptBar(b rack.Bar, section []r2.Point) []geom.Face {
	from, along := b.From, b.To.Sub(b.From)
	var loop []r3.Vector
	for _, q := range section {
		loop = append(loop, from.Add(b.A.Mul(q.X)).Add(b.B.Mul(q.Y)))
	}
	if b.A.Cross(b.B).Dot(along) < 0 { // clockwise from that end: sweep from the other
		for i := range loop {
			loop[i] = loop[i].Add(along)
		}
		along = along.Mul(-1)
	}
	return geom.Swept(loop, along)
}

// letter writes the letter of a bar on it, where it can be seen; the letter of one of which
// nothing is seen is left to the other views.
func (d *drawing) letter(b body) {
	if b.name == "" {
		return
	}
	eye := d.dir.eye()
	size := r2.Point{X: boldWidth(b.name) + 4, Y: lineHeight}
	for _, f := range b.faces {
		if f.Normal.Dot(eye) < 0.5 {
			continue
		}
		for i := range f.Corners {
			for _, share := range [...]float64{0.5, 0.3, 0.7, 0.15, 0.85} {
				at := onFace(f, i, share)
				area := r2.RectFromCenterSize(d.px(d.dir.flat(at)), size)
				if d.visible(at.Add(eye.Mul(0.1)), eye) && overlaps(d.taken, area) == 0 {
					d.taken = append(d.taken, area)
					d.text("rw-m rw-b rw-halo", area.Center().Add(r2.Point{Y: 6}), b.name)
					return
				}
			}
		}
	}
}

// onFace is a point of a face between the middle of a side and its opposite corner.
func onFace(f geom.Face, i int, share float64) r3.Vector {
	n := len(f.Corners)
	a, b := f.Corners[i], f.Corners[(i+1)%n]
	c := f.Corners[(i+2)%n]
	return a.Add(b.Sub(a).Mul(share)).Add(c.Sub(b).Mul(0.5))
}

// visible tells whether no box and no bar is between a point and the eye.
func (d *drawing) visible(q, eye r3.Vector) bool {
	for _, b := range d.scene.bodies {
		if b.ofFrame() {
			continue
		}
		for _, c := range b.solids {
			if c.hides(q, eye) {
				return false
			}
		}
	}
	return true
}
