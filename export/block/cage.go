package block

import (
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
)

// Cage is the frame as one part to print at a scale, with a plate at one side that
// struts join all rails and keep-outs to, and apart from it what is off while boxes go in.
type Cage struct {
	Pieces   []Piece
	Unheld   []string // rails and keep-outs that no strut could be put to
	Overlaid []string // pieces of several surfaces that run into each other
	OnRight  bool     // the plate is at the right-hand side
}

// Thickness of struts and plate as printed, in millimetres.
const (
	strutWidth = 3.0
	plateDeep  = 2.4
)

// held is a rail's tube or a piece of a keep-out in the cage.
type held struct {
	name  string
	solid geom.Solid
	off   bool // is off while boxes go in
}

// CageOf makes the cage at a scale. With a layout, not nil, the struts keep clear of its
// boxes, and of the way that its order brings them in; the plate goes to the side that
// lets most be held.
func CageOf(p pack.Problem, l *pack.Layout, order entry.Order, scale float64) (Cage, error) {
	var bodies []held
	for _, o := range p.Frame.Obstacles(0) {
		if o.Kind == frame.RailTube || o.Kind == frame.KeptOut {
			bodies = append(bodies, held{o.Name, o.Solid, o.Removable || o.LiftsOff})
		}
	}
	if len(bodies) == 0 {
		return Cage{}, nil
	}
	cases, err := casesOf(p, l)
	if err != nil {
		return Cage{}, err
	}
	var best Cage
	for i, right := range []bool{true, false} {
		b := builder{problem: p, layout: l, order: order, scale: scale, right: right, bodies: bodies, cases: cases}
		c, err := b.build()
		if err != nil {
			return Cage{}, err
		}
		if i == 0 || len(c.Unheld) < len(best.Unheld) {
			best = c
		}
	}
	return best, nil
}

// builder builds a cage with its plate at one side.
type builder struct {
	problem pack.Problem
	layout  *pack.Layout
	order   entry.Order
	scale   float64
	right   bool
	bodies  []held
	cases   []geom.Box // boxes of the layout, with their posts
}

func (b builder) build() (Cage, error) {
	cage := Cage{OnRight: b.right}
	plate := b.plate()
	solids := []geom.Solid{plate}
	loose := map[string][]geom.Solid{}
	var names []string
	for _, h := range b.bodies {
		if h.off {
			if loose[h.name] == nil {
				names = append(names, h.name)
			}
			loose[h.name] = append(loose[h.name], h.solid)
			continue
		}
		struts := b.struts(h.solid, plate)
		if len(struts) == 0 {
			cage.Unheld = append(cage.Unheld, h.name)
			continue
		}
		solids = append(solids, h.solid)
		for _, s := range struts {
			solids = append(solids, s)
		}
	}
	if err := cage.add(b, "cage", solids); err != nil {
		return cage, err
	}
	for _, name := range names {
		if err := cage.add(b, name, loose[name]); err != nil {
			return cage, err
		}
	}
	return cage, nil
}

// add adds a piece of solids that run into each other.
func (c *Cage) add(b builder, name string, solids []geom.Solid) error {
	m, one, err := merged(solids)
	if err != nil {
		return err
	}
	if !one {
		c.Overlaid = append(c.Overlaid, name)
	}
	c.Pieces = append(c.Pieces, laid(name, m, b.scale, b.right))
	return nil
}

// laid scales a part and lays it on its right-hand side or its left.
func laid(name string, m Mesh, scale float64, right bool) Piece {
	up := r3.Vector{Y: -1}
	if right {
		up.Y = 1
	}
	x := r3.Vector{X: 1}
	pose := Pose{Axes: [3]r3.Vector{x, up.Cross(x), up}}
	m = m.moved(func(v r3.Vector) r3.Vector { return pose.Apply(v.Mul(scale)) })
	low, _ := m.bounds()
	pose.By = low.Mul(-1)
	return Piece{Name: name, Copies: 1, Pose: pose, Mesh: m.moved(func(v r3.Vector) r3.Vector { return v.Sub(low) })}
}

// plate lies beyond everything at its side, as large as all seen from there.
func (b builder) plate() geom.Box {
	e := [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}
	solids := []geom.Solid{}
	for _, h := range b.bodies {
		if !h.off {
			solids = append(solids, h.solid)
		}
	}
	for _, c := range b.cases {
		solids = append(solids, c)
	}
	opening := b.problem.Frame.Opening
	in := opening.Outline.Bounds()
	across := opening.AcrossAt(in.Y.Hi)
	low := r3.Vector{X: in.X.Lo, Y: across.Lo, Z: in.Y.Lo}
	high := r3.Vector{X: in.X.Hi, Y: across.Hi, Z: in.Y.Hi}
	for _, s := range solids {
		x, y, z := s.Extent(e[0]), s.Extent(e[1]), s.Extent(e[2])
		low = lower(low, r3.Vector{X: x.Lo, Y: y.Lo, Z: z.Lo})
		high = higher(high, r3.Vector{X: x.Hi, Y: y.Hi, Z: z.Hi})
	}
	const air = 1.0 // as printed, between the boxes and the plate
	deep := plateDeep / b.scale
	if b.right {
		high.Y = low.Y - air/b.scale
		low.Y = high.Y - deep
	} else {
		low.Y = high.Y + air/b.scale
		high.Y = low.Y + deep
	}
	return geom.BoxFromCorners(low, high)
}

// casesOf are the boxes of a layout with their posts, none without one.
func casesOf(p pack.Problem, l *pack.Layout) ([]geom.Box, error) {
	if l == nil {
		return nil, nil
	}
	var all []geom.Box
	for _, at := range l.Placements {
		bodies, err := p.Bodies(at)
		if err != nil {
			return nil, err
		}
		all = append(append(all, bodies.Case), bodies.Posts...)
	}
	return all, nil
}

// struts are up to two struts from a solid to the plate, as far apart as can be.
func (b builder) struts(s geom.Solid, plate geom.Box) []geom.Box {
	points := spine(s)
	var all []geom.Box
	for _, p := range points { // from one end
		if strut := b.strut(p, plate); b.free(strut) {
			all = append(all, strut)
			break
		}
	}
	for i := len(points) - 1; i > 0 && len(all) == 1; i-- { // and from the other
		if strut := b.strut(points[i], plate); b.free(strut) && strut.Centre != all[0].Centre {
			all = append(all, strut)
		}
	}
	return all
}

// spine are points along the middle of a solid, from near one end to near the other.
func spine(s geom.Solid) []r3.Vector {
	const steps = 12
	along := func(a, b r3.Vector) []r3.Vector {
		var list []r3.Vector
		for i := range steps + 1 {
			list = append(list, a.Add(b.Sub(a).Mul(0.12+0.76*float64(i)/steps)))
		}
		return list
	}
	switch s := s.(type) {
	case geom.Tube:
		return along(s.From, s.To)
	case geom.Cylinder:
		return along(s.From, s.To)
	case geom.Box:
		x := s.Axes[0].Mul(s.Half.X)
		return along(s.Centre.Sub(x), s.Centre.Add(x))
	case geom.Prism:
		b := s.Profile.Bounds()
		middle := s.Depth.Center()
		var list []r3.Vector
		for _, p := range along(r3.Vector{X: b.X.Lo, Z: b.Y.Center()}, r3.Vector{X: b.X.Hi, Z: b.Y.Center()}) {
			q, _ := s.View.Flatten(p)
			if s.View == geom.SideView && s.Profile.InteriorContains(q) {
				list = append(list, s.View.Point(q, middle))
			}
		}
		return list
	}
	return nil
}

// strut is a bar from a point straight across into the plate.
func (b builder) strut(p r3.Vector, plate geom.Box) geom.Box {
	half := r3.Vector{X: strutWidth / 2 / b.scale, Z: strutWidth / 2 / b.scale}
	return geom.BoxFromCorners(p.Sub(half), r3.Vector{X: p.X, Y: plate.Centre.Y, Z: p.Z}.Add(half))
}

// free tells whether a strut is clear of the boxes, in place and on their way in. Without
// a layout it is free outside of the opening.
func (b builder) free(strut geom.Box) bool {
	if b.layout == nil {
		q, _ := geom.SideView.Flatten(strut.Centre)
		return !b.problem.Frame.Opening.Outline.Contains(q)
	}
	for _, c := range b.cases {
		if geom.Distance(strut, c) <= 0 {
			return false
		}
	}
	if len(b.order.Steps) == 0 {
		return true
	}
	// The judge of orders sees the strut as one more keep-out.
	f := *b.problem.Frame
	f.KeepOuts = append(f.KeepOuts[:len(f.KeepOuts):len(f.KeepOuts)], frame.KeepOut{
		Name: "strut of the cage", Box: &frame.Corners{Low: strut.Centre.Sub(strut.Half), High: strut.Centre.Add(strut.Half)},
	})
	problem := b.problem
	problem.Frame = &f
	faults, err := entry.Verify(problem, *b.layout, b.order)
	return err == nil && len(faults) == 0
}
