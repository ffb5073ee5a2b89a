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
	rackBody
)

// ofFrame tells whether the body is a rail or a keep-out.
func (b body) ofFrame() bool { return b.role == railBody || b.role == keepOutBody }

// body is something drawn: faces to draw, and the convex solids that hide what is
// behind them.
type body struct {
	role     role
	name     string
	part     pack.Part // of a box
	kind     int       // of a box, in the pack file
	box      geom.Box
	polarity string
	faces    []geom.Face
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

func solidOf(faces []geom.Face) convex {
	var c convex
	for _, f := range faces {
		c = append(c, plane{f.Normal, f.Normal.Dot(f.Corners[0])})
	}
	return c
}

// frameBodies are the rails and keep-outs.
func frameBodies(f *frame.Frame) []body {
	var all []body
	for _, o := range f.Obstacles(0) {
		b := body{name: o.Name, role: keepOutBody, faces: geom.Surface(o.Solid, roundCorners)}
		switch {
		case o.Kind == frame.RailTube:
			b.role = railBody
		case o.Kind != frame.KeptOut || f.KeepOuts[o.Source].Profile != nil:
			continue // walls; profiles are drawn whole, below
		}
		b.smooth = o.Solid.Round()
		b.solids = []convex{solidOf(b.faces)}
		all = append(all, b)
	}
	for _, k := range f.KeepOuts {
		if k.Profile != nil {
			all = append(all, profileBody(k))
		}
	}
	for _, m := range f.Moving {
		all = append(all, movingBodies(m)...)
	}
	return all
}

// movingBodies are a part that moves at both ends of its movement.
func movingBodies(m frame.Moving) []body {
	var all []body
	for _, at := range m.Ends() {
		for _, s := range m.At(at) {
			b := body{name: m.Name, role: keepOutBody, faces: geom.Surface(s, roundCorners)}
			b.smooth = len(b.faces) >= manyCorners
			b.solids = []convex{solidOf(b.faces)}
			all = append(all, b)
		}
	}
	return all
}

func profileBody(k frame.KeepOut) body {
	whole := geom.Prism{Profile: k.Profile.Outline, Depth: k.Profile.Across}
	b := body{role: keepOutBody, name: k.Name, faces: whole.Surface(roundCorners)}
	b.smooth = len(k.Profile.Outline.Corners) >= manyCorners // what is left of a drum
	for _, p := range k.Profile.Prisms() {
		b.solids = append(b.solids, solidOf(p.Surface(roundCorners)))
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
		b := body{role: boxBody, name: part.String(), part: part, kind: p.Pack.Index(at.Box), box: solids.Case, faces: solids.Case.Surface(roundCorners)}
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
		b.faces = []geom.Face{{Corners: geom.Ring(square.Centre.Add(axis.Mul(above)), axis, t.Diameter/2, roundCorners), Normal: axis}}
		return b
	}
	half := axis.Mul(square.Half.Dot(n.Abs()))
	round := geom.Cylinder{From: square.Centre.Sub(half), To: square.Centre.Add(half), Radius: t.Diameter / 2}
	b.faces = round.Surface(roundCorners)
	b.solids = []convex{solidOf(b.faces)}
	return b
}

// bounds is where the body is in a view.
func (b body) bounds(d Direction) r2.Rect {
	r := r2.EmptyRect()
	for _, f := range b.faces {
		for _, c := range f.Corners {
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
		for _, c := range f.Corners {
			_, near := d.flatten(c)
			least = math.Min(least, near)
		}
	}
	return least
}
