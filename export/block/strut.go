package block

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
)

// A strut is a row of bars along the axes, end to end, from a rail or keep-out to the
// plate: straight across where that is free, else along or up to where it is, or around
// the far side of the boxes.

// straight are the bars of up to two struts from a solid straight across to the plate, as
// far apart as can be; none where none is free.
func (b *builder) straight(s geom.Solid) []geom.Box {
	points := spine(s)
	var all []geom.Box
	for _, p := range points { // from one end
		if bars := b.bars(p, b.foot(p)); b.free(bars) {
			all = bars
			break
		}
	}
	for i := len(points) - 1; i > 0 && len(all) == 1; i-- { // and from the other
		if bars := b.bars(points[i], b.foot(points[i])); b.free(bars) && bars[0].Centre != all[0].Centre {
			all = append(all, bars...)
		}
	}
	return all
}

// through is a strut straight across from the middle of a solid, whatever is in its way;
// none with a layout, whose boxes would be.
func (b *builder) through(s geom.Solid) []geom.Box {
	if b.layout != nil {
		return nil
	}
	points := spine(s)
	p := points[len(points)/2]
	return b.bars(p, b.foot(p))
}

// foot is where the plate is straight across from a point.
func (b *builder) foot(p r3.Vector) r3.Vector { return r3.Vector{X: p.X, Y: b.plate.Centre.Y, Z: p.Z} }

// bars are bars along the axes from each point to the next.
func (b *builder) bars(points ...r3.Vector) []geom.Box {
	half := r3.Vector{X: 1, Y: 1, Z: 1}.Mul(b.width / 2 / b.scale)
	var all []geom.Box
	for i := 1; i < len(points); i++ {
		p, q := points[i-1], points[i]
		if p != q {
			all = append(all, geom.BoxFromCorners(lower(p, q).Sub(half), higher(p, q).Add(half)))
		}
	}
	return all
}

// detour is the shortest free strut with corners from a solid: along the vehicle or up and
// down, then across to the plate; or first across, beyond the boxes. None where none is free.
func (b *builder) detour(s geom.Solid) []geom.Box {
	var best []geom.Box
	least := math.Inf(1)
	try := func(points ...r3.Vector) {
		long := 0.0
		for i := 1; i < len(points); i++ {
			long += points[i].Sub(points[i-1]).Norm()
		}
		if long >= least {
			return
		}
		if bars := b.bars(points...); b.free(bars) {
			best, least = bars, long
		}
	}
	xs, ys, zs := b.beside()
	for _, p := range spine(s) {
		for _, y := range append([]float64{p.Y}, ys...) {
			out := r3.Vector{X: p.X, Y: y, Z: p.Z}
			for _, x := range xs {
				q := r3.Vector{X: x, Y: y, Z: p.Z}
				try(p, out, q, b.foot(q))
			}
			for _, z := range zs {
				q := r3.Vector{X: p.X, Y: y, Z: z}
				try(p, out, q, b.foot(q))
			}
		}
	}
	return best
}

// beside are places along each axis where a bar passes beside a box or beside everything.
func (b *builder) beside() (xs, ys, zs []float64) {
	off := (b.width/2 + 1) / b.scale
	add := func(s geom.Solid) {
		low, high := geom.Bounds(s)
		xs = append(xs, low.X-off, high.X+off)
		ys = append(ys, low.Y-off, high.Y+off)
		zs = append(zs, low.Z-off, high.Z+off)
	}
	for _, c := range b.cases {
		add(c)
	}
	add(b.plate) // as large as everything
	return distinct(xs), distinct(ys), distinct(zs)
}

func distinct(list []float64) []float64 {
	slices.Sort(list)
	return slices.Compact(list)
}

// widen makes the plate large enough for what comes to it.
func (b *builder) widen(bar geom.Solid) {
	if bar.Extent(r3.Vector{Y: 1}).Contains(b.plate.Centre.Y) {
		plate := b.plate.Extent(r3.Vector{Y: 1})
		low, high := geom.Bounds(b.plate, bar)
		low.Y, high.Y = plate.Lo, plate.Hi
		b.plate = geom.BoxFromCorners(low, high)
	}
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
	if p, ok := s.(geom.Prism); ok {
		if list := inProfile(p, along); len(list) > 0 {
			return list
		}
	}
	return along(geom.Spine(s))
}

// inProfile are those of the points lengthwise through the middle of a side view that are in
// it; none in a slanted sliver.
func inProfile(s geom.Prism, along func(a, b r3.Vector) []r3.Vector) []r3.Vector {
	b := s.Profile.Bounds()
	var list []r3.Vector
	for _, p := range along(r3.Vector{X: b.X.Lo, Z: b.Y.Center()}, r3.Vector{X: b.X.Hi, Z: b.Y.Center()}) {
		q, _ := s.View.Flatten(p)
		if s.View == geom.SideView && s.Profile.InteriorContains(q) {
			list = append(list, s.View.Point(q, s.Depth.Center()))
		}
	}
	return list
}

// barred is a solid that struts keep clear of, with the low and the high corner of the block
// around it.
type barred struct {
	solid     geom.Solid
	low, high r3.Vector
}

func newBarred(s geom.Solid) barred {
	low, high := geom.Bounds(s)
	return barred{s, low, high}
}

// hits tells whether something touches the solid.
func (s barred) hits(bar geom.Solid) bool {
	low, high := geom.Bounds(bar)
	return low.X <= s.high.X && s.low.X <= high.X && low.Y <= s.high.Y && s.low.Y <= high.Y && low.Z <= s.high.Z && s.low.Z <= high.Z &&
		geom.Distance(bar, s.solid) <= 0
}

// keepClear collects what struts keep clear of: the boxes in place, and at places on their way in
// that no strut fits between, and what is off while they go in. The places are only to
// save time: the judge of orders has the last word.
func (b *builder) keepClear() {
	for _, c := range b.cases {
		b.barred = append(b.barred, newBarred(c))
	}
	for _, h := range b.bodies {
		if h.off {
			b.barred = append(b.barred, newBarred(h.solid))
		}
	}
	for _, step := range b.order.Steps {
		i := slices.IndexFunc(b.layout.Placements, func(at pack.Placement) bool { return at.Part() == step.Part() })
		if i < 0 {
			continue
		}
		at := b.layout.Placements[i]
		for _, leg := range slices.Backward(step.Legs) { // from its place outwards
			steps := math.Ceil(leg.Norm() / (thinStrut / b.scale))
			for k := 1.0; k <= steps; k++ {
				moved := at
				moved.Centre = at.Centre.Sub(leg.Mul(k / steps))
				if bodies, err := b.problem.Bodies(moved); err == nil {
					b.barred = append(b.barred, newBarred(bodies.Case))
				}
			}
			at.Centre = at.Centre.Sub(leg)
		}
	}
}

// free tells whether bars are clear of the boxes, in place and on their way in. Without a
// layout they are free outside of the opening.
func (b *builder) free(bars []geom.Box) bool {
	for _, bar := range bars {
		if b.layout == nil && b.inOpening(bar) {
			return false
		}
		for _, s := range b.barred {
			if s.hits(bar) {
				return false
			}
		}
	}
	return b.faults(solidsOf(bars)...) <= b.hampered
}

// inOpening tells whether the middle line of a bar is in the room for boxes somewhere: in
// the opening, and in no rail or keep-out.
func (b *builder) inOpening(bar geom.Box) bool {
	const steps = 16
	o := b.problem.Frame.Opening
	line := bar.Half.Sub(r3.Vector{X: 1, Y: 1, Z: 1}.Mul(b.width / 2 / b.scale))
	for i := range steps + 1 {
		q := bar.Centre.Add(line.Mul(2*float64(i)/steps - 1))
		flat, y := geom.SideView.Flatten(q)
		solid := slices.ContainsFunc(b.bodies, func(h held) bool { return geom.Distance(geom.BoxFromCorners(q, q), h.solid) <= 0 })
		if !solid && o.Outline.Contains(flat) && o.AcrossAt(q.Z).InteriorContains(y) {
			return true
		}
	}
	return false
}

func solidsOf(bars []geom.Box) []geom.Solid {
	var all []geom.Solid
	for _, bar := range bars {
		all = append(all, bar)
	}
	return all
}

// faults is how much is wrong with the order of the boxes with flat-faced solids in their way:
// the judge of orders sees them as more keep-outs.
func (b *builder) faults(solids ...geom.Solid) int {
	if b.layout == nil || len(b.order.Steps) == 0 {
		return 0
	}
	f := *b.problem.Frame
	f.KeepOuts = slices.Clone(f.KeepOuts)
	for _, s := range solids {
		body := geom.PolyhedronOf(s, barCorners)
		f.KeepOuts = append(f.KeepOuts, frame.KeepOut{Name: "part of the cage", Piece: &body})
	}
	problem := b.problem
	problem.Frame = &f
	faults, err := entry.Verify(problem, *b.layout, b.order)
	if err != nil {
		return math.MaxInt
	}
	return len(faults)
}
