package design

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/rack"
)

// Kept is a problem whose layouts leave room for a rack, and what was set aside for it.
type Kept struct {
	Problem pack.Problem
	Beside  float64 // mm at either side, for rods and side members
	Ends    float64 // mm at walls, for end bars and their pads
	Under   float64 // mm under boxes, for a tray
	Over    float64 // mm from boxes of one level to those of the next: hold-downs, then a tray
}

// Keep sets room aside for a rack in a problem: narrower across by the rods and side members
// of the lightest tray, farther from walls by end bars and pads, higher by a tray, and off the
// mounts by the upright that is bolted to each. It is what most racks take, not what each
// needs; boxes stand level where they may: that none of its layouts fits proves nothing of the problem without the rack.
// Frame and pack are copied where they change; their hashes stay.
func Keep(p pack.Problem, s Settings) (Kept, error) {
	if len(s.Stock.Angles) == 0 {
		s.Stock = rack.DefaultStock()
	}
	d := &designer{problem: p, settings: s, room: &room{}, why: map[string]int{}}
	m, err := d.lightest()
	if err != nil {
		return Kept{}, err
	}
	below := m.rod.WasherThk + m.rod.Locking + 2*m.rod.Pitch
	joint := bought(2*m.angle.Thick + below)
	k := Kept{
		Beside: math.Ceil(m.sides()), Ends: leastEnd + m.angle.Thick,
		Under: math.Ceil(m.foam+math.Max(joint, 2*m.angle.Thick+below)) + air,
	}
	k.Over = k.Under + math.Ceil(m.foam+m.flat.Thick+below)
	f, packed := *p.Frame, *p.Pack
	packed.Gaps.Wall = math.Max(packed.Gaps.Wall, k.Ends)
	packed.Gaps.Tray = math.Max(packed.Gaps.Tray, k.Under)
	packed.Gaps.Above = math.Max(packed.Gaps.Above, k.Over)
	packed.Kinds = level0(packed.Kinds)
	f.Opening.Stations = slices.Clone(f.Opening.Stations)
	for i, at := range f.Opening.Stations {
		if at.Across.Length() <= 2*k.Beside {
			return Kept{}, fmt.Errorf("the opening is %.0f mm across: rods and side members of a rack take %.0f mm at either side", at.Across.Length(), k.Beside)
		}
		f.Opening.Stations[i].Across = at.Across.Expanded(math.Min(0, packed.Gaps.Wall-k.Beside))
	}
	f.KeepOuts = append(slices.Clone(f.KeepOuts), d.uprightRooms()...)
	k.Problem, err = pack.NewProblem(&f, &packed)
	k.Problem.Pins = p.Pins
	return k, err
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

// leastEnd is what the pad between boxes and an end bar takes at least in mm, and air.
const leastEnd = 4

// lightest are the measures of the first choice: the rods and bars that take least room.
func (d *designer) lightest() (measures, error) {
	d.levels = []level{{}}
	list := d.choices()
	if len(list) == 0 {
		return measures{}, fmt.Errorf("no rod and angle of the stock go together: list M6 rod and angle of 25x25x3")
	}
	best := list[0].measures
	for _, c := range list[1:] {
		if m := c.measures; m.sides() < best.sides() {
			best = m
		}
	}
	return best, nil
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
			into := side.Faces.Mul(d.upright().Thick + 2*t.WasherThk + t.Locking)
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
