package design

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/rack"
)

// Kept is a problem whose layouts leave room for a rack, and what was set aside for it.
type Kept struct {
	Problem pack.Problem
	Beside  float64 // mm at either side, for rods and side members
	Ends    float64 // mm at walls, for end bars and their pads
	Under   float64 // mm under boxes, for a tray
	Above   float64 // mm over boxes to the sides of the opening, for hold-downs
	Over    float64 // mm from boxes of one level to those of the next: hold-downs, then a tray
}

// Keep sets room aside for a rack in a problem, as Keeps does in the way that is tried first.
func Keep(p pack.Problem, s Settings) (Kept, error) {
	list, err := Keeps(p, s)
	if err != nil {
		return Kept{}, err
	}
	return list[0], nil
}

// Keeps sets room aside for a rack in a problem: narrower by the rods and side members of the lightest
// tray, shorter by end bars and pads, lower by hold-downs, higher by a tray, and off the mounts by the
// upright that is bolted to each; then the same without room for uprights, and with trays that run
// across. It is what most racks take, not what each needs; boxes stand level where they may: that none
// of its layouts fits proves nothing of the problem without the rack.
// Frame and pack are copied where they change; their hashes stay.
func Keeps(p pack.Problem, s Settings) ([]Kept, error) {
	if len(s.Stock.Angles) == 0 {
		s.Stock = rack.DefaultStock()
	}
	d := &designer{problem: p, settings: s, room: &room{}, why: map[string]int{}}
	m, err := d.lightest()
	if err != nil {
		return nil, err
	}
	var list []Kept
	var first error
	for _, v := range []variant{{uprights: true}, {}, {across: true}} {
		if v.uprights && len(d.uprightRooms()) == 0 {
			continue
		}
		k, err := d.keep(m, v)
		if err == nil {
			list = append(list, k)
		} else if first == nil {
			first = err
		}
	}
	if len(list) == 0 {
		return nil, first
	}
	return list, nil
}

// variant is a way of keeping room.
type variant struct {
	uprights bool // room for an upright at each mount
	across   bool // side members and rods are at the ends, end bars at the sides
}

// keep sets room aside in one way.
func (d *designer) keep(m measures, v variant) (Kept, error) {
	below := m.rod.WasherThk + m.rod.Locking + 2*m.rod.Pitch
	joint := bought(2*m.angle.Thick + below)
	if slices.ContainsFunc(d.problem.Frame.Mounts, func(f frame.Mount) bool { return f.Faces.Z > 0.7 }) {
		joint = m.angle.Thick + bought(m.angle.Thick+m.floor.Thick+below)
	}
	k := Kept{
		Beside: math.Ceil(m.sides()), Ends: leastEnd + m.angle.Thick,
		Under: math.Ceil(m.foam+math.Max(joint, 2*m.angle.Thick+below)) + air,
	}
	k.Above = math.Ceil(m.foam + m.over.Thick + below)
	k.Over = k.Under + k.Above
	side, end := k.Beside, k.Ends
	if v.across {
		side, end = end, side
	}
	p := d.problem
	f, packed := *p.Frame, *p.Pack
	packed.Gaps.Tray = math.Max(packed.Gaps.Tray, math.Min(k.Under, trayBars))
	packed.Gaps.Above = math.Max(packed.Gaps.Above, k.Over)
	packed.Gaps.Rail = math.Max(packed.Gaps.Rail, k.Ends)
	packed.Gaps.KeepOut = math.Max(packed.Gaps.KeepOut, k.Ends)
	packed.Kinds = level0(packed.Kinds)
	f.Opening.Stations = slices.Clone(f.Opening.Stations)
	for i, at := range f.Opening.Stations {
		if at.Across.Length() <= 2*side {
			return Kept{}, fmt.Errorf("the opening is %.0f mm across: rods and side members of a rack take %.0f mm at either side", at.Across.Length(), side)
		}
		f.Opening.Stations[i].Across = at.Across.Expanded(math.Min(0, packed.Gaps.Wall-side))
	}
	f.Opening.Outline = inset(f.Opening.Outline, func(out r2.Point) float64 {
		switch {
		case out.Y > 0.7:
			return math.Max(0, k.Above-packed.Gaps.Wall)
		case out.Y < -0.7:
			return k.Under - packed.Gaps.Tray
		}
		return math.Max(0, end-packed.Gaps.Wall)
	})
	f.KeepOuts = append(slices.Clone(f.KeepOuts), d.faces()...)
	if v.uprights {
		f.KeepOuts = append(f.KeepOuts, d.uprightRooms()...)
	}
	var err error
	k.Problem, err = pack.NewProblem(&f, &packed)
	k.Problem.Pins = p.Pins
	return k, err
}

// inset moves each side of an outline inwards by what is told for its outward direction. Where that
// leaves nothing like it, the outline comes back as it was.
func inset(outline geom.Polygon, by func(out r2.Point) float64) geom.Polygon {
	n := len(outline.Corners)
	at := func(i int) r2.Point { return outline.Corners[(i+n)%n] }
	shifted := func(i int) (r2.Point, r2.Point) { // the side from corner i on, moved: a point and its direction
		d := at(i + 1).Sub(at(i)).Normalize()
		out := r2.Point{X: d.Y, Y: -d.X}
		return at(i).Sub(out.Mul(by(out))), d
	}
	var moved geom.Polygon
	for i := range n {
		p, d := shifted(i - 1)
		q, e := shifted(i)
		cross := d.Cross(e)
		if math.Abs(cross) < 1e-6 {
			moved.Corners = append(moved.Corners, q)
			continue
		}
		moved.Corners = append(moved.Corners, p.Add(d.Mul(q.Sub(p).Cross(e)/cross)))
	}
	for i := range n {
		if moved.Corners[(i+1)%n].Sub(moved.Corners[i]).Dot(at(i+1).Sub(at(i))) <= 0 {
			return outline
		}
	}
	return moved
}

// level0 are kinds that stand without tilt where they may.
func level0(kinds []pack.Kind) []pack.Kind {
	kinds = slices.Clone(kinds)
	for i := range kinds {
		if slices.Contains(kinds[i].Tilts, 0) {
			kinds[i].Tilts = []s1.Angle{0}
		}
	}
	return kinds
}

// PostsUp returns a problem with boxes only in stands that may have all of their posts on top, for the
// kinds that have such: bars have most room there.
func PostsUp(p pack.Problem) pack.Problem {
	k := *p.Pack
	k.Kinds = slices.Clone(k.Kinds)
	for i, kind := range k.Kinds {
		stands := slices.DeleteFunc(slices.Clone(kind.Stands), func(s pack.Stand) bool { return !onTop(kind, s) })
		if len(stands) > 0 {
			k.Kinds[i].Stands = stands
		}
	}
	p.Pack = &k
	return p
}

// onTop tells whether all posts of a kind can be on top in a stand.
func onTop(k pack.Kind, s pack.Stand) bool {
	return !slices.ContainsFunc(k.Posts, func(post pack.Post) bool {
		return (pack.Orientation{Up: post.Face}).Stand() != s || post.Face != k.Posts[0].Face
	})
}

// trayBars is what foam, cross bars and side members take under boxes, mm: bolts reach farther down, but
// not everywhere.
const trayBars = 12

// leastEnd is what the pad between boxes and an end bar takes at least in mm: the head of a bolt in the end bar, and air.
const leastEnd = 5

// lightest are the measures of the first choice: the rods and bars that take least room.
func (d *designer) lightest() (measures, error) {
	d.levels = []level{{}}
	var list []measures
	for _, rod := range d.settings.Stock.Rods {
		if t, err := rack.ThreadOf(rod); err == nil && t.D <= thickestRod {
			list = append(list, d.choices(t)...)
		}
	}
	if len(list) == 0 {
		return measures{}, fmt.Errorf("no rod and angle of the stock go together: list M6 rod and angle of 25x25x3")
	}
	return slices.MinFunc(list, func(a, b measures) int { return cmp.Compare(a.sides(), b.sides()) }), nil
}

// faces are small keep-outs at the mounts: none is inside a box.
func (d *designer) faces() []frame.KeepOut {
	gap := 0.0
	half := r3.Vector{X: 1, Y: 1, Z: 1}
	var list []frame.KeepOut
	for _, m := range d.problem.Frame.Mounts {
		for _, side := range m.Sides() {
			at := side.At.Add(side.Faces)
			list = append(list, frame.KeepOut{
				Name: "face of " + side.Name, Gap: &gap, Metal: true,
				Box: &frame.Corners{Low: at.Sub(half), High: at.Add(half)},
			})
		}
	}
	return list
}

// uprightRooms are keep-outs where an upright is bolted to each mount that faces across.
func (d *designer) uprightRooms() []frame.KeepOut {
	gap := 0.0
	var list []frame.KeepOut
	for _, m := range d.problem.Frame.Mounts {
		t, err := rack.ThreadOf(m.Bolt)
		if err != nil || math.Abs(m.Faces.Y) < 0.7 {
			continue
		}
		for _, side := range m.Sides() {
			half := r3.Vector{X: gauge(d.upright(), t) + d.upright().Thick + 7, Z: d.upright().Width}
			into := side.Faces.Mul(math.Max(d.upright().Width, d.upright().Thick+2*t.WasherThk+t.Locking))
			a, b := side.At.Sub(half), side.At.Add(half).Add(into)
			list = append(list, frame.KeepOut{
				Name: "bolt at " + side.Name, Gap: &gap, Metal: true,
				Box: &frame.Corners{
					Low:  r3.Vector{X: math.Min(a.X, b.X), Y: math.Min(a.Y, b.Y), Z: math.Min(a.Z, b.Z)},
					High: r3.Vector{X: math.Max(a.X, b.X), Y: math.Max(a.Y, b.Y), Z: math.Max(a.Z, b.Z)},
				},
			})
		}
	}
	return list
}
