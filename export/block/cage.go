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
// struts join all rails and keep-outs to, the sides of the opening that are not open, and
// ledges to set boxes on; and apart from it what is off while boxes go in.
type Cage struct {
	Pieces   []Piece
	Unheld   []string    // rails and keep-outs that no strut could be put to: apart from it too
	Crossed  []string    // without a layout: those with struts through the room for boxes
	Unset    []pack.Part // boxes on a level that no ledge could be put under
	Solid    []string    // keep-outs that are solid, wholly or in parts, though shells are asked for
	Overlaid []string    // pieces of several surfaces that run into each other
	Meeting  [][2]string // what is apart, and what it runs into where it belongs
	OnRight  bool        // the plate is at the right-hand side
	Split    bool        // it is cut up for the printer's bed
}

// Thickness of struts and plate as printed, in millimetres: thin ones where others do not
// fit past the boxes, a thick plate where it holds pegs.
const (
	strutWidth = 3.0
	thinStrut  = 2.0
	plateDeep  = 2.4
	thickPlate = 2*cagePeg + 2*leastWall + 0.6
)

// held is a rail's tube or a piece of a keep-out in the cage.
type held struct {
	name   string
	solid  geom.Solid
	off    bool // is off while boxes go in
	hollow bool // is printed hollow where shells are asked for
}

// CageOf makes the cage, printed as p says. With a layout, not nil, the struts keep clear of its
// boxes, and of the way that its order brings them in; the plate goes to the side that
// lets most be held. Without one they keep out of the opening where they can. What is larger
// than the bed is cut up, with sockets for pegs in the plate, which is thicker then.
func CageOf(p pack.Problem, l *pack.Layout, order entry.Order, as Print) (Cage, error) {
	var bodies []held
	for _, o := range p.Frame.Obstacles(0) {
		if o.Kind == frame.RailTube || o.Kind == frame.KeptOut {
			bodies = append(bodies, held{o.Name, o.Solid, o.Removable || o.LiftsOff, o.Kind == frame.KeptOut})
		}
	}
	// Parts that move stand at rest, apart from the cage: nothing may be in their way.
	for _, o := range p.Frame.ObstaclesAtRest() {
		if o.Kind == frame.Moves {
			bodies = append(bodies, held{o.Name, o.Solid, true, true})
		}
	}
	if len(bodies) == 0 {
		return Cage{}, nil
	}
	cases, err := casesOf(p, l)
	if err != nil {
		return Cage{}, err
	}
	var best *builder
	for _, right := range []bool{true, false} {
		b := &builder{problem: p, layout: l, order: order, Print: as, scale: as.Scale, right: right, bodies: bodies, cases: cases, plateDeep: plateDeep}
		b.prepare()
		b.join()
		if best == nil || b.lacks() < best.lacks() {
			best = b
		}
	}
	return best.build()
}

// lacks is how much speaks against the side that the plate is at.
func (b *builder) lacks() int { return len(b.cage.Unheld) + len(b.cage.Crossed) + b.inWay }

// builder builds a cage with its plate at one side.
type builder struct {
	Print
	problem   pack.Problem
	layout    *pack.Layout
	order     entry.Order
	scale     float64
	right     bool
	bodies    []held
	cases     []geom.Box // boxes of the layout, with their posts
	plate     geom.Box
	plateDeep float64 // as printed
	hampered  int     // what is wrong with the order without any strut
	inWay     int     // how much more is with the plate
	cage      Cage
	struts    []held
	joined    []bool   // which bodies hang together with the plate
	width     float64  // of struts as printed
	barred    []barred // what struts keep clear of
}

func (b *builder) prepare() {
	b.cage.OnRight = b.right
	b.width = strutWidth
	b.plate = b.newPlate()
	b.hampered = b.faults()
	b.inWay = b.faults(b.plate) - b.hampered
	b.keepClear()
}

// build makes the pieces of what is joined, and of what is apart.
func (b *builder) build() (Cage, error) {
	b.rests()
	whole := b.whole()
	if !b.goes(whole) && b.Bed != (r3.Vector{}) {
		b.cage.Split = true
		b.thicken()
		whole = b.whole()
	}
	if err := b.add("cage", whole); err != nil {
		return b.cage, err
	}
	done := map[string]bool{}
	for i, h := range b.bodies {
		if b.joined[i] || done[h.name] {
			continue
		}
		done[h.name] = true
		var apart []held
		for j, o := range b.bodies {
			if o.name == h.name && !b.joined[j] {
				apart = append(apart, o)
			}
		}
		b.meeting(h.name, apart, whole)
		if err := b.add(h.name, apart); err != nil {
			return b.cage, err
		}
	}
	return b.cage, nil
}

// whole is all that the cage itself is made of.
func (b *builder) whole() []held {
	all := slices.Clone(b.struts)
	for i, h := range b.bodies {
		if b.joined[i] {
			all = append(all, h)
		}
	}
	for _, piece := range b.besideApart(geom.PolyhedronFromBox(b.plate)) {
		all = append(all, held{name: plateName, solid: piece})
	}
	return all
}

// plateName is what the plate is called among what the cage is made of.
const plateName = "plate"

// meeting notes what something apart runs into.
func (b *builder) meeting(name string, apart, whole []held) {
	for _, o := range whole {
		into := slices.ContainsFunc(apart, func(h held) bool { return geom.Distance(h.solid, o.solid) <= 0 })
		pair := [2]string{name, o.name}
		if into && !slices.Contains(b.cage.Meeting, pair) {
			b.cage.Meeting = append(b.cage.Meeting, pair)
		}
	}
}

// join puts struts to all that stays while boxes go in, the simplest first, and notes what is
// joined to the plate.
func (b *builder) join() {
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
				b.struts = append(b.struts, held{name: "strut to " + h.name, solid: bar})
			}
			if len(bars) > 0 && b.layout == nil && slices.ContainsFunc(bars, b.inOpening) {
				b.cage.Crossed = append(b.cage.Crossed, h.name)
			}
		}
		b.joinPieces()
	}
	for i, h := range b.bodies {
		if !h.off && !b.joined[i] {
			b.cage.Unheld = append(b.cage.Unheld, h.name)
		}
	}
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
	deep := b.plateDeep / b.scale
	if b.right {
		high.Y = low.Y - air/b.scale
		low.Y = high.Y - deep
	} else {
		low.Y = high.Y + air/b.scale
		high.Y = low.Y + deep
	}
	return geom.BoxFromCorners(low, high)
}

// thicken makes the plate as thick as pegs need it, away from the boxes.
func (b *builder) thicken() {
	low, high := geom.Bounds(b.plate)
	if b.right {
		low.Y = high.Y - thickPlate/b.scale
	} else {
		high.Y = low.Y + thickPlate/b.scale
	}
	b.plateDeep, b.plate = thickPlate, geom.BoxFromCorners(low, high)
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
