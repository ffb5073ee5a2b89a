package ways

import (
	"cmp"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// MaxLegs is the greatest number of legs that ways are searched for.
const MaxLegs = 3

const (
	vehicleDirections = 6
	maxDirections     = 10
)

// Vehicle are the directions along the axes of the vehicle, by number: to the left,
// to the right, up, down, forward, backward. Number k^1 is opposite to number k.
func Vehicle() []r3.Vector {
	return []r3.Vector{{Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}, {X: 1}, {X: -1}}
}

func opposite(k int) int { return k ^ 1 }

// Way is how a mover comes out: displacements, one after the other. After the last
// it is clear of the room, and nothing is met however much further it goes.
type Way struct {
	Legs []r3.Vector
	Last int // number of the last leg's direction; own directions follow the vehicle's
}

// Inner returns the length of the legs before the last.
func (w Way) Inner() float64 {
	sum := 0.0
	for _, leg := range w.Legs[:len(w.Legs)-1] {
		sum += leg.Norm()
	}
	return sum
}

// Mover is a rigid body of several boxes that has to come out from among standing
// solids by straight moves, without turning. It remembers what it has found, so that
// asking again with other owners present is cheap. One goroutine at a time may use it.
type Mover struct {
	bodies     []geom.Box
	directions []r3.Vector
	place      Place
	groups     map[int]group // by owner, of those that were asked for
	ahead      []Set         // by direction; nil until it was looked
	memory     [MaxLegs + 1]memory
}

// maxKept is how many owners' barriers a mover keeps for the next question: some
// megabytes.
const maxKept = 500

// memory is what was found out about the ways of one number of legs.
type memory struct {
	none  []Set // sets of owners, each enough to rule out any such way
	found []known
}

// known is the way that was preferred with these present. With fewer it still exists,
// and is as good if it leads to side.
type known struct {
	present Set
	side    int
	way     Way
}

// Place is where a mover has to come out from.
type Place struct {
	Standing [][]geom.Solid // the solids of each owner; none for the mover's own number
	Room     geom.Solid     // bounded; a mover is out when it is beyond it
	Air      float64        // clearance to keep on the way, or the one at the start if that is less
	Near     *Near          // asks about all places near this one at once
}

// Near makes a mover one that stands for movers at all places near its own: it finds a way
// wherever one of them has one, and perhaps where none has. Slack is by how much, along each
// axis either way, the mover may be off its place as seen from each owner; Air the clearance
// that it certainly keeps to the owner, at the start and on the way.
type Near struct {
	Slack []r3.Vector
	Air   []float64
}

// NewMover returns a mover of bodies, the first of which is the case. Besides the
// vehicle's directions it may go along its own axes, both ways, where they are not
// the vehicle's; at most two are not.
func NewMover(bodies []geom.Box, place Place) *Mover {
	return &Mover{
		bodies: bodies, directions: directionsOf(bodies[0]),
		place: place, groups: map[int]group{},
	}
}

// build returns the barriers of one owner.
func (m *Mover) build(owner int) []*barrier {
	var list []*barrier
	for _, body := range m.bodies {
		for _, s := range m.place.Standing[owner] {
			list = append(list, newBarrier(m, owner, body, s))
		}
	}
	return list
}

// kept returns the barriers of one owner, which from then on are kept.
func (m *Mover) kept(owner int) group {
	g, ok := m.groups[owner]
	if !ok {
		g = m.groupOf(m.build(owner))
		m.groups[owner] = g
	}
	return g
}

func directionsOf(body geom.Box) []r3.Vector {
	list := Vehicle()
	for _, axis := range body.Axes {
		if !isAxis(axis) && len(list) < maxDirections {
			list = append(list, axis, axis.Mul(-1))
		}
	}
	return list
}

// vector returns the displacement at p.
func (m *Mover) vector(p stop) r3.Vector {
	return m.directions[p.i].Mul(p.s).Add(m.directions[p.j].Mul(p.t))
}

// Side returns the number of the vehicle's direction that direction k is nearest to.
func (m *Mover) Side(k int) int {
	best := 0
	for n, d := range Vehicle() {
		if m.directions[k].Dot(d) > m.directions[k].Dot(Vehicle()[best])+level {
			best = n
		}
	}
	return best
}

// Way returns a way out with exactly this many legs while present stand where they
// are. It prefers ways whose last leg goes to side, a direction of the vehicle by
// number, then those with the shortest legs before the last. Every way is found that
// keeps the air and Fineness more to round solids.
func (m *Mover) Way(legs, side int, present Set) (Way, bool) {
	memory := &m.memory[legs]
	for _, none := range memory.none {
		if none.Within(present) {
			return Way{}, false
		}
	}
	for _, k := range memory.found {
		if k.side == side && present.Within(k.present) && (m.Side(k.way.Last) == side || k.present.Within(present)) {
			return k.way, true
		}
	}
	f := &finder{Mover: m, present: present}
	list := f.search(legs)
	if len(m.groups) > maxKept {
		clear(m.groups)
	}
	if len(list) == 0 {
		memory.none = append(memory.none, f.met)
		return Way{}, false
	}
	way := slices.MinFunc(list, func(v, w Way) int { return m.compare(v, w, side) })
	memory.found = append(memory.found, known{present, side, way})
	return way, true
}

// Blockers returns owners, of those present, that together rule out every way, after Way
// has found none of any number of legs.
func (m *Mover) Blockers(present Set) Set {
	var all Set
	for legs := 1; legs <= MaxLegs; legs++ {
		for _, none := range m.memory[legs].none {
			if none.Within(present) {
				all = all.Union(none)
				break
			}
		}
	}
	return all
}

func (m *Mover) compare(v, w Way, side int) int {
	other := func(w Way) int {
		if m.Side(w.Last) == side {
			return 0
		}
		return 1
	}
	return cmp.Or(other(v)-other(w), cmp.Compare(v.Inner(), w.Inner()), v.Last-w.Last)
}
