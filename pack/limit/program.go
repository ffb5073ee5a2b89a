package limit

import (
	"errors"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/lp"
)

// Errors of Of.
var (
	// ErrLayout is wrapped where the layout cannot be measured.
	ErrLayout = errors.New("limit: the layout has a box that cannot be placed")
	// ErrFree is returned where nothing limits: no relation at all, or a layout so far
	// from its best that its program was not solved.
	ErrFree = errors.New("limit: nothing was found that limits this layout")
)

// optimum is a scene at the best of its own choice of sheets.
type optimum struct {
	*scene
	spare float64
	rows  []row     // those within reach
	y     []float64 // multipliers of the rows
	best  []pack.Placement
	tight []int // rows that may have a weight in some set of optimal multipliers
}

// climb moves the boxes to the best of their own choice of sheets: the program's
// answer, and again with the sheets that are best there, as long as the spare grows.
func climb(problem pack.Problem, layout pack.Layout) (*optimum, error) {
	places := slices.Clone(layout.Placements)
	var last *optimum
	for range mostClimbs {
		s, err := newScene(problem, pack.Layout{Placements: places})
		if err != nil {
			return nil, err
		}
		rows := s.allRows()
		now := least(rows)
		if last != nil && now <= last.spare-1e-6 {
			break // the sheets chosen now allow less: rounding, at the end
		}
		o, moved, ok := s.solve(rows)
		if !ok {
			break
		}
		gain := o.spare - now
		last = o
		if gain < leastGain {
			break
		}
		places = moved
	}
	if last == nil {
		return nil, ErrFree
	}
	return last, nil
}

// least is the least that any row leaves: the spare of the scene as it stands.
func least(rows []row) float64 {
	left := math.Inf(1)
	for _, r := range rows {
		left = min(left, r.left)
	}
	return left
}

// reach is how far a step may move a box along each axis: a fiftieth of the opening.
func (s *scene) reach() float64 {
	size := s.problem.Frame.Opening.Outline.Bounds().Size()
	return max(size.X, size.Y) / 50
}

// near are the rows that leave at most a limit.
func near(rows []row, limit float64) []row {
	return slices.DeleteFunc(slices.Clone(rows), func(r row) bool { return r.left > limit })
}

// solve solves the program of a scene's rows, and returns the places of its optimum.
func (s *scene) solve(rows []row) (*optimum, []pack.Placement, bool) {
	n := len(s.places)
	// Two boxes part by 2·√3·reach at most; the spare grows by less than one moves.
	reach := s.reach()
	o := &optimum{scene: s, rows: near(rows, least(rows)+4*math.Sqrt(3)*reach)}
	if len(o.rows) == 0 {
		return nil, nil, false
	}
	solver := program(s.places, o.rows, reach)
	if solver.Solve(math.Inf(-1)) != lp.Optimal {
		return nil, nil, false
	}
	x := make([]float64, 3*n+1)
	solver.X(x)
	o.spare = x[3*n]
	o.y = make([]float64, len(o.rows))
	solver.Dual(o.y)
	o.best = movedBy(s.places, x)
	return o, o.best, true
}

// findTight finds the rows that leave no more than the spare at the optimum: no others
// have a weight in any set of optimal multipliers.
func (o *optimum) findTight() {
	for k, r := range o.rows {
		left := r.left - r.u.Dot(o.best[r.a.box].Centre.Sub(o.places[r.a.box].Centre))
		if r.j != onFrame {
			left += r.u.Dot(o.best[r.j].Centre.Sub(o.places[r.j].Centre))
		}
		if left <= o.spare+tiedWithin {
			o.tight = append(o.tight, k)
		}
	}
}

// program is the linear program of some rows over the moves of boxes and, last, the
// spare. A box moves by reach along each axis at most.
func program(places []pack.Placement, rows []row, reach float64) *lp.Solver {
	n := len(places)
	objective, lo, hi := moves(places, reach)
	lo[3*n], hi[3*n] = -1e5, 1e5
	solver := lp.New(objective, lo, hi)
	for _, r := range rows {
		solver.Push(r.inequality(n))
	}
	return solver
}

// farthest is how far from the origin a box may be moved along each axis, with room for rounding.
const farthest = pack.MaxCentre - 1e-3

// moves are the objective and the limits of a program over the moves of boxes, to where a layout may
// have them, and a last variable, which is to be great and has no limits yet.
func moves(places []pack.Placement, reach float64) (objective, lo, hi []float64) {
	n := len(places)
	objective, lo, hi = make([]float64, 3*n+1), make([]float64, 3*n+1), make([]float64, 3*n+1)
	for i, p := range places {
		for axis := range 3 {
			at := geom.Component(p.Centre, axis)
			lo[3*i+axis], hi[3*i+axis] = max(-reach, -farthest-at), min(reach, farthest-at)
		}
	}
	objective[3*n] = 1
	return objective, lo, hi
}

// movedBy are the places after the moves of a program's answer.
func movedBy(places []pack.Placement, x []float64) []pack.Placement {
	moved := slices.Clone(places)
	for i := range moved {
		moved[i].Centre = moved[i].Centre.Add(r3.Vector{X: x[3*i], Y: x[3*i+1], Z: x[3*i+2]})
	}
	return moved
}

// inequality is s − u·(move of B) + u·(move of A) ≤ left.
func (r row) inequality(boxes int) lp.Row {
	out := lp.Row{Index: []int{3 * boxes}, Coef: []float64{1}, Bound: r.left}
	put := func(box int, sign float64) {
		for axis, c := range []float64{r.u.X, r.u.Y, r.u.Z} {
			if c != 0 {
				out.Index = append(out.Index, 3*box+axis)
				out.Coef = append(out.Coef, sign*c)
			}
		}
	}
	put(r.a.box, 1)
	if r.j != onFrame {
		put(r.j, -1)
	}
	return out
}
