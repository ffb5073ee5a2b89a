package limit

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// onFrame stands for a box number where a relation is with the frame.
const onFrame = -1

// body is a case or a post of a box in its place.
type body struct {
	box  int // index of the placement
	post int // index of the post, caseOnly for the case
	part pack.Part
	bar  geom.Box
}

const caseOnly = -1

// row is one relation of two solids with the sheet chosen for it.
type row struct {
	a        body
	b        body             // where j is a box
	j        int              // placement of b, or onFrame
	obstacle int              // index of the obstacle where j is onFrame
	among    []frame.Obstacle // all obstacles of the row's scene
	u        r3.Vector
	need     pack.Need
	left     float64
}

// scene is a problem with its boxes in their places.
type scene struct {
	problem   pack.Problem
	obstacles []frame.Obstacle
	places    []pack.Placement
	bodies    []body
	fault     error // of a scene that was to be like this one
}

func newScene(problem pack.Problem, layout pack.Layout) (*scene, error) {
	s := &scene{problem: problem, obstacles: problem.Obstacles(), places: layout.Placements}
	for i, at := range layout.Placements {
		bodies, err := problem.Bodies(at)
		if err != nil {
			return nil, fmt.Errorf("%w: %w", ErrLayout, err)
		}
		kind, _ := problem.Kind(at.Box)
		part := at.Part()
		s.bodies = append(s.bodies, body{i, caseOnly, part, bodies.Case})
		for k, bar := range bodies.Posts {
			part.Post = kind.Posts[k].Name
			s.bodies = append(s.bodies, body{i, k, part, bar})
		}
	}
	return s, nil
}

// allRows are all relations, each with the sheet that leaves it the most.
func (s *scene) allRows() []row {
	var all []row
	for k, a := range s.bodies {
		for _, b := range s.bodies[k+1:] {
			if a.box != b.box {
				all = append(all, s.between(a, b))
			}
		}
		for i := range s.obstacles {
			all = append(all, s.toObstacle(a, i))
		}
	}
	return all
}

func (s *scene) between(a, b body) row {
	best := row{left: math.Inf(-1)}
	for _, u := range geom.SheetNormals(a.bar, b.bar) {
		r := row{a: a, b: b, j: b.box, u: u}
		r.need = s.problem.Pack.Gaps.BetweenBoxes(a.post != caseOnly, b.post != caseOnly, u)
		r.left = geom.GapAlong(a.bar, b.bar, u) - r.need.Required
		if r.left > best.left {
			best = r
		}
	}
	return best
}

func (s *scene) toObstacle(a body, i int) row {
	gap, u := geom.SheetGap(a.bar, s.obstacles[i].Solid)
	r := row{a: a, j: onFrame, obstacle: i, among: s.obstacles, u: u}
	r.need = s.problem.Pack.Gaps.ToObstacle(s.obstacles[i], a.post != caseOnly)
	r.left = gap - r.need.Required
	return r
}

// gapAlong is the clearance of a row in another scene of the same boxes and obstacles,
// along the same normal.
func (r row) gapAlong(s *scene) float64 {
	a := s.bodyLike(r.a).bar
	if r.j == onFrame {
		return geom.GapAlong(a, s.obstacleLike(r).Solid, r.u)
	}
	return geom.GapAlong(a, s.bodyLike(r.b).bar, r.u)
}

// obstacleLike finds the same obstacle as a row's. What a larger part is swept through may be cut
// into other pieces, or more: then it is the piece of the same part that lies most like it.
func (s *scene) obstacleLike(r row) frame.Obstacle {
	was := r.among[r.obstacle]
	switch {
	case was.Kind == frame.Road: // comes after what moves
		return s.obstacles[r.obstacle+len(s.obstacles)-len(r.among)]
	case was.Kind != frame.Moves || len(s.obstacles) == len(r.among):
		return s.obstacles[r.obstacle]
	}
	best, least := was, math.Inf(1)
	low, high := geom.Bounds(was.Solid)
	for _, o := range s.obstacles {
		if o.Kind != frame.Moves || o.Source != was.Source {
			continue
		}
		l, h := geom.Bounds(o.Solid)
		if d := l.Sub(low).Norm() + h.Sub(high).Norm(); d < least {
			best, least = o, d
		}
	}
	return best
}

// bodyLike finds the same body of the same box.
func (s *scene) bodyLike(b body) body {
	for _, c := range s.bodies {
		if c.box == b.box && c.post == b.post {
			return c
		}
	}
	return b
}

// partB is what the row's second part is called.
func (r row) partB(s *scene) pack.Part {
	if r.j == onFrame {
		return pack.Part{Obstacle: s.obstacles[r.obstacle].Name}
	}
	return r.b.part
}
