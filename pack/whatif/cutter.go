package whatif

import (
	"math"
	"slices"

	"rackwright/frame"
	"rackwright/geom"
)

// cutter cuts notches into one keep-out.
type cutter struct {
	keepOut frame.KeepOut
	core    []geom.Solid // what no notch may reach
	stock   stock
	notches []Notch
}

// stock is what a keep-out is cut from, as it was and as it is by now.
type stock interface {
	// near tells whether a box is nearer to it, as it was, than a gap.
	near(b geom.Box, gap float64) bool
	// meets tells whether a part of the core may be in a room.
	meets(room []geom.HalfSpace, core geom.Solid) bool
	// in is what of it, as it was, is in a room, in convex parts.
	in(room []geom.HalfSpace) []geom.Solid
	// take takes what is in a room away.
	take(room []geom.HalfSpace)
	// depth is how far the deepest point of parts of it is below its surface, as it was.
	depth(parts []geom.Solid) float64
	// pieces are what is left, as keep-outs without a name.
	pieces() []frame.KeepOut
}

func newCutter(k frame.KeepOut, depth float64) (*cutter, error) {
	core, err := k.Core(depth)
	if err != nil {
		return nil, err
	}
	c := &cutter{keepOut: k}
	if surface, ok := k.Surface(); ok {
		whole := surface.Prisms()
		c.stock = &sideStock{surface: surface, whole: whole, left: whole}
	} else {
		drum := k.Round.Drum()
		c.stock = &drumStock{round: *k.Round, whole: drum, left: []geom.Polyhedron{drum}}
	}
	for _, in := range core {
		surface, ok := in.Surface()
		if !ok {
			c.core = append(c.core, in.Round.Cylinder())
			continue
		}
		for _, p := range surface.Prisms() {
			c.core = append(c.core, p)
		}
	}
	return c, nil
}

// cut makes room for a body with more than its gap: what of the keep-out is within that
// of it, but not beyond the sheets that part it from the core.
//
// A groove goes across the whole keep-out, so that the box also comes in from the side.
func (c *cutter) cut(b body, more float64, groove bool) {
	gap := b.gap + more + play
	room := c.room(b.bar, gap, groove)
	parts := c.stock.in(room)
	if len(parts) == 0 {
		return
	}
	c.stock.take(room)
	if !c.stock.near(b.bar, gap) {
		return // it was only what stands for a drum outside of it
	}
	c.notches = append(c.notches, Notch{KeepOut: c.keepOut.Name, For: b.part, Solids: parts, Depth: c.stock.depth(parts)})
}

// room is what is cut for a box with a gap: the box grown by it along its own axes, up to
// the sheets before the core.
func (c *cutter) room(b geom.Box, gap float64, groove bool) []geom.HalfSpace {
	room := around(b, gap)
	for _, core := range c.core {
		if !groove && !c.stock.meets(room, core) {
			continue // apart already
		}
		_, u := geom.SheetGap(b, core)
		if math.Abs(u.Y) > acrossFrom {
			groove = false
		}
		// Never beyond the core, even for a box that is too near to it.
		at := min(b.Extent(u).Hi+gap, core.Extent(u).Lo)
		// First of all, so that what is left is mostly in one piece.
		room = append([]geom.HalfSpace{{Normal: u, Offset: at}}, room...)
	}
	if groove && len(c.stock.in(room)) > 0 {
		room = slices.DeleteFunc(room, func(h geom.HalfSpace) bool { return math.Abs(h.Normal.Y) > acrossFrom })
	}
	return room
}

// acrossFrom is the part across of a unit vector from which on it counts as across: 60°.
const acrossFrom = 0.86

// around are the half-spaces of a box grown by gap along its own axes.
func around(b geom.Box, gap float64) []geom.HalfSpace {
	var list []geom.HalfSpace
	for _, n := range b.Normals() {
		list = append(list, geom.HalfSpace{Normal: n, Offset: b.Extent(n).Hi + gap})
	}
	return list
}

// keepOuts are the pieces that are left, as keep-outs of the same name; the keep-out
// itself while nothing is cut.
func (c *cutter) keepOuts() []frame.KeepOut {
	if len(c.notches) == 0 {
		return []frame.KeepOut{c.keepOut}
	}
	var list []frame.KeepOut
	for _, piece := range c.stock.pieces() {
		k := c.keepOut
		k.Box, k.Round, k.Trim = nil, nil, 0
		k.Profile, k.Piece = piece.Profile, piece.Piece
		list = append(list, k)
	}
	return list
}
