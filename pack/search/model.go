package search

import (
	"errors"
	"math"
	"slices"
	"sync/atomic"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
)

// model is a problem in the search's own terms: boxes, the poses each may take, and
// for every pose and pair of poses the clauses that have to hold. It is made once and then
// only read, so workers share it; what it keeps of pairs is made when first asked for, and
// the same whoever asks.
type model struct {
	problem   pack.Problem
	kinds     []pack.Kind
	boxes     []box
	poses     [][]*pose        // by kind
	sides     []frame.Obstacle // half-spaces around the opening
	walls     [][][]plane      // by kind and pose: against half-spaces
	alone     [][]float64      // by kind and pose: bound on the spare of a layout with it; see poseBound
	useful    [][]int          // by kind: poses that a layout worth finding can have
	dressed   [][]int          // of a model of bare boxes, by kind: those with posts; see bare
	solids    [][][]clause     // by kind and pose: against all else, flat bodies around round ones
	reach     [][][]clause     // by kind and pose: for room over the posts for tools, against what never comes off; nil where that is not asked
	square    [][][3][]plane   // by kind, pose and axis: those planes of walls and solids that are square to it
	room      [3]r1.Interval   // where the centre of any box can be, roughly
	size      float64          // a length that everything fits into
	mirrored  bool             // the problem is its own mirror image about y = middle
	middle    float64
	options   options
	obstacles []frame.Obstacle          // of the frame, in its order
	bars      [][]*pose                 // by pose id: the tools over the posts, as poses of one part; nil as reach is
	pairs     []atomic.Pointer[pairing] // by two pose ids; see pairing
	stored    atomic.Int64              // planes in pairs
	poseCount int
}

// options say what else a model is to have.
type options struct {
	// tool is what needs room over the posts; nil where no room is asked for. Problems whose
	// tables are large do without it.
	tool *entry.Tool
	// stop tells whether the search has to end; nil for never.
	stop func() bool
}

// box is one box to place.
type box struct {
	kind   int
	number int // from 1
}

// errProblem is returned for a problem without a frame, a pack or boxes.
var errProblem = errors.New("search: the problem has no frame, no pack or no boxes")

// newModel makes the model of a problem. It is an error when there is no problem (errProblem) or
// when its tables would be too large (errTooLarge).
func newModel(problem pack.Problem, o options) (*model, error) {
	if problem.Frame == nil || problem.Pack == nil || len(problem.Pack.Kinds) == 0 {
		return nil, errProblem
	}
	m := posed(problem, problem.Obstacles(), o, posesOf)
	size := m.tables()
	if err := size.check(); err != nil {
		return nil, err
	}
	if size.cost > maxReach {
		m.options.tool = nil
	}
	m.build()
	return m, nil
}

// posed is a model with its poses, and nothing of them yet.
func posed(problem pack.Problem, obstacles []frame.Obstacle, o options, poses func(kind int, k pack.Kind, worst bool) []*pose) *model {
	m := &model{problem: problem, kinds: problem.Pack.Kinds, options: o, obstacles: obstacles}
	for k, kind := range m.kinds {
		m.poses = append(m.poses, poses(k, kind, problem.Worst))
	}
	return m
}

// build makes the tables of the poses.
func (m *model) build() {
	for k, kind := range m.kinds {
		for n := range kind.Count {
			m.boxes = append(m.boxes, box{kind: k, number: n + 1})
		}
	}
	for _, o := range m.obstacles {
		if _, ok := o.Solid.(geom.HalfSpace); ok {
			m.sides = append(m.sides, o)
		}
	}
	for k := range m.kinds {
		walls, solids := m.againstFrame(k)
		m.walls, m.solids = append(m.walls, walls), append(m.solids, solids)
		m.square = append(m.square, squarePlanes(walls, solids))
	}
	m.numberPoses()
	m.measureRoom()
	m.boundPoses()
	m.middle, m.mirrored = m.mirrorPlane()
	if m.options.tool != nil {
		m.giveTools()
	}
}

func (m *model) numberPoses() {
	for _, ps := range m.poses {
		for _, p := range ps {
			p.id = m.poseCount
			m.poseCount++
		}
	}
	m.pairs = make([]atomic.Pointer[pairing], m.poseCount*m.poseCount)
}

// againstFrame makes the clauses of every pose of a kind: those of one plane apart,
// since they hold for any layout.
func (m *model) againstFrame(kind int) (walls [][]plane, solids [][]clause) {
	for _, p := range m.poses[kind] {
		var w []plane
		var s []clause
		for _, o := range m.obstacles {
			for i, part := range p.parts {
				c := p.againstSolid(i, o.Solid, m.frameGap(o, part.post != caseOnly))
				if len(c.planes) == 1 {
					w = append(w, c.planes[0])
				} else {
					s = append(s, c)
				}
			}
		}
		walls, solids = append(walls, tightestPlanes(w)), append(solids, s)
	}
	return walls, solids
}

// squarePlanes picks, by pose and axis, the planes square to an axis.
func squarePlanes(walls [][]plane, solids [][]clause) [][3][]plane {
	square := make([][3][]plane, len(walls))
	for p := range walls {
		all := walls[p]
		for _, c := range solids[p] {
			all = append(all[:len(all):len(all)], c.planes...)
		}
		for _, f := range all {
			for axis := range 3 {
				if c := component(f.n, axis); (c == 1 || c == -1) && !slices.Contains(square[p][axis], f) {
					square[p][axis] = append(square[p][axis], f)
				}
			}
		}
	}
	return square
}

// frameGap is the gap that the pack requires between a case or a post and an obstacle.
func (m *model) frameGap(o frame.Obstacle, post bool) float64 {
	g := m.problem.Pack.Gaps
	gap := g.Wall
	switch o.Kind {
	case frame.RailTube:
		gap = g.Rail
	case frame.KeptOut:
		gap = g.KeepOut
	}
	if o.Gap != nil {
		gap = *o.Gap
	}
	if post && o.Metal {
		gap = max(g.Post, gapOr(o.Gap, 0))
	}
	return gap
}

func gapOr(gap *float64, or float64) float64 {
	if gap == nil {
		return or
	}
	return *gap
}

// tightestPlanes keeps, of planes with one normal, the one that asks for most.
func tightestPlanes(planes []plane) []plane {
	var kept []plane
next:
	for _, f := range planes {
		for i := range kept {
			if kept[i].n == f.n {
				kept[i].d = max(kept[i].d, f.d)
				continue next
			}
		}
		kept = append(kept, f)
	}
	return kept
}

// measureRoom bounds the centres of boxes: the outline's bounds and the widest
// station, which every case is inside of when the spare is not negative.
func (m *model) measureRoom() {
	b := m.problem.Frame.Opening.Outline.Bounds()
	across := r1.EmptyInterval()
	for _, s := range m.problem.Frame.Opening.Stations {
		across = across.Union(s.Across)
	}
	m.room = [3]r1.Interval{b.X, across, b.Y}
	for _, r := range m.room {
		m.size += r.Length()
	}
	for k := range m.kinds {
		size := caseSize(m.kinds[k], m.problem.Worst)
		m.size += (size.X + size.Y + size.Z) * float64(m.kinds[k].Count)
	}
}

// spot is where a box is and how it stands: an index into the poses of its kind.
type spot struct {
	pose int
	at   r3.Vector
}

func (m *model) poseOf(i int, s spot) *pose { return m.poses[m.boxes[i].kind][s.pose] }

// loneLeft is the spare that the frame leaves box i at a spot, by the planes of the
// clauses.
func (m *model) loneLeft(i int, s spot) float64 {
	kind := m.boxes[i].kind
	left := math.Inf(1)
	for _, f := range m.walls[kind][s.pose] {
		left = min(left, f.left(s.at))
	}
	for _, c := range m.solids[kind][s.pose] {
		left = min(left, c.left(s.at))
	}
	return left
}

// left is the spare of a whole arrangement.
func (m *model) left(spots []spot) float64 {
	left := math.Inf(1)
	for i, s := range spots {
		left = min(left, m.loneLeft(i, s))
		for j := range i {
			left = min(left, m.pairLeft(j, spots[j], i, s))
		}
	}
	return left
}

// layout turns spots into the pack's words.
func (m *model) layout(spots []spot) pack.Layout {
	l := pack.Layout{FrameHash: m.problem.Frame.Hash, PackHash: m.problem.Pack.Hash}
	for i, s := range spots {
		b := m.boxes[i]
		p := m.poses[b.kind][s.pose]
		l.Placements = append(l.Placements, pack.Placement{
			Box: m.kinds[b.kind].Name, Number: b.number,
			Orientation: pack.Orientation{Up: p.up, Front: p.front, Tilt: p.tilt},
			Centre:      s.at,
		})
	}
	return l
}

// ended tells whether the search has to end.
func (m *model) ended() bool { return m.options.stop != nil && m.options.stop() }
