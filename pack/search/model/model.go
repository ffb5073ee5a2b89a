package model

import (
	"errors"
	"math"
	"math/rand/v2"
	"sync/atomic"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
)

// Model is a problem in the search's own terms: boxes, the poses each may take, and
// for every pose and pair of poses the clauses that have to hold. It is made once and then
// only read, so workers share it; what it keeps of pairs is made when first asked for, and
// the same whoever asks.
//
// Indices of kinds and poses are the model's own: Kinds are those of the pack with pinned boxes
// taken out of them (see restricted), and Boxes are in the order of Kinds. All lengths are in mm,
// all vectors in the vehicle's axes.
type Model struct {
	Problem    pack.Problem
	Kinds      []pack.Kind
	Boxes      []Box
	Poses      [][]*Pose        // by kind
	HalfSpaces []geom.HalfSpace // around the opening
	Walls      [][][]Plane      // by kind and pose: against half-spaces
	alone      [][]float64      // by kind and pose: bound on the spare of a layout with it; see poseBound
	Useful     [][]int          // by kind: poses that a layout worth finding can have
	Dressed    [][]int          // of a model of bare boxes, by kind: useful poses with posts; see Bare
	Solids     [][][]Clause     // by kind and pose: against all else, flat bodies around round ones
	Reach      [][][]Clause     // by kind and pose: for room over the posts for tools, against what never comes off; nil where that is not asked
	Square     [][][3][]Plane   // by kind, pose and axis: those planes of walls and solids that are square to it
	Room       [3]r1.Interval   // where the centre of any box can be, roughly
	Size       float64          // a length that everything fits into
	Mirrored   bool             // the problem is its own mirror image about y = Middle
	Middle     float64
	pins       []*pack.Placement // by kind; nil for one that is not pinned
	options    Options
	obstacles  []frame.Obstacle          // of the frame, in its order
	bars       [][]*Pose                 // by pose id: the tools over the posts, as poses of one part; nil as Reach is
	pairs      []atomic.Pointer[Pairing] // by two pose ids; see Pairing
	kept       kept                      // of pairs
	poseCount  int
}

// Options say what else a model is to have. They change what is looked for, never what counts as a
// layout.
type Options struct {
	// Tool is what needs room over the posts; nil where no room is asked for. Problems whose
	// tables are large do without it.
	Tool *entry.Tool
	// Stop tells whether the search has to end; nil for never.
	Stop func() bool
}

// Box is one box to place. Boxes of a kind are alike and may be exchanged; the number is for the
// layout's words.
type Box struct {
	Kind   int
	number int // from 1
}

// ErrProblem is returned for a problem without a frame, a pack or boxes.
var ErrProblem = errors.New("search: the problem has no frame, no pack or no boxes")

// New makes the model of a problem. It is an error when there is no problem (ErrProblem) or
// when its tables would be too large (ErrTooLarge). The work is poses × parts × solids of the
// frame; what pairs ask is left for when it is wanted.
func New(problem pack.Problem, o Options) (*Model, error) {
	if problem.Frame == nil || problem.Pack == nil || len(problem.Pack.Kinds) == 0 {
		return nil, ErrProblem
	}
	m := posed(problem, obstaclesOf(problem), o, (*Model).posesFor)
	size := m.tables()
	if err := size.check(); err != nil {
		return nil, err
	}
	// Nothing else depends on it: without the tables of reach more layouts are found whose posts a
	// spanner does not reach, and entry refuses them.
	if size.cost > maxReach {
		m.options.Tool = nil
	}
	m.build()
	return m, nil
}

// posed is a model with its poses, and nothing of them yet. Bare and New differ in which poses they
// list, and share the rest.
func posed(problem pack.Problem, obstacles []frame.Obstacle, o Options, poses func(m *Model, kind int) []*Pose) *Model {
	m := &Model{Problem: problem, options: o, obstacles: obstacles}
	m.Kinds, m.Boxes, m.pins = restricted(problem)
	for k := range m.Kinds {
		m.Poses = append(m.Poses, poses(m, k))
	}
	return m
}

// build makes the tables of the poses. The order matters: numbers before pairs, the room before
// bounds, walls before both.
func (m *Model) build() {
	var barriers []Barrier
	for _, o := range m.obstacles {
		barriers = append(barriers, BarrierOf(o.Solid))
		if h, ok := o.Solid.(geom.HalfSpace); ok && o.Kind != frame.Road {
			m.HalfSpaces = append(m.HalfSpaces, h)
		}
	}
	for k := range m.Kinds {
		walls, solids := m.againstFrame(k, barriers)
		m.Walls, m.Solids = append(m.Walls, walls), append(m.Solids, solids)
		m.Square = append(m.Square, squarePlanes(walls, solids))
	}
	m.numberPoses()
	m.measureRoom()
	m.boundPoses()
	m.Middle, m.Mirrored = m.mirrorPlane()
	m.Mirrored = m.Mirrored && m.keepsMirror()
	if m.options.Tool != nil {
		m.giveTools()
	}
}

// numberPoses gives every pose a number of its own, by which pairings are kept. The table of pairs
// is made whole at once, so that workers can fill it without a lock.
func (m *Model) numberPoses() {
	for _, ps := range m.Poses {
		for _, p := range ps {
			p.ID = m.poseCount
			m.poseCount++
		}
	}
	m.pairs = make([]atomic.Pointer[Pairing], m.poseCount*m.poseCount)
}

// againstFrame makes the clauses of every pose of a kind: those of one plane apart,
// since they hold for any layout. What is a wall is told by its clause, which has one plane:
// half-spaces, and nothing else. Ranges and pins come after the walls and are walls to all that
// follows.
func (m *Model) againstFrame(kind int, barriers []Barrier) (walls [][]Plane, solids [][]Clause) {
	for _, p := range m.Poses[kind] {
		var w []Plane
		var s []Clause
		for n, o := range m.obstacles {
			for i, part := range p.Parts {
				c := p.Against(i, barriers[n], m.frameGap(o, part.post != caseOnly))
				c.Inner = o.Inner
				if len(c.Planes) == 1 {
					w = append(w, c.Planes[0])
				} else {
					s = append(s, c)
				}
			}
		}
		walls, solids = append(walls, append(tightestPlanes(w), m.rangesOf(p)...)), append(solids, s)
	}
	return walls, solids
}

// squarePlanes picks, by pose and axis, the planes square to an axis. They are where a box may lie
// close against something along an axis: the coordinates that constructions and puzzles try. A map
// keeps out what is there already, for a pack with many tilts has thousands.
func squarePlanes(walls [][]Plane, solids [][]Clause) [][3][]Plane {
	square := make([][3][]Plane, len(walls))
	for p := range walls {
		seen := map[Plane]bool{}
		add := func(planes []Plane) {
			for _, f := range planes {
				for axis := range 3 {
					if c := geom.Component(f.N, axis); (c == 1 || c == -1) && !seen[f] {
						seen[f] = true
						square[p][axis] = append(square[p][axis], f)
					}
				}
			}
		}
		add(walls[p])
		for _, c := range solids[p] {
			add(c.Planes)
		}
	}
	return square
}

// frameGap is the gap that the pack requires between a case or a post and an obstacle. The table of
// what is required stands twice, here and in pack's relations, on purpose: see doc.go.
func (m *Model) frameGap(o frame.Obstacle, post bool) float64 {
	g := m.Problem.Pack.Gaps
	gap := g.Wall
	switch o.Kind {
	case frame.RailTube:
		gap = g.Rail
	case frame.KeptOut, frame.Moves, frame.Road:
		gap = g.KeepOut
	}
	if o.Gap != nil {
		gap = *o.Gap
	}
	// A post keeps the greater of its own gap and the obstacle's from bare metal; from all else it
	// keeps what the case does.
	if post && o.Metal {
		gap = max(g.Post, gapOr(o.Gap, 0))
	}
	return gap
}

// gapOr is a gap of an obstacle's own, or another where it has none.
func gapOr(gap *float64, or float64) float64 {
	if gap == nil {
		return or
	}
	return *gap
}

// tightestPlanes keeps, of planes with one normal, the one that asks for most. A wall asks as much
// of each part of a pose; only the part that reaches furthest can decide.
func tightestPlanes(planes []Plane) []Plane {
	var kept []Plane
next:
	for _, f := range planes {
		for i := range kept {
			if kept[i].N == f.N {
				kept[i].D = max(kept[i].D, f.D)
				continue next
			}
		}
		kept = append(kept, f)
	}
	return kept
}

// measureRoom bounds the centres of boxes: the outline's bounds and the widest
// station, which every case is inside of when the spare is not negative. Size is the sum of the
// opening's extents and of all boxes': whatever stands in a row inside of it still has some over.
func (m *Model) measureRoom() {
	b := m.Problem.Frame.Opening.Outline.Bounds()
	across := r1.EmptyInterval()
	for _, s := range m.Problem.Frame.Opening.Stations {
		across = across.Union(s.Across)
	}
	m.Room = [3]r1.Interval{b.X, across, b.Y}
	for _, r := range m.Room {
		m.Size += r.Length()
	}
	for k := range m.Kinds {
		size := CaseSize(m.Kinds[k], m.Problem.Worst)
		m.Size += (size.X + size.Y + size.Z) * float64(m.Kinds[k].Count)
	}
}

// Spot is where a box is and how it stands: an index into the poses of its kind. The place is that
// of the middle of the case, in mm. What kind it is comes from the box's number, so spots are only
// meant together with it.
type Spot struct {
	Pose int
	At   r3.Vector
}

// PoseOf is the pose of box i in a spot.
func (m *Model) PoseOf(i int, s Spot) *Pose { return m.Poses[m.Boxes[i].Kind][s.Pose] }

// BoxesOf lists the boxes of a kind.
func (m *Model) BoxesOf(kind int) []int {
	var list []int
	for i, b := range m.Boxes {
		if b.Kind == kind {
			list = append(list, i)
		}
	}
	return list
}

// LoneLeft is the spare that the frame leaves box i at a spot, by the planes of the clauses: of round
// solids never more than the exact distances leave. It is what decides quickly; SharpLeft is what
// is told.
func (m *Model) LoneLeft(i int, s Spot) float64 {
	kind := m.Boxes[i].Kind
	left := math.Inf(1)
	for _, f := range m.Walls[kind][s.Pose] {
		left = min(left, f.Left(s.At))
	}
	for _, c := range m.Solids[kind][s.Pose] {
		left = min(left, c.Left(s.At))
	}
	return left
}

// Layout turns an arrangement, with a spot for every box in the order of Boxes, into the pack's
// words. It is the only way out of the model: what it returns is checked by pack.Check like any
// other layout.
func (m *Model) Layout(spots []Spot) pack.Layout {
	l := pack.Layout{FrameHash: m.Problem.Frame.Hash, PackHash: m.Problem.Pack.Hash}
	for i, s := range spots {
		b := m.Boxes[i]
		p := m.Poses[b.Kind][s.Pose]
		at := pack.Placement{
			Box: m.Kinds[b.Kind].Name, Number: b.number,
			Orientation: pack.Orientation{Up: p.Up, Front: p.Front, Tilt: p.Tilt},
			Centre:      s.At,
		}
		if pin := m.pins[b.Kind]; pin != nil {
			at = *pin // where it was only as near as rounding lets it be
		}
		l.Placements = append(l.Placements, at)
	}
	return l
}

// Ended tells whether the search has to end. Whoever works for long asks now and then. The answer
// only goes from no to yes. What had been begun may be left unfinished, but never half done in a
// table that others read.
func (m *Model) Ended() bool { return m.options.Stop != nil && m.options.Stop() }

// RandomSpot draws a useful pose and a place of the centre in the room for box i; the box may well
// reach out of the opening. The source of chance is the caller's, so that a start is the same
// whoever makes it. A pinned box has one pose, number 0.
func (m *Model) RandomSpot(i int, rng *rand.Rand) Spot {
	if at, pinned := m.Pinned(i); pinned {
		return Spot{At: at}
	}
	draw := func(in r1.Interval) float64 { return in.Lo + rng.Float64()*in.Length() }
	return Spot{
		Pose: m.AnyPose(m.Boxes[i].Kind, rng),
		At:   r3.Vector{X: draw(m.Room[0]), Y: draw(m.Room[1]), Z: draw(m.Room[2])},
	}
}

// AnyPose draws a useful pose of a kind.
func (m *Model) AnyPose(kind int, rng *rand.Rand) int {
	return m.Useful[kind][rng.IntN(len(m.Useful[kind]))]
}
