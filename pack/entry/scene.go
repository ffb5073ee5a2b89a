package entry

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry/ways"
)

// scene is a layout with all that stands around it. Its owners are numbered: the
// boxes in the order of the layout, then the things of the frame.
type scene struct {
	boxes  []boxAt
	things []thing
	room   geom.Box // the opening, and a box around it
	air    float64
	beside float64 // the gap that the bodies of two boxes keep at least
	convex bool    // the outline
}

// boxAt is a box in its place.
type boxAt struct {
	part   pack.Part
	body   geom.Box
	posts  []geom.Box
	kind   pack.Kind
	bottom float64 // height of its lowest point
}

// thing is a rail, a keep-out or a closed side: one name, one or more solids.
type thing struct {
	name   string
	solids []geom.Solid
	// comesOff tells that it unbolts or lifts off.
	comesOff bool
	// side tells that it is a side of the opening.
	side bool
	// of is the first of its obstacles, where it is no side.
	of frame.Obstacle
	// gap is what every box, and every post, keeps to it at least.
	gap float64
}

func newScene(problem pack.Problem, layout pack.Layout) (*scene, error) {
	s := &scene{air: problem.Pack.Gaps.Entry, room: roomOf(problem.Frame.Opening), convex: problem.Frame.Opening.Outline.IsConvex()}
	for _, p := range layout.Placements {
		b, err := newBoxAt(problem, p)
		if err != nil {
			return nil, err
		}
		if s.index(b.part) >= 0 {
			return nil, fmt.Errorf("the layout has %v twice; give each box of a kind its own number", b.part)
		}
		s.boxes = append(s.boxes, b)
	}
	s.things = append(thingsOf(problem.ObstaclesAtRest()), wallsOf(problem)...)
	g := problem.Pack.Gaps
	s.beside = min(g.Beside, g.Above, g.Boot, g.Post)
	for i := range s.things {
		s.things[i].gap = leastGap(g, s.things[i])
	}
	return s, nil
}

// leastGap is what every body of a box keeps to a thing at least. To what moves it keeps more, but from
// all that is swept: of that at rest it says nothing.
func leastGap(g pack.Gaps, t thing) float64 {
	switch {
	case t.side:
		return g.Wall
	case t.of.Kind == frame.Moves:
		return 0
	}
	return min(g.ToObstacle(t.of, false).Required, g.ToObstacle(t.of, true).Required)
}

func newBoxAt(problem pack.Problem, p pack.Placement) (boxAt, error) {
	bodies, err := problem.Bodies(p)
	if err != nil {
		return boxAt{}, err
	}
	b := boxAt{part: p.Part(), body: bodies.Case, posts: bodies.Posts}
	b.bottom = bodies.Case.Extent(r3.Vector{Z: 1}).Lo
	b.kind, _ = problem.Kind(p.Box)
	return b, nil
}

// bodies returns the case and then the posts.
func (b boxAt) bodies() []geom.Box { return append([]geom.Box{b.body}, b.posts...) }

func (b boxAt) solids() []geom.Solid {
	var list []geom.Solid
	for _, body := range b.bodies() {
		list = append(list, body)
	}
	return list
}

// index returns the number of the box, or -1.
func (s *scene) index(box pack.Part) int {
	return slices.IndexFunc(s.boxes, func(b boxAt) bool { return b.part == box })
}

// thingsOf gathers the rails and keep-outs; a thing's obstacles follow each other.
// The outline and the width are no obstacles here: see wallsOf.
func thingsOf(obstacles []frame.Obstacle) []thing {
	var list []thing
	var last frame.Obstacle
	for _, o := range obstacles {
		if o.Kind != frame.RailTube && o.Kind != frame.KeptOut && o.Kind != frame.Moves {
			continue
		}
		if len(list) == 0 || o.Kind != last.Kind || o.Source != last.Source || o.Name != last.Name {
			list = append(list, thing{name: o.Name, comesOff: o.Removable || o.LiftsOff, of: o})
		}
		t := &list[len(list)-1]
		t.solids = append(t.solids, o.Solid)
		last = o
	}
	return list
}

// wallsOf returns the sides of the outline that are not open.
func wallsOf(problem pack.Problem) []thing {
	opening := problem.Frame.Opening
	var list []thing
	for i := range opening.Outline.Corners {
		if opening.SideOpen(i) {
			continue
		}
		nearer := 0.0
		if problem.Worst {
			nearer = problem.Frame.SideAccuracy(i)
		}
		list = append(list, thing{name: opening.SideName(i), solids: wall(opening, i, nearer), side: true})
	}
	return list
}

// roomOf returns the axis-parallel box around the opening.
func roomOf(opening frame.Opening) geom.Box {
	across := opening.Stations[0].Across
	for _, s := range opening.Stations {
		across = across.Union(s.Across)
	}
	bounds := r2.RectFromPoints(opening.Outline.Corners...)
	return geom.BoxFromCorners(
		r3.Vector{X: bounds.X.Lo, Y: across.Lo, Z: bounds.Y.Lo},
		r3.Vector{X: bounds.X.Hi, Y: across.Hi, Z: bounds.Y.Hi},
	)
}

// standings returns, for each box, the boxes that stand on it: the sheet between them
// lies, as it does for Gaps.Above, and seen from above they overlap.
func (s *scene) standings() []ways.Set {
	list := make([]ways.Set, len(s.boxes))
	for i, a := range s.boxes {
		for j, b := range s.boxes {
			if i != j && standsOn(b.body, a.body) {
				list[i] = list[i].With(j)
			}
		}
	}
	return list
}

func standsOn(upper, lower geom.Box) bool {
	for _, u := range []r3.Vector{{X: 1}, {Y: 1}} {
		if !upper.Extent(u).InteriorIntersects(lower.Extent(u)) {
			return false
		}
	}
	_, normal := geom.SheetGap(lower, upper)
	return normal.Z > math.Sqrt2/2
}

// newMovers returns a mover for each box; near is nil for boxes in their places.
func (s *scene) newMovers(near func(box int) *ways.Near) []*ways.Mover {
	var standing [][]geom.Solid
	for _, b := range s.boxes {
		standing = append(standing, b.solids())
	}
	for _, t := range s.things {
		standing = append(standing, t.solids)
	}
	list := make([]*ways.Mover, len(s.boxes))
	for i, b := range s.boxes {
		others := append([][]geom.Solid(nil), standing...)
		others[i] = nil
		place := ways.Place{Standing: others, Room: s.room, Air: s.air}
		if near != nil {
			place.Near = near(i)
		}
		list[i] = ways.NewMover(b.bodies(), place)
	}
	return list
}

// all returns the owners of everything.
func (s *scene) all() ways.Set { return ways.SetOf(len(s.boxes) + len(s.things)) }

// looseOwners returns the owners that come off, in the order of the files.
func (s *scene) looseOwners() []int {
	var list []int
	for n, t := range s.things {
		if t.comesOff {
			list = append(list, len(s.boxes)+n)
		}
	}
	return list
}

// thingNames returns the names of the owners in the set that are things.
func (s *scene) thingNames(set ways.Set) []string {
	var list []string
	for _, owner := range set.Members() {
		if owner >= len(s.boxes) {
			list = append(list, s.things[owner-len(s.boxes)].name)
		}
	}
	return list
}

// parts returns the boxes in the set.
func (s *scene) parts(set ways.Set) []pack.Part {
	var list []pack.Part
	for _, owner := range set.Members() {
		if owner < len(s.boxes) {
			list = append(list, s.boxes[owner].part)
		}
	}
	return list
}
