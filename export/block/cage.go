package block

import (
	"slices"

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
	Unheld   []string // rails and keep-outs that no strut could be put to: apart from it too
	Crossed  []string // without a layout: those with struts through the room for boxes
	Overlaid []string // pieces of several surfaces that run into each other
	OnRight  bool     // the plate is at the right-hand side
}

// Thickness of struts and plate as printed, in millimetres: thin ones where others do not
// fit past the boxes.
const (
	strutWidth = 3.0
	thinStrut  = 2.0
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
// lets most be held. Without one they keep out of the opening where they can.
func CageOf(p pack.Problem, l *pack.Layout, order entry.Order, scale float64) (Cage, error) {
	var bodies []held
	for _, o := range p.Frame.Obstacles(0) {
		if o.Kind == frame.RailTube || o.Kind == frame.KeptOut {
			bodies = append(bodies, held{o.Name, o.Solid, o.Removable || o.LiftsOff})
		}
	}
	// Parts that move stand at rest, apart from the cage: nothing may be in their way.
	for _, o := range p.Frame.ObstaclesAtRest() {
		if o.Kind == frame.Moves {
			bodies = append(bodies, held{o.Name, o.Solid, true})
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
		b.prepare()
		c, err := b.build()
		if err != nil {
			return Cage{}, err
		}
		if i == 0 || len(c.Unheld)+len(c.Crossed) < len(best.Unheld)+len(best.Crossed) {
			best = c
		}
	}
	return best, nil
}

// builder builds a cage with its plate at one side.
type builder struct {
	problem  pack.Problem
	layout   *pack.Layout
	order    entry.Order
	scale    float64
	right    bool
	bodies   []held
	cases    []geom.Box // boxes of the layout, with their posts
	plate    geom.Box
	hampered int      // what is wrong with the order without any strut
	joined   []bool   // which bodies hang together with the plate
	width    float64  // of struts as printed
	barred   []barred // what struts keep clear of
}

func (b *builder) prepare() {
	b.width = strutWidth
	b.plate = b.newPlate()
	b.hampered = b.faults(nil)
	b.keepClear()
}

func (b *builder) build() (Cage, error) {
	cage := Cage{OnRight: b.right}
	solids := b.join(&cage)
	for i, h := range b.bodies {
		if b.joined[i] {
			solids = append(solids, h.solid)
		}
	}
	if err := cage.add(b, "cage", append(solids, b.plate)); err != nil {
		return cage, err
	}
	done := map[string]bool{}
	for i, h := range b.bodies {
		if b.joined[i] || done[h.name] {
			continue
		}
		done[h.name] = true
		var apart []geom.Solid
		for j, o := range b.bodies {
			if o.name == h.name && !b.joined[j] {
				apart = append(apart, o.solid)
			}
		}
		if err := cage.add(b, h.name, apart); err != nil {
			return cage, err
		}
	}
	return cage, nil
}

// join puts struts to all that stays while boxes go in, the simplest first, notes what is
// joined to the plate, and returns the struts.
func (b *builder) join(cage *Cage) []geom.Solid {
	var struts []geom.Solid
	b.joined = make([]bool, len(b.bodies))
	for _, way := range []struct {
		width float64
		bars  func(geom.Solid) []geom.Box
	}{{strutWidth, b.straight}, {strutWidth, b.detour}, {thinStrut, b.straight}, {thinStrut, b.detour}, {strutWidth, b.through}} {
		b.width = way.width
		for i, h := range b.bodies {
			if h.off || b.joined[i] {
				continue
			}
			bars := way.bars(h.solid)
			b.joined[i] = len(bars) > 0
			for _, bar := range bars {
				b.widen(bar)
				struts = append(struts, bar)
			}
			if len(bars) > 0 && b.layout == nil && slices.ContainsFunc(bars, b.inOpening) {
				cage.Crossed = append(cage.Crossed, h.name)
			}
		}
		b.joinPieces()
	}
	for i, h := range b.bodies {
		if !h.off && !b.joined[i] {
			cage.Unheld = append(cage.Unheld, h.name)
		}
	}
	return struts
}

// joinPieces notes as joined what meets a joined piece of the same rail or keep-out.
func (b *builder) joinPieces() {
	for range b.bodies {
		for i, h := range b.bodies {
			for j, o := range b.bodies {
				if !b.joined[i] && !h.off && b.joined[j] && h.name == o.name && geom.Distance(h.solid, o.solid) <= 0 {
					b.joined[i] = true
				}
			}
		}
	}
}

// add adds a piece of solids that run into each other.
func (c *Cage) add(b *builder, name string, solids []geom.Solid) error {
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

// newPlate is the plate: it lies beyond everything at its side, as large as all seen from there.
func (b *builder) newPlate() geom.Box {
	in, across := b.problem.Frame.Opening.Outline.Bounds(), b.problem.Frame.Opening.Widest()
	solids := []geom.Solid{geom.BoxFromCorners(r3.Vector{X: in.X.Lo, Y: across.Lo, Z: in.Y.Lo}, r3.Vector{X: in.X.Hi, Y: across.Hi, Z: in.Y.Hi})}
	for _, h := range b.bodies {
		if !h.off {
			solids = append(solids, h.solid)
		}
	}
	for _, c := range b.cases {
		solids = append(solids, c)
	}
	low, high := geom.Bounds(solids...)
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
