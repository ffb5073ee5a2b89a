package judge

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack/rack"
)

// Step is one thing that is put in its place, and the straight moves that bring it there. Bars
// that are welded to each other come as one, by the name of their tray.
type Step struct {
	Name string
	Box  bool
	Bars []string // that are welded to each other
	Legs []r3.Vector
}

// item is something that has to come out: a box with its posts, a bar or several that are welded
// to each other, a bolt or rod, a clamp.
type item struct {
	name     string
	solids   []solid
	bars     []*part
	fastener *part
	box      *box
	clamp    *rack.Clamp
}

func (t item) step(legs []r3.Vector) Step {
	s := Step{Name: t.name, Box: t.box != nil, Legs: legs}
	if len(t.bars) > 1 {
		for _, b := range t.bars {
			s.Bars = append(s.Bars, b.name)
		}
	}
	return s
}

// order is rule 6. The rack is taken apart: whatever can leave by straight moves does, hold-
// downs before boxes and boxes before the rest. What can leave still can when others have
// left, so that the order of trying does not matter to whether there is one (Wilson & Latombe,
// Artificial Intelligence 71 (1994) 371–396).
//
// A box only leaves while a tool reaches its posts past all that is still there: so they can be
// connected when it has gone in. Where there is no such order, posts tells why.
func (j *scene) order() []Step {
	out, left := j.apart(true)
	if len(left) > 0 {
		out, left = j.apart(false)
	}
	if len(left) > 0 {
		j.stuck(left)
		return nil
	}
	slices.Reverse(out)
	for i := range out {
		slices.Reverse(out[i].Legs)
		for k := range out[i].Legs {
			out[i].Legs[k] = out[i].Legs[k].Mul(-1).Add(r3.Vector{})
		}
	}
	return out
}

// apart takes the rack apart, and returns what cannot leave. With tools, boxes wait until a tool
// reaches their posts.
func (j *scene) apart(tools bool) (out []Step, left []item) {
	left = j.items()
	gone := map[string]bool{}
	for len(left) > 0 {
		i := slices.IndexFunc(left, func(t item) bool {
			if tools && j.hidden(t, left) {
				return false
			}
			legs, ok := j.leaves(t, left, gone)
			if ok {
				out = append(out, t.step(legs))
			}
			return ok
		})
		if i < 0 {
			return out, left
		}
		gone[left[i].name] = true
		left = slices.Delete(slices.Clone(left), i, i+1)
	}
	return out, nil
}

// items lists all, in the order in which they are tried: from the top down, so that each tray
// goes in when the boxes below it are in; of what is as high hold-downs, rods, boxes, the rest.
func (j *scene) items() []item {
	var list []item
	rank := map[string]int{}
	height := map[string]float64{}
	add := func(t item, order int) {
		low, high := math.Inf(1), math.Inf(-1)
		for _, s := range t.solids {
			low, high = min(low, s.low.Z), max(high, s.high.Z)
		}
		rank[t.name], height[t.name] = order, (low+high)/2
		if slices.ContainsFunc(t.bars, j.fromAbove) {
			height[t.name] = math.Inf(-1) // the rack hangs from it: it is there first
		}
		list = append(list, t)
	}
	for _, bars := range j.pieces() {
		order := 4
		if bars[0].late {
			order = 0
		}
		piece := pieceOf(bars)
		if _, taken := rank[piece.name]; taken {
			piece.name += " with " + bars[0].name
		}
		add(piece, order)
	}
	for i := range j.parts {
		p := &j.parts[i]
		switch {
		case p.clamp != nil:
			add(item{name: p.name, clamp: p.clamp, solids: p.solids}, 5)
		case p.fastener == nil:
		case p.late:
			add(item{name: p.name, fastener: p, solids: p.solids}, 1)
		default:
			add(item{name: p.name, fastener: p, solids: p.solids}, 3)
		}
	}
	for i := range j.boxes {
		b := &j.boxes[i]
		add(item{name: b.name, box: b, solids: append([]solid{b.body}, b.posts...)}, 2)
	}
	slices.SortStableFunc(list, func(a, b item) int {
		return cmp.Or(cmpFloat(math.Round(height[b.name]), math.Round(height[a.name])), cmp.Compare(rank[a.name], rank[b.name]))
	})
	return list
}

// fromAbove tells whether a bar is bolted to a mount that faces down.
func (j *scene) fromAbove(p *part) bool {
	return slices.ContainsFunc(j.rack.Fasteners, func(f rack.Fastener) bool {
		return slices.Contains(f.Joins, p.name) && slices.ContainsFunc(f.Joins, func(n string) bool { return j.mounts[n].Faces.Z < -0.9 })
	})
}

// pieceOf is a bar, or bars that are welded to each other.
func pieceOf(bars []*part) item {
	t := item{name: bars[0].name, bars: bars}
	if len(bars) > 1 {
		t.name = bars[0].bar.Tray
	}
	for _, b := range bars {
		t.solids = append(t.solids, b.solids...)
	}
	return t
}

func (j *scene) stuck(left []item) {
	var names []string
	for _, t := range left {
		if t.box != nil {
			names = append(names, t.name)
		}
	}
	if len(names) == 0 {
		for _, t := range left {
			names = append(names, t.name)
		}
	}
	shown := strings.Join(names[:min(40, len(names))], ", ")
	j.say(Assembly, 0, "", names, "no straight moves bring %s to their places with what is there before: leave more room above or beside, or take bars off that side", shown)
}

// lifts are how high in mm a box or bar is lifted before it goes sideways.
var lifts = []float64{0, 6, 12, 20, 30, 45, 70}

// leaves finds straight moves out.
func (j *scene) leaves(t item, left []item, gone map[string]bool) ([]r3.Vector, bool) {
	if slices.ContainsFunc(t.bars, func(b *part) bool { return !j.loose(b, gone) }) || t.box != nil && j.heldDown(t.box, gone) {
		return nil, false
	}
	var around []solid
	for _, o := range left {
		if o.name != t.name {
			around = append(around, j.inWay(t, o)...)
		}
	}
	for i, o := range j.obstacles {
		if t.fastener != nil && joins(t.fastener, o.Name) {
			continue // it goes into what hangs on the rack
		}
		if passes(t.clamp, o) {
			continue
		}
		if !o.Removable && !o.LiftsOff && !(o.Kind == frame.Side && o.Open) && o.Kind != frame.Width && !j.at(t) {
			around = append(around, j.around[i])
		}
	}
	switch {
	case t.fastener != nil:
		return j.alongAxis(t, around)
	case t.clamp != nil:
		return j.unclamps(t, around, gone)
	}
	return j.straight(t, around)
}

// at tells whether an item is bolted to a mount, beside which the sides of the opening do not
// count.
func (j *scene) at(t item) bool { return t.fastener != nil && j.atMount(t.fastener) }

// loose tells whether all that goes through a bar is off, but for rods that it slides along.
func (j *scene) loose(p *part, gone map[string]bool) bool {
	for _, f := range j.rack.Fasteners {
		if slices.Contains(f.Joins, p.name) && !gone[f.Name] && !(p.late && f.Rod) {
			return false
		}
	}
	// A bar that a box stands on stays until the box is out.
	for _, pad := range j.rack.Pads {
		if pad.To == p.name && pad.Face.Z < 0 && !gone[pad.Part().String()] {
			return false
		}
	}
	return true
}

// heldDown tells whether a bar that goes on after the boxes still holds a box down: such come off first.
func (j *scene) heldDown(b *box, gone map[string]bool) bool {
	return slices.ContainsFunc(j.rack.Pads, func(pad rack.Pad) bool {
		bar, ok := j.rack.Bar(pad.To)
		return ok && bar.Late && pad.Face.Z > 0 && pad.Part() == b.part && !gone[bar.Name]
	})
}

// inWay are the solids of another thing that a moving one may meet: nuts come off what moves
// past a rod, and a shank slides in its own holes.
func (j *scene) inWay(t, o item) []solid {
	var list []solid
	switch {
	case o.clamp != nil && t.fastener != nil && joins(t.fastener, o.name): // its nut
	case o.fastener != nil && slices.ContainsFunc(t.bars, func(b *part) bool { return joins(o.fastener, b.name) }):
	case o.fastener != nil && o.fastener.late:
		list = o.solids[:1]
	case len(o.bars) > 0:
		for _, b := range o.bars {
			if t.fastener == nil || !joins(t.fastener, b.name) {
				list = append(list, b.solids...)
			}
		}
	default:
		list = o.solids
	}
	return list
}

// alongAxis takes a bolt out by its head, or a rod either way. The stud of a mount stays: only its nut
// comes off.
func (j *scene) alongAxis(t item, around []solid) ([]r3.Vector, bool) {
	f := t.fastener.fastener
	if j.rack.Stud(*f) {
		return nil, true
	}
	ways := []r3.Vector{f.Along().Mul(-1)}
	moving := t.solids[:1]
	if f.Rod {
		ways = append(ways, f.Along())
	} else {
		moving = t.solids[:2]
	}
	for _, way := range ways {
		if leg := way.Mul(f.Length() + 2); free(moving, leg, around) {
			return []r3.Vector{leg}, true
		}
	}
	return nil, false
}

// straight takes a box or bar out along an axis, if need be after a lift; a bar off a stud first.
func (j *scene) straight(t item, around []solid) ([]r3.Vector, bool) {
	slide := slices.ContainsFunc(t.bars, j.slides)
	for _, up := range j.firstMoves(t) {
		lift := up.Norm()
		if lift > 0 && !free(t.solids, up, around) {
			break
		}
		raised := moved(t.solids, up)
		for _, d := range []r3.Vector{{Z: 1}, {Y: 1}, {Y: -1}, {X: 1}, {X: -1}, {Z: -1}} {
			if slide && d.Z == 0 && !j.offRods(t, lift) {
				continue
			}
			out := d.Mul(j.wayOut(raised, d))
			if !free(raised, out, around) {
				continue
			}
			if lift > 0 {
				return []r3.Vector{up, out}, true
			}
			return []r3.Vector{out}, true
		}
	}
	return nil, false
}

// firstMoves are those that something makes before it goes out along an axis: lifts, or off the studs
// that go through it.
func (j *scene) firstMoves(t item) []r3.Vector {
	off := r3.Vector{}
	for _, f := range j.rack.Fasteners {
		if j.rack.Stud(f) && slices.ContainsFunc(t.bars, func(b *part) bool { return slices.Contains(f.Joins, b.name) }) && f.Length() > off.Norm() {
			off = f.To.Sub(f.From)
		}
	}
	if off != (r3.Vector{}) {
		return []r3.Vector{off}
	}
	var list []r3.Vector
	for _, lift := range lifts {
		list = append(list, r3.Vector{Z: lift})
	}
	return list
}

// slides tells whether a bar sits on rods, along which alone it comes off.
func (j *scene) slides(p *part) bool {
	return p.late && slices.ContainsFunc(j.rack.Fasteners, func(f rack.Fastener) bool { return f.Rod && slices.Contains(f.Joins, p.name) })
}

// offRods tells whether bars that are lifted so far are over the ends of the rods that they sit on.
func (j *scene) offRods(t item, lift float64) bool {
	low := t.solids[0].low.Z
	for _, s := range t.solids {
		low = min(low, s.low.Z)
	}
	return !slices.ContainsFunc(j.rack.Fasteners, func(f rack.Fastener) bool {
		on := slices.ContainsFunc(t.bars, func(b *part) bool { return slices.Contains(f.Joins, b.name) })
		return on && f.Rod && max(f.From.Z, f.To.Z) > low+lift
	})
}

// wayOut is how far something has to go along a direction to be beyond all boxes and parts.
func (j *scene) wayOut(moving []solid, d r3.Vector) float64 {
	far, near := 0.0, 0.0
	for i, s := range moving {
		if lo := s.Extent(d).Lo; i == 0 || lo < near {
			near = lo
		}
	}
	for _, b := range j.boxes {
		far = max(far, b.body.Extent(d).Hi-near)
	}
	for _, p := range j.parts {
		for _, s := range p.solids {
			far = max(far, s.Extent(d).Hi-near)
		}
	}
	return far + 5
}

func moved(list []solid, by r3.Vector) []solid {
	out := make([]solid, len(list))
	for i, s := range list {
		out[i] = solidOf(geom.BoxFromCorners(s.low.Add(by), s.high.Add(by)))
	}
	return out
}

// free tells whether the blocks around solids, swept along a leg that is along an axis, meet
// nothing.
func free(moving []solid, leg r3.Vector, around []solid) bool {
	for _, s := range moving {
		low, high := s.low, s.high
		for _, e := range []struct{ lo, hi, d *float64 }{{&low.X, &high.X, &leg.X}, {&low.Y, &high.Y, &leg.Y}, {&low.Z, &high.Z, &leg.Z}} {
			*e.lo, *e.hi = *e.lo+min(0, *e.d), *e.hi+max(0, *e.d)
		}
		swept := solidOf(geom.BoxFromCorners(low, high))
		for _, o := range around {
			if distance(swept, o, 0) < -touch {
				return false
			}
		}
	}
	return true
}
