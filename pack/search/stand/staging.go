package stand

import (
	"math"
	"slices"
	"sync/atomic"

	"rackwright/pack/search/model"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/geom"
	"rackwright/pack"
)

// staging is what layouts that stand need beside the model: the ways in which boxes can
// stand on a level, and the room for the tray under each. It is made once and then only
// read.
//
// Clauses of slabs with other poses are made when they are first asked for; workers may make one
// twice, the same.
type staging struct {
	m         *model.Model
	planes    []levelPlane
	ways      [][]footing                    // by kind
	carries   bool                           // some kind carries something
	pinned    []bool                         // by box
	slabs     []atomic.Pointer[model.Clause] // by way and pose; see slabOver
	slabPoses int
	wayIDs    int
	flattest  int // of the planes
}

// levelPlane is how the plane of a level lies. Levels are never tilted sideways: boxes tilt about
// the axis across only.
type levelPlane struct {
	tilt      s1.Angle
	up, along r3.Vector // unit vectors; the third direction is sideways, +y
}

// sideways is the direction in a level's plane that all levels share.
var sideways = r3.Vector{Y: 1}

// way is a pose in which a box can stand: no post is on the face that is down.
type footing struct {
	id    int
	pose  int     // of the kind
	plane int     // of the staging
	low   float64 // how far the middle of the box is above its underside
	// half of the case, along the plane, sideways and up.
	half  r3.Vector
	slab  *model.Pose    // the room for the tray, as a pose of one part
	under []model.Clause // of the slab with the frame; asks for no spare
	posts []int          // on the face that is up
}

// newStaging works out the ways of all kinds and the planes that they need.
func newStaging(m *model.Model) *staging {
	g := &staging{m: m, ways: make([][]footing, len(m.Kinds)), pinned: make([]bool, len(m.Boxes))}
	var barriers []model.Barrier
	for _, o := range m.Problem.Obstacles() {
		barriers = append(barriers, model.BarrierOf(o.Solid))
	}
	for k, kind := range m.Kinds {
		g.carries = g.carries || kind.Carries > 0
		for n, p := range m.Poses[k] {
			if w, ok := g.wayOf(kind, n, p, barriers); ok {
				g.ways[k] = append(g.ways[k], w)
			}
		}
	}
	for _, poses := range m.Poses {
		g.slabPoses += len(poses)
	}
	for n, p := range g.planes {
		if p.tilt.Abs() < g.planes[g.flattest].tilt.Abs() {
			g.flattest = n
		}
	}
	for i := range m.Boxes {
		_, g.pinned[i] = m.Pinned(i)
	}
	g.slabs = make([]atomic.Pointer[model.Clause], g.wayIDs*g.slabPoses)
	return g
}

// stands tells whether every box has a way to stand. A kind all of whose poses have a post below
// has none.
func (g *staging) stands() bool {
	return !slices.ContainsFunc(g.ways, func(w []footing) bool { return len(w) == 0 })
}

// wayOf is a pose as a way to stand, and false where a post is below. A face that looks less than
// 60° from straight down counts as down.
func (g *staging) wayOf(kind pack.Kind, n int, p *model.Pose, barriers []model.Barrier) (footing, bool) {
	down, up := downOf(p)
	for _, post := range kind.Posts {
		// A post cannot bear the box.
		if p.Outward(post.Face).Dot(up) < -0.5 {
			return footing{}, false
		}
	}
	w := footing{id: g.wayIDs, pose: n, plane: g.planeOf(up), low: p.Reach(0, up.Mul(-1))}
	pl := g.planes[w.plane]
	// The third is the height above the underside: boxes are symmetric about their middles.
	w.half = r3.Vector{X: p.Reach(0, pl.along), Y: p.Reach(0, sideways), Z: w.low}
	w.slab = g.slabOf(p, down, up)
	for _, b := range barriers {
		w.under = append(w.under, w.slab.Against(0, b, 0))
	}
	for k, post := range kind.Posts {
		if p.Outward(post.Face).Dot(up) > 0.5 {
			w.posts = append(w.posts, k+1)
		}
	}
	g.wayIDs++
	return w, true
}

// downOf is the axis of a pose that is most upright, and the direction along it that goes up.
// Where two are alike, as at a tilt of 45°, it is that of the upper face.
func downOf(p *model.Pose) (axis int, up r3.Vector) {
	const alike = 1e-9
	axis, up = 2, p.Axes[2]
	for k, a := range p.Axes {
		for _, u := range []r3.Vector{a, a.Mul(-1)} {
			if u.Z > up.Z+alike {
				axis, up = k, u
			}
		}
	}
	// Adding nothing makes a negative zero a zero, so that equal directions are equal.
	return axis, up.Add(r3.Vector{})
}

// planeOf is the number of the plane with a normal, added where it is new.
func (g *staging) planeOf(up r3.Vector) int {
	for n, l := range g.planes {
		if l.up.Sub(up).Norm2() < 1e-18 {
			return n
		}
	}
	g.planes = append(g.planes, levelPlane{
		tilt: s1.Angle(math.Atan2(up.X, up.Z)), up: up, along: r3.Vector{X: up.Z, Z: -up.X}.Add(r3.Vector{}),
	})
	return len(g.planes) - 1
}

// slabOf is the room for the tray under a pose. As thick as the pack's gap for trays, as wide and
// long as the case.
func (g *staging) slabOf(p *model.Pose, axis int, up r3.Vector) *model.Pose {
	tray := g.m.Problem.Pack.Gaps.Tray
	half := geom.WithComponent(p.Parts[0].Half, axis, tray/2)
	return &model.Pose{Kind: p.Kind, Axes: p.Axes, Parts: []model.Part{{Offset: up.Mul(-p.Reach(0, up.Mul(-1)) - tray/2), Half: half}}}
}

// slabOver is the clause of the room for the tray under a way and the case of another pose, on
// the place of that less the place of the first.
func (g *staging) slabOver(w *footing, q *model.Pose) *model.Clause {
	at := &g.slabs[w.id*g.slabPoses+q.ID]
	if c := at.Load(); c != nil {
		return c
	}
	// The gap of the tray is in its thickness; nothing more is asked.
	c := model.Between(w.slab, 0, q, 0, model.Constant(0))
	at.Store(&c)
	return &c
}

// place is a box of a stance: how it stands, on which level, and where in its plane. A box
// that another carries has a level of its own after those of the trays. u is along the plane, v
// sideways, in mm of the vehicle's own origin.
type place struct {
	way, level int
	on         int // the box that carries it; −1 for none
	u, v       float64
}

// stance is a layout that stands: the levels first, then one height for each box that is
// carried. A value: who changes one clones it first.
type stance struct {
	boxes   []place
	levels  int
	heights []float64
	planes  []int // by level
}

// clone shares nothing with s.
func (s *stance) clone() stance {
	return stance{slices.Clone(s.boxes), s.levels, slices.Clone(s.heights), slices.Clone(s.planes)}
}

// way is how box i stands.
func (g *staging) way(i int, b place) *footing { return &g.ways[g.m.Boxes[i].Kind][b.way] }

// pose is the model's pose of a way.
func (g *staging) pose(i int, b place) *model.Pose {
	kind := g.m.Boxes[i].Kind
	return g.m.Poses[kind][g.ways[kind][b.way].pose]
}

// place is where the middle of a box is. Products are rounded before they are added, for the same
// bits on all machines.
func (g *staging) place(s *stance, i int) r3.Vector {
	b := s.boxes[i]
	p := &g.planes[s.planes[b.level]]
	up := s.heights[b.level] + g.way(i, b).low
	return r3.Vector{
		X: float64(b.u*p.along.X) + float64(up*p.up.X),
		Y: b.v,
		Z: float64(b.u*p.along.Z) + float64(up*p.up.Z),
	}
}

// spots are the places of all boxes, as the search knows them.
func (g *staging) spots(s *stance) []model.Spot {
	list := make([]model.Spot, len(s.boxes))
	for i, b := range s.boxes {
		list[i] = model.Spot{Pose: g.way(i, b).pose, At: g.place(s, i)}
	}
	return list
}

// put moves a box in its plane to where its middle is as near to a place as can be.
func (g *staging) put(s *stance, i int, at r3.Vector) {
	p := g.planes[s.planes[s.boxes[i].level]]
	s.boxes[i].u, s.boxes[i].v = at.Dot(p.along), at.Y
}
