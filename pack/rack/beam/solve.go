package beam

import (
	"errors"
	"fmt"
	"math"

	"github.com/golang/geo/r3"
	"gonum.org/v1/gonum/mat"
)

// How stiff joints are, in N/mm and N·mm/rad: ten thousand times a bar of 1 cm² and 20 cm, so
// that what they give is less than a ten-thousandth of what the bars do.
const (
	jointMove = 1e9
	jointTurn = 1e12
)

// sideways is what of its stiffness a contact has across its normal, whether it pushes or not:
// if it came and went with the push, which contacts push might not settle.
const sideways = 1e-3

// rounds is how often the set of contacts that push may change. It mostly settles in a handful
// where all that ask to do so change at once; after together, only the one that asks most does,
// for several may chase one another round.
const (
	rounds   = 200
	together = 8
)

// ErrUnsettled is returned where the contacts that push do not settle.
var ErrUnsettled = errors.New("which contacts push does not settle")

// MechanismError tells that a frame can move without any force.
type MechanismError struct {
	Parts []string // what moves, the most first
}

func (e *MechanismError) Error() string {
	return fmt.Sprintf("nothing holds %s: it can move freely", e.Parts[0])
}

// system is a model's linear system: unknown i of the matrix is index[node][dof].
type system struct {
	model *Model
	index [][6]int // −1 where it is held
	size  int
	band  int               // how far from the diagonal the matrix reaches
	fixed *mat.SymBandDense // all but the contacts
}

// Prepared is a model that is assembled, to be solved under several loads.
type Prepared struct {
	system
	rounds int
}

// Prepare assembles a model.
func (m *Model) Prepare() *Prepared {
	s := system{model: m, index: make([][6]int, len(m.nodes))}
	for _, n := range m.ordered() {
		for i, held := range m.nodes[n].fixed {
			s.index[n][i] = -1
			if !held {
				s.index[n][i] = s.size
				s.size++
			}
		}
	}
	s.band = s.reach()
	s.fixed = mat.NewSymBandDense(max(1, s.size), s.band, nil)
	for _, b := range m.members {
		s.addMember(b)
	}
	for _, c := range m.contacts {
		across := c.Normal.Ortho()
		for _, u := range []r3.Vector{across, c.Normal.Cross(across)} {
			s.add(s.fixed, m.apart(c.A, c.B, c.At, u), c.Stiffness*sideways)
		}
	}
	for _, j := range m.joints {
		for _, r := range m.rowsOf(j) {
			s.add(s.fixed, r.row, r.stiffness)
		}
	}
	return &Prepared{s, rounds}
}

// Solve is Prepare and the solution under one set of loads.
func (m *Model) Solve(l Loads) (*Solution, error) { return m.Prepare().Solve(l) }

type stiffRow struct {
	row       row
	stiffness float64
}

// rowsOf are what a joint holds: three moves along its axes, and three turns or two.
func (m *Model) rowsOf(j Joint) []stiffRow {
	var rows []stiffRow
	for i, u := range j.axes() {
		rows = append(rows, stiffRow{m.apart(j.A, j.B, j.At, u), jointMove})
		if i > 0 || !j.Pinned {
			rows = append(rows, stiffRow{turned(j.A, j.B, u), jointTurn})
		}
	}
	return rows
}

// axes are the joint's axis and two across it.
func (j Joint) axes() [3]r3.Vector {
	a := j.Axis
	if a == (r3.Vector{}) {
		a = r3.Vector{Z: 1}
	}
	b := a.Ortho()
	return [3]r3.Vector{a, b, a.Cross(b)}
}

// entries are the unknowns of a row with their factors.
func (s *system) entries(r row) (at []int, by []float64) {
	for _, t := range r {
		if t.node == Ground {
			continue
		}
		for i, v := range []float64{t.move.X, t.move.Y, t.move.Z, t.turn.X, t.turn.Y, t.turn.Z} {
			if k := s.index[t.node][i]; k >= 0 && v != 0 {
				at, by = append(at, k), append(by, v)
			}
		}
	}
	return at, by
}

// add adds a spring along a row.
func (s *system) add(k *mat.SymBandDense, r row, stiffness float64) {
	at, by := s.entries(r)
	for i := range at {
		for j := range at {
			if at[i] <= at[j] {
				k.SetSymBand(at[i], at[j], k.At(at[i], at[j])+stiffness*by[i]*by[j])
			}
		}
	}
}

func (s *system) addMember(b member) {
	k, rows := b.stiffness(), b.rows()
	var at [12][]int
	var by [12][]float64
	for i, r := range rows {
		at[i], by[i] = s.entries(r)
	}
	for i := range rows {
		for j := range rows {
			if k[i][j] == 0 {
				continue
			}
			for p, kp := range at[i] {
				for q, kq := range at[j] {
					if kp <= kq {
						s.fixed.SetSymBand(kp, kq, s.fixed.At(kp, kq)+k[i][j]*by[i][p]*by[j][q])
					}
				}
			}
		}
	}
}

// push is the force of a unit along a row on the unknowns, times f.
func (s *system) push(into *mat.VecDense, r row, f float64) {
	at, by := s.entries(r)
	for i, k := range at {
		into.SetVec(k, into.AtVec(k)+f*by[i])
	}
}

func (s *system) loads(l Loads) (*mat.VecDense, []member) {
	f := mat.NewVecDense(max(1, s.size), nil)
	for _, p := range l.Forces {
		arm := p.At.Sub(s.model.nodes[p.Node].at)
		s.push(f, row{{p.Node, p.Force, p.Moment.Add(arm.Cross(p.Force))}}, 1)
	}
	members := append([]member(nil), s.model.members...)
	for _, e := range l.Evens {
		members[e.Member].even = members[e.Member].even.Add(e.Load)
	}
	for _, b := range members {
		if b.even == (r3.Vector{}) {
			continue
		}
		for i, v := range b.evenly() {
			s.push(f, b.rows()[i], v)
		}
	}
	return f, members
}

// Solve finds the displacements under loads, with the contacts that push.
func (p *Prepared) Solve(l Loads) (*Solution, error) { return p.SolveFrom(l, nil) }

// SolveFrom is Solve, beginning with the contacts that push in another solution: where it is of
// like loads, fewer have to change.
func (p *Prepared) SolveFrom(l Loads, other *Solution) (*Solution, error) {
	f, members := p.loads(l)
	pushing := make([]bool, len(p.model.contacts))
	for i := range pushing {
		pushing[i] = other == nil || other.pushing[i]
	}
	for round := range p.rounds {
		u, err := p.linear(f, pushing)
		if err != nil {
			return nil, err
		}
		if !p.resettle(u, f, pushing, round < together) {
			return &Solution{system: &p.system, u: u, members: members, pushing: pushing}, nil
		}
	}
	return nil, ErrUnsettled
}

// resettle opens contacts that pull and closes those whose points have met: all, or the one
// that asks most. It tells whether any changed. A pull or an overlap that rounding can bring
// about changes none.
func (s *system) resettle(u, f *mat.VecDense, pushing []bool, all bool) bool {
	worst, at := 1e-7*(1+mat.Norm(f, math.Inf(1))), -1
	changed := false
	for i, c := range s.model.contacts {
		ask := -c.Stiffness * s.value(s.model.apart(c.A, c.B, c.At, c.Normal), u)
		if pushing[i] {
			ask = -ask
		}
		switch {
		case all && ask > worst:
			pushing[i], changed = !pushing[i], true
		case ask > worst:
			worst, at = ask, i
		}
	}
	if at >= 0 {
		pushing[at], changed = !pushing[at], true
	}
	return changed
}

func (s *system) value(r row, u *mat.VecDense) float64 {
	at, by := s.entries(r)
	sum := 0.0
	for i, k := range at {
		sum += by[i] * u.AtVec(k)
	}
	return sum
}

// linear solves the system with some of the contacts.
func (s *system) linear(f *mat.VecDense, pushing []bool) (*mat.VecDense, error) {
	u := mat.NewVecDense(max(1, s.size), nil)
	if s.size == 0 {
		return u, nil
	}
	k := s.copied()
	for i, c := range s.model.contacts {
		if pushing[i] {
			s.add(k, s.model.apart(c.A, c.B, c.At, c.Normal), c.Stiffness)
		}
	}
	scale := scaled(k)
	var chol mat.BandCholesky
	if ok := chol.Factorize(k); !ok || chol.Cond() > singular {
		return nil, s.mechanism(k)
	}
	g := mat.NewVecDense(s.size, nil)
	g.MulElemVec(f, scale)
	if err := chol.SolveVecTo(u, g); err != nil {
		return nil, s.mechanism(k)
	}
	s.refine(&chol, k, u, g)
	u.MulElemVec(u, scale)
	return u, nil
}

// refine takes one step of iterative refinement, for joints are far stiffer than members.
func (s *system) refine(chol *mat.BandCholesky, k *mat.SymBandDense, u, g *mat.VecDense) {
	var rest, more mat.VecDense
	rest.MulVec(k, u)
	rest.SubVec(g, &rest)
	if chol.SolveVecTo(&more, &rest) == nil {
		u.AddVec(u, &more)
	}
}

// singular is the condition number, with all unknowns scaled alike, beyond which a frame is a
// mechanism: joints 10⁵ times stiffer than members give 10⁹ at most, free moves 10¹⁵ and more.
const singular = 1e13

// scaled divides rows and columns so that the diagonal is 1, and returns by what.
func scaled(k *mat.SymBandDense) *mat.VecDense {
	n, band := k.SymBand()
	d := mat.NewVecDense(n, nil)
	for i := range n {
		d.SetVec(i, 1)
		if v := k.At(i, i); v > 0 {
			d.SetVec(i, 1/math.Sqrt(v))
		}
	}
	for i := range n {
		for j := i; j < min(n, i+band+1); j++ {
			k.SetSymBand(i, j, k.At(i, j)*d.AtVec(i)*d.AtVec(j))
		}
	}
	return d
}

// copied is the matrix without contacts, to be added to.
func (s *system) copied() *mat.SymBandDense {
	from := s.fixed.RawSymBand()
	return mat.NewSymBandDense(s.size, s.band, append([]float64(nil), from.Data...))
}
