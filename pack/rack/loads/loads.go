// Package loads says how many g a rack holds in six directions, which part gives first, and
// how far boxes move. The rack becomes a frame of beams (package beam): bars and rods are
// members along the middles of their sections, bolts are joints that turn about the bolt,
// boxes are stiff bodies that hang on their pads, which push and never pull.
//
// Forward, rearward and sideways a box is pulled by so many times its weight, while its own
// weight acts too. Up, its weight does not help; down, it is one of the g.
//
// Strength: bars to yield by pull, two bendings and torsion together (von Mises, at the
// corners of the section); bolts and rods by tension and shear together, Fv/Fv,R +
// Ft/(1.4 Ft,R) ≤ 1, and the metal around their holes by bearing (EN 1993-1-8 Table 3.4); rods besides
// to yield of their core by bending; clamps by friction on their rail (EN 1993-1-8 3.9.1);
// fillet welds by the force on each millimetre of their throat (EN 1993-1-8 4.5.3.3).
//
//	loads.go    the question and the answer
//	model.go    a rack as a frame of beams
//	weld.go     welds as joints, and what their fillets carry
//	grip.go     what clamps hold on rails
//	larger.go   what would do instead of a part that gives too early
//	bearing.go  what the metal around holes carries
//	strength.go how much of its strength each part uses
package loads

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/beam"
)

// Report is what a rack holds.
type Report struct {
	Directions []Direction // in the order of Names; empty where it was not reckoned
	Balance    float64     // worst lack of balance of any solution, of forces and of moments, as a part of its load
}

// Direction is what it holds in one direction.
type Direction struct {
	Name    string  // forward, rearward, left, right, up, down
	Holds   float64 // g until the first part gives
	Weakest string  // that part
	How     string  // by what it gives: bending, tension and shear, …
	Moves   float64 // mm that a box moves most at 1 g
	Box     string  // that box
}

// Names of the directions, in the order of reports.
func Names() []string { return []string{"forward", "rearward", "left", "right", "up", "down"} }

var ways = []r3.Vector{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}}

// Gravity in m/s².
const Gravity = 9.80665

// Of reckons what a rack holds. aim is about the g that matter: contacts are looked at there.
// It returns a *beam.MechanismError where something can move without any force, and
// beam.ErrUnsettled where it cannot be told which pads push.
func Of(p pack.Problem, l pack.Layout, r *rack.Rack, aim float64) (Report, error) {
	m, err := newModel(p, l, r)
	if err != nil {
		return Report{}, err
	}
	if m.mass == 0 {
		return Report{}, errors.New("no box has a mass: give the boxes their mass in the pack file")
	}
	prepared := m.frame.Prepare()
	var report Report
	for i, way := range ways {
		d, balance, err := m.direction(prepared, way, Names()[i], aim)
		if err != nil {
			return Report{}, fmt.Errorf("%s: %w", Names()[i], err)
		}
		report.Directions = append(report.Directions, d)
		report.Balance = math.Max(report.Balance, balance)
	}
	if report.Balance > balanced {
		return Report{}, fmt.Errorf("%w: %.1g of the load is missing", ErrBalance, report.Balance)
	}
	return report, nil
}

// balanced is how much of the load a solution may lack in forces or moments.
const balanced = 1e-6

// ErrBalance is returned for solutions in which what mounts carry is not what the boxes weigh:
// they are no answer.
var ErrBalance = errors.New("the calculation is not in balance")

// tries is how often the load is scaled until the part that gives first just does.
const tries = 4

// most g that are told apart.
const most = 100

// direction scales the load until the first part just gives.
func (m *model) direction(p *beam.Prepared, way r3.Vector, name string, aim float64) (Direction, float64, error) {
	d := Direction{Name: name, Holds: most}
	one, balance, err := m.under(p, way, 1, nil)
	if err != nil {
		return d, 0, err
	}
	d.Moves, d.Box = m.moves(one)
	g, low, last := math.Max(aim, 1), 0.0, one
	for range tries {
		s, b, err := m.under(p, way, g, last)
		last = s
		if err != nil {
			return d, 0, err
		}
		balance = math.Max(balance, b)
		u := m.worst(s)
		if u.use <= 0 {
			break
		}
		d.Weakest, d.How = u.part, u.how
		d.Holds = math.Min(most, g/u.use)
		if u.use <= 1 {
			low = math.Max(low, g)
		}
		if math.Abs(u.use-1) < 0.01 || d.Holds >= most {
			break
		}
		g = d.Holds
	}
	d.Holds = math.Max(d.Holds, low)
	return d, balance, nil
}

// under solves the frame with boxes pulled one way by so many g. It also returns by what part
// of the load the frame is out of balance.
func (m *model) under(p *beam.Prepared, way r3.Vector, g float64, like *beam.Solution) (*beam.Solution, float64, error) {
	pull := way.Mul(g)
	if way.Z == 0 {
		pull = pull.Sub(r3.Vector{Z: 1})
	}
	var l beam.Loads
	var sum, moment r3.Vector
	turning := 0.0 // what all forces would turn if none turned against another
	for _, b := range slices.Concat(m.boxes, m.hung) {
		f := pull.Mul(b.mass * Gravity)
		l.Forces = append(l.Forces, beam.Force{Node: b.node, At: b.centre, Force: f})
		sum, moment = sum.Add(f), moment.Add(b.centre.Cross(f))
		turning += b.centre.Norm() * f.Norm()
	}
	s, err := p.SolveFrom(l, like)
	if err != nil {
		return nil, 0, err
	}
	ground := s.Ground()
	off := ground.Force.Add(sum).Norm() / math.Max(sum.Norm(), 1e-9)
	off = math.Max(off, ground.Moment.Add(moment).Norm()/math.Max(turning, 1e-9))
	return s, off, nil
}

// moves is how far the box moves that moves most.
func (m *model) moves(s *beam.Solution) (float64, string) {
	most, name := 0.0, ""
	for _, b := range m.boxes {
		if d := s.Move(b.node).Norm(); d > most {
			most, name = d, b.name
		}
	}
	return most, name
}

// use is how much of its strength a part uses: 1 is all of it.
type use struct {
	use       float64
	part, how string
}

func (m *model) worst(s *beam.Solution) use {
	list := slices.Concat(m.members(s), m.fasteners(s), m.welds(s), m.grips(s))
	if len(list) == 0 {
		return use{}
	}
	return slices.MaxFunc(list, func(a, b use) int { return cmp.Compare(a.use, b.use) })
}
