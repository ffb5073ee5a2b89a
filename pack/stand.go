package pack

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/geom"
)

// Standing is what the boxes of a layout stand on. A box stands on a level, the plane of
// a tray, or on boxes that carry it. Every layout has levels, if need be one for each
// box; whether a tray finds room under them is what Faults tells.
type Standing struct {
	Levels []Level   // lowest first
	Boxes  []Footing // in the order of the pack file; boxes with a fault in Check are left out
	// Faults are what keeps boxes from standing: no room for the tray, or a post below.
	Faults []Fault
	// Back is where the metal of trays has to stay back from live posts.
	Back []StayBack
}

// Level is the plane of a tray.
type Level struct {
	// Height is where the lowest underside of its boxes is, in millimetres along Normal
	// from the origin of the vehicle: without tilt, its z.
	Height float64
	Tilt   s1.Angle  // nose down positive
	Normal r3.Vector // upward
	Boxes  []Part    // in the order of the pack file
}

// LevelSpan is how far in millimetres the undersides of boxes of one level may lie apart:
// what a foam takes up.
const LevelSpan = 0.5

// Footing is what one box stands on.
type Footing struct {
	Part  Part
	Down  Face   // the face that it lies on
	Level int    // in Standing.Levels; −1 for a box that others carry
	On    []Part // the boxes that carry it; none for a box on a level
	// Under is what lies under it, nearest first, with the thickness between: at the
	// narrowest place, square to the face that is down.
	Under []Neighbour
	// Beside is what lies beside it and above it within PackingReach.
	Beside []Neighbour
}

// StayBack is a live post near the plane of the level of its box, or of one above.
type StayBack struct {
	Post     Part
	Level    int     // in Standing.Levels
	Distance float64 // mm, of the post from the tray's room under the nearest box of the level
}

// Stands tells whether every box stands on a level that has room for a tray, or on boxes
// that may carry it.
func (s Standing) Stands() bool { return len(s.Faults) == 0 && len(s.Boxes) > 0 }

// Footing returns that of a box, and false when the layout has none.
func (s Standing) Footing(box string, number int) (Footing, bool) {
	for _, f := range s.Boxes {
		if f.Part.OfBox(box, number) {
			return f, true
		}
	}
	return Footing{}, false
}

// StandingOf tells what the boxes of a layout stand on, as measured, whether or not the
// problem is at its worst. It does not look at gaps; Check does.
//
// A box is down on the face that looks most downward. It is carried by boxes whose tops,
// parallel to its underside, lie within CarryReach below it and within LevelSpan of the
// highest of these; see carry.go for what these must allow. Else it is on a level: its
// tray takes Gaps.Tray under all of its underside, free of the frame and of the cases of
// all other boxes. Levels are made of boxes of one tilt from the lowest underside up.
func StandingOf(problem Problem, layout Layout) Standing {
	problem.Worst = false
	sound, _ := inspect(problem, layout)
	s := newStander(problem, sound)
	s.carryAll()
	s.level()
	for i := range s.boxes {
		s.footing(i)
	}
	s.stayBack()
	return s.Standing
}

// stander works out one Standing.
type stander struct {
	Standing
	problem Problem
	things  []thing
	boxes   []standingBox
}

// standingBox is a box with the face that it lies on.
type standingBox struct {
	part   Part
	kind   Kind
	bodies Bodies
	down   Face
	up     r3.Vector // square to that face, upward
	low    float64   // of the underside, along up
	load   float64   // kg that it carries
	on     []int     // boxes that carry it
	level  int
}

func newStander(problem Problem, sound []Placement) *stander {
	s := &stander{problem: problem, things: thingsOf(problem.Obstacles())}
	for _, p := range sound {
		bodies, err := problem.Bodies(p)
		if err != nil {
			continue // inspect has found it faulty
		}
		kind, _ := problem.Kind(p.Box)
		b := standingBox{part: p.Part(), kind: kind, bodies: bodies, level: -1}
		b.down, b.up = lowest(p.Orientation)
		b.low = bodies.Case.Extent(b.up).Lo
		s.boxes = append(s.boxes, b)
	}
	return s
}

// lowest returns the face of a box that looks most downward, and the direction from it
// into the box. Where two do alike, as at a tilt of 45°, it is the one opposite Up.
func lowest(o Orientation) (Face, r3.Vector) {
	const alike = 1e-9
	axes := o.Axes()
	into := func(f Face) r3.Vector { return turned(f.Normal().Mul(-1), axes) }
	best := o.Up.Opposite()
	for f := Front; f <= Bottom; f++ {
		if into(f).Z > into(best).Z+alike {
			best = f
		}
	}
	return best, into(best).Add(r3.Vector{}) // no negative zeros
}

// tiltOf is the angle about the cross axis of a plane with an upward normal, nose down
// positive.
func tiltOf(up r3.Vector) s1.Angle { return s1.Angle(math.Atan2(up.X, up.Z)) }

// level sorts the boxes that no other carries into levels.
func (s *stander) level() {
	var order []int
	for i, b := range s.boxes {
		if len(b.on) == 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := s.boxes[i], s.boxes[j]
		if (tiltOf(a.up) - tiltOf(b.up)).Abs() > sameTilt {
			return cmp.Compare(tiltOf(a.up), tiltOf(b.up))
		}
		return cmp.Compare(a.low, b.low)
	})
	var levels [][]int
	for _, i := range order {
		if n := len(levels); n > 0 && s.shares(i, levels[n-1][0]) {
			levels[n-1] = append(levels[n-1], i)
			continue
		}
		levels = append(levels, []int{i})
	}
	slices.SortStableFunc(levels, func(a, b []int) int { return cmp.Compare(s.lowestOf(a), s.lowestOf(b)) })
	for n, boxes := range levels {
		first := s.boxes[boxes[0]]
		l := Level{Height: first.low, Tilt: tiltOf(first.up), Normal: first.up}
		slices.Sort(boxes)
		for _, i := range boxes {
			s.boxes[i].level = n
			l.Boxes = append(l.Boxes, s.boxes[i].part)
		}
		s.Levels = append(s.Levels, l)
	}
}

// shares tells whether box i belongs on the level whose lowest box is given. The sum of a
// height and a span in binary fractions may miss by a hair.
func (s *stander) shares(i, lowest int) bool {
	a, b := s.boxes[i], s.boxes[lowest]
	return (tiltOf(a.up)-tiltOf(b.up)).Abs() <= sameTilt && a.low-b.low <= LevelSpan+geom.Tolerance
}

// lowestOf is the height of the lowest point of some boxes.
func (s *stander) lowestOf(boxes []int) float64 {
	low := math.Inf(1)
	for _, i := range boxes {
		low = min(low, s.boxes[i].bodies.Case.Extent(r3.Vector{Z: 1}).Lo)
	}
	return low
}

// footing tells of one box what it stands on, and what is wrong with that.
func (s *stander) footing(i int) {
	b := s.boxes[i]
	f := Footing{Part: b.part, Down: b.down, Level: b.level}
	for _, j := range b.on {
		f.On = append(f.On, s.boxes[j].part)
	}
	f.Under, f.Beside = s.around(i)
	s.Boxes = append(s.Boxes, f)
	for _, post := range b.kind.Posts {
		if post.Face == b.down {
			s.add(PostBelow, b.part, "its post %s is on the face that it lies on; let it stand another way", post.Name)
		}
	}
	tray := s.problem.Pack.Gaps.Tray
	if len(b.on) > 0 || len(f.Under) == 0 || f.Under[0].Distance >= tray-beyondRange {
		return
	}
	near := f.Under[0]
	unit := s.problem.Pack.Unit
	s.add(NoTrayRoom, b.part, "a tray under it takes %s, and there are %s above %v%s",
		geom.FormatLengthRounded(tray, unit, geom.ToMore), geom.FormatLengthRounded(max(near.Distance, 0), unit, geom.ToLess), near.Part, s.whyNotCarried(i))
}

func (s *stander) add(rule FaultRule, part Part, format string, args ...any) {
	s.Faults = append(s.Faults, Fault{rule, part, fmt.Sprintf("%v: ", part) + fmt.Sprintf(format, args...)})
}

// slab is the room for the tray under a box.
func (s *stander) slab(b standingBox) geom.Box {
	half := s.problem.Pack.Gaps.Tray / 2
	body := b.bodies.Case
	deep := body.Half.Dot(b.down.Normal().Abs())
	slab := geom.Box{Centre: body.Centre.Sub(b.up.Mul(deep + half)), Axes: body.Axes, Half: except(body.Half, b.down.Axis())}
	slab.Half = slab.Half.Add(b.down.Normal().Abs().Mul(half))
	return slab
}

// stayBack lists the posts that are nearer than their gap to the room of a tray: that of
// their own box's level, or of one that is higher.
func (s *stander) stayBack() {
	for _, b := range s.boxes {
		for k, post := range b.bodies.Posts {
			part := b.part
			part.Post = b.kind.Posts[k].Name
			for n := range s.Levels {
				if n < b.level {
					continue
				}
				if d := s.fromTray(post, n); d < s.problem.Pack.Gaps.Post {
					s.Back = append(s.Back, StayBack{Post: part, Level: n, Distance: d})
				}
			}
		}
	}
}

// fromTray is how far a post is from the tray's room under the nearest box of a level.
func (s *stander) fromTray(post geom.Box, level int) float64 {
	nearest := math.Inf(1)
	for _, b := range s.boxes {
		if b.level == level {
			nearest = min(nearest, geom.Distance(post, s.slab(b)))
		}
	}
	return nearest
}
