package view

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// role is what a body stands for; it decides how it is drawn.
type role int

const (
	railBody role = iota
	keepOutBody
	boxBody
	postBody
)

// ofFrame tells whether the body is a rail or a keep-out.
func (b body) ofFrame() bool { return b.role == railBody || b.role == keepOutBody }

// face is a flat face of a body, its corners counter-clockwise seen from outside.
type face struct {
	corners []r3.Vector
	normal  r3.Vector
}

// body is something drawn: faces to draw, and the convex solids that hide what is
// behind them.
type body struct {
	role     role
	name     string
	part     pack.Part // of a box
	kind     int       // of a box, in the pack file
	polarity string
	faces    []face
	smooth   bool // edges between sides are not drawn, for they are round
	solids   []convex
}

// convex is the points q with n·q ≤ d for each plane.
type convex []plane

type plane struct {
	n r3.Vector
	d float64
}

// manyCorners is from how many corners on an outline is drawn as a smooth one: those that
// it hardly turns at are left out.
const manyCorners = 12

// roundCorners is how many corners stand for a circle.
const roundCorners = 24

// sweep returns the faces between a loop of corners, counter-clockwise seen against
// along, and the same loop moved by along: that far end first, then the near one.
func sweep(loop []r3.Vector, along r3.Vector) []face {
	n, up := len(loop), along.Normalize()
	bottom, top := make([]r3.Vector, n), make([]r3.Vector, n)
	faces := []face{{top, up}, {bottom, up.Mul(-1)}}
	for i, a := range loop {
		b := loop[(i+1)%n]
		bottom[n-1-i], top[i] = a, a.Add(along)
		faces = append(faces, face{[]r3.Vector{a, b, b.Add(along), a.Add(along)}, b.Sub(a).Cross(along).Normalize()})
	}
	return faces
}

func solidOf(faces []face) convex {
	var c convex
	for _, f := range faces {
		c = append(c, plane{f.normal, f.normal.Dot(f.corners[0])})
	}
	return c
}

// bar is a round bar with flat ends.
func bar(from, to r3.Vector, radius float64) []face {
	along := to.Sub(from)
	return sweep(ring(from, along, radius), along)
}

// ring is a circle about an axis, counter-clockwise seen against the axis.
func ring(centre, axis r3.Vector, radius float64) []r3.Vector {
	u := axis.Ortho()
	v := axis.Normalize().Cross(u)
	var loop []r3.Vector
	for i := range roundCorners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / roundCorners)
		loop = append(loop, centre.Add(u.Mul(radius*cos)).Add(v.Mul(radius*sin)))
	}
	return loop
}

func boxFaces(b geom.Box) []face {
	x, y, z := b.Axes[0].Mul(b.Half.X), b.Axes[1].Mul(b.Half.Y), b.Axes[2].Mul(b.Half.Z)
	low := b.Centre.Sub(z)
	loop := []r3.Vector{low.Sub(x).Sub(y), low.Add(x).Sub(y), low.Add(x).Add(y), low.Sub(x).Add(y)}
	return sweep(loop, z.Mul(2))
}

// profileFaces sweeps a side view across. Seen from the right the outline runs
// counter-clockwise, so it is swept from the left towards the eye.
func profileFaces(outline geom.Polygon, low, high float64) []face {
	var loop []r3.Vector
	for _, c := range outline.Corners {
		loop = append(loop, geom.SideView.Point(c, high))
	}
	return sweep(loop, r3.Vector{Y: low - high})
}

// frameBodies are the rails and keep-outs.
func frameBodies(f *frame.Frame) []body {
	var all []body
	for _, o := range f.Obstacles(0) {
		b := body{name: o.Name, smooth: true}
		switch s := o.Solid.(type) {
		case geom.Tube:
			b.role, b.faces = railBody, bar(s.From, s.To, s.Radius)
		case geom.Cylinder:
			b.role, b.faces = keepOutBody, bar(s.From, s.To, s.Radius)
		case geom.Box:
			b.role, b.faces, b.smooth = keepOutBody, boxFaces(s), false
		case geom.Polyhedron:
			b.role, b.faces = keepOutBody, polyhedronFaces(s)
		default:
			continue
		}
		b.solids = []convex{solidOf(b.faces)}
		all = append(all, b)
	}
	for _, k := range f.KeepOuts {
		if k.Profile != nil {
			all = append(all, profileBody(k))
		}
	}
	return all
}

// polyhedronFaces are the faces of what is left of a slanted drum.
func polyhedronFaces(p geom.Polyhedron) []face {
	var faces []face
	planes := p.Planes()
	for i, loop := range p.Faces() {
		faces = append(faces, face{loop, planes[i].Normal})
	}
	return faces
}

func profileBody(k frame.KeepOut) body {
	low, high := k.Profile.Across.Lo, k.Profile.Across.Hi
	b := body{role: keepOutBody, name: k.Name, faces: profileFaces(k.Profile.Outline, low, high)}
	b.smooth = len(k.Profile.Outline.Corners) >= manyCorners // what is left of a drum
	for _, p := range k.Profile.Outline.ConvexPieces() {
		b.solids = append(b.solids, solidOf(profileFaces(p, low, high)))
	}
	return b
}

// boxBodies are the boxes of a layout with their posts. The error is that of
// Problem.Bodies.
func boxBodies(p pack.Problem, l pack.Layout) ([]body, error) {
	var all []body
	for _, at := range l.Placements {
		solids, err := p.Bodies(at)
		if err != nil {
			return nil, err
		}
		part := at.Part()
		b := body{role: boxBody, name: part.String(), part: part, kind: p.Pack.Index(at.Box), faces: boxFaces(solids.Case)}
		b.solids = []convex{solidOf(b.faces)}
		all = append(all, b)
		kind, _ := p.Kind(at.Box)
		for i, t := range kind.Posts {
			all = append(all, bodyOfPost(t, solids.Posts[i]))
		}
	}
	return all, nil
}

// bodyOfPost is the round post within its square bar; a flush one is a disc.
func bodyOfPost(t pack.Post, square geom.Box) body {
	n := t.Face.Normal()
	axis := square.Axes[0].Mul(n.X).Add(square.Axes[1].Mul(n.Y)).Add(square.Axes[2].Mul(n.Z))
	b := body{role: postBody, polarity: t.Polarity, smooth: true}
	if t.Height <= 0 {
		const above = 0.05 // mm, so that the face it lies in does not hide it
		b.faces = []face{{ring(square.Centre.Add(axis.Mul(above)), axis, t.Diameter/2), axis}}
		return b
	}
	half := axis.Mul(square.Half.Dot(n.Abs()))
	b.faces = bar(square.Centre.Sub(half), square.Centre.Add(half), t.Diameter/2)
	b.solids = []convex{solidOf(b.faces)}
	return b
}

// bounds is where the body is in a view.
func (b body) bounds(d Direction) r2.Rect {
	r := r2.EmptyRect()
	for _, f := range b.faces {
		for _, c := range f.corners {
			r = r.AddPoint(d.flat(c))
		}
	}
	return r
}

// farEnd is the depth of the body's far end in a view: bodies that overlap in the view
// are told apart by it.
func (b body) farEnd(d Direction) float64 {
	least := math.Inf(1)
	for _, f := range b.faces {
		for _, c := range f.corners {
			_, near := d.flatten(c)
			least = math.Min(least, near)
		}
	}
	return least
}
