package beam

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"
	"gonum.org/v1/gonum/mat"
)

// Solution is how a frame stands under its loads.
type Solution struct {
	system  *system
	u       *mat.VecDense
	members []member
	pushing []bool
}

// Move returns how far a node moves, in mm.
func (s *Solution) Move(n int) r3.Vector { return s.vector(n, 0) }

// Turn returns how far a node turns, in radians.
func (s *Solution) Turn(n int) r3.Vector { return s.vector(n, 3) }

func (s *Solution) vector(n, first int) r3.Vector {
	var v [3]float64
	for i := range v {
		if k := s.system.index[n][first+i]; k >= 0 {
			v[i] = s.u.AtVec(k)
		}
	}
	return r3.Vector{X: v[0], Y: v[1], Z: v[2]}
}

// Inner is what a cross section carries, in the member's own axes: what the part beyond it
// does to the part before it.
type Inner struct {
	Force  r3.Vector // X: pull, N; Y and Z: shear
	Moment r3.Vector // X: torsion, N·mm; Y and Z: bending about these axes
}

// Inner returns what the cross section of a member carries that is t of the way along it,
// from 0 to 1.
func (s *Solution) Inner(member int, t float64) Inner {
	b := s.members[member]
	ends := s.ends(b)
	w, x := b.own(b.even), t*b.length
	// The part before is in balance: what acts on its first end, its even load, and this.
	force := r3.Vector{X: -ends[0] - w.X*x, Y: -ends[1] - w.Y*x, Z: -ends[2] - w.Z*x}
	return Inner{force, r3.Vector{
		X: -ends[3],
		Y: -ends[4] - ends[2]*x - w.Z*x*x/2,
		Z: -ends[5] + ends[1]*x + w.Y*x*x/2,
	}}
}

// ends are the forces on a member at its ends, in its own axes.
func (s *Solution) ends(b member) [12]float64 {
	k, even := b.stiffness(), b.evenly()
	var u, f [12]float64
	for i, r := range b.rows() {
		u[i] = s.system.value(r, s.u)
	}
	for i := range f {
		for j := range u {
			f[i] += k[i][j] * u[j]
		}
		f[i] -= even[i]
	}
	return f
}

// Axes returns the axes of a member: along it, then the principal axes of its section.
func (s *Solution) Axes(member int) [3]r3.Vector { return s.members[member].axes }

// Carried is what one thing does to another at a point.
type Carried struct{ Force, Moment r3.Vector }

// Joint returns what a joint does to its A.
func (s *Solution) Joint(n int) Carried {
	j := s.system.model.joints[n]
	var c Carried
	for i, u := range j.axes() {
		c.Force = c.Force.Sub(u.Mul(jointMove * s.system.value(s.system.model.apart(j.A, j.B, j.At, u), s.u)))
		if i > 0 || !j.Pinned {
			c.Moment = c.Moment.Sub(u.Mul(jointTurn * s.system.value(turned(j.A, j.B, u), s.u)))
		}
	}
	return c
}

// Contact returns the force in N that a contact pushes with; 0 when it does not.
func (s *Solution) Contact(n int) float64 {
	if !s.pushing[n] {
		return 0
	}
	c := s.system.model.contacts[n]
	return -c.Stiffness * s.system.value(s.system.model.apart(c.A, c.B, c.At, c.Normal), s.u)
}

// Ground returns all that the ground does to the frame by joints and held degrees of
// freedom, about the origin. In balance it is the loads' opposite.
func (s *Solution) Ground() Carried {
	var sum Carried
	add := func(at, force, moment r3.Vector) {
		sum.Force = sum.Force.Add(force)
		sum.Moment = sum.Moment.Add(moment).Add(at.Cross(force))
	}
	m := s.system.model
	for i, j := range m.joints {
		if j.B == Ground {
			c := s.Joint(i)
			add(j.At, c.Force, c.Moment)
		}
	}
	for i, c := range m.contacts {
		if c.B == Ground {
			add(c.At, c.Normal.Mul(s.Contact(i)), r3.Vector{})
		}
	}
	for i, b := range s.members {
		for end, n := range []int{b.from, b.to} {
			if m.nodes[n].fixed == [6]bool{true, true, true, true, true, true} {
				f := s.end(i, end)
				add(m.nodes[n].at, f.Force, f.Moment)
			}
		}
	}
	return sum
}

// end is what acts on a member at one of its ends, in the vehicle's axes.
func (s *Solution) end(member, end int) Carried {
	b := s.members[member]
	f := s.ends(b)
	f6 := f[6*end : 6*end+6]
	return Carried{b.outer(r3.Vector{X: f6[0], Y: f6[1], Z: f6[2]}), b.outer(r3.Vector{X: f6[3], Y: f6[4], Z: f6[5]})}
}

// mechanism names what moves most in the softest way in which the frame moves: by inverse
// iteration with a small shift. k is scaled.
func (s *system) mechanism(k *mat.SymBandDense) error {
	const shift, steps = 1e-10, 6
	for i := range s.size {
		k.SetSymBand(i, i, k.At(i, i)+shift)
	}
	var chol mat.BandCholesky
	if !chol.Factorize(k) {
		return &MechanismError{Parts: []string{"the frame"}}
	}
	v := mat.NewVecDense(s.size, nil)
	for i := range s.size {
		v.SetVec(i, math.Sin(float64(i+1))) // any direction with a part of all
	}
	for range steps {
		if chol.SolveVecTo(v, v) != nil {
			break
		}
		v.ScaleVec(1/mat.Norm(v, 2), v)
	}
	return s.moving(v)
}

// moving names the parts by how much they take part in a way of moving.
func (s *system) moving(v *mat.VecDense) error {
	most := map[string]float64{}
	var names []string
	for n, node := range s.model.nodes {
		sum := 0.0
		for _, i := range s.index[n] {
			if i >= 0 {
				sum += v.AtVec(i) * v.AtVec(i)
			}
		}
		if _, seen := most[node.name]; !seen {
			names = append(names, node.name)
		}
		most[node.name] = math.Max(most[node.name], sum)
	}
	slices.SortStableFunc(names, func(a, b string) int { return cmp.Compare(most[b], most[a]) })
	return &MechanismError{Parts: names}
}
