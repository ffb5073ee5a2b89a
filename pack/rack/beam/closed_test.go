package beam_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack/rack/beam"
)

// Held degrees of freedom of a beam along x that bends up and down.
var (
	all    = [6]bool{true, true, true, true, true, true}
	pinned = [6]bool{true, true, true, true, false, true} // turns about y alone
	slides = [6]bool{false, true, true, true, false, true}
)

// bar is a beam along x of a length, in a number of members, held at its ends.
func bar(length float64, members int, s beam.Section, left, right [6]bool) *beam.Model {
	var m beam.Model
	for i := range members + 1 {
		m.Node(r3.Vector{X: length * float64(i) / float64(members)}, fmt.Sprint("node ", i))
		if i > 0 {
			m.Member(i-1, i, s, beam.Steel, r3.Vector{Y: 1}, "bar")
		}
	}
	m.Fix(0, left)
	m.Fix(members, right)
	return &m
}

func within(t *testing.T, want, got float64, what string) {
	t.Helper()
	require.InEpsilon(t, want, got, 0.001, what)
}

// The closed forms of statics: moment and deflection of single bars, to 0.1 %.
func TestClosedForms(t *testing.T) {
	const l, p, w = 400.0, 250.0, 1.5
	s := beam.Section{Area: 142, IY: 7970, IZ: 5000, J: 400}
	ei := beam.Steel.E * s.IY
	free := [6]bool{}
	for _, c := range []struct {
		name           string
		left, right    [6]bool
		load           float64 // at the middle, or at the end of a cantilever; 0: even
		moment, deflex float64
		at             int // node of both
		momentAt       int
	}{
		{"P in the middle, supported", pinned, slides, p, p * l / 4, p * l * l * l / (48 * ei), 2, 2},
		{"even, supported", pinned, slides, 0, w * l * l / 8, 5 * w * math.Pow(l, 4) / (384 * ei), 2, 2},
		{"P in the middle, built in", all, all, p, p * l / 8, p * l * l * l / (192 * ei), 2, 0},
		{"even, built in", all, all, 0, w * l * l / 12, w * math.Pow(l, 4) / (384 * ei), 2, 0},
		{"cantilever", all, free, p, p * l, p * l * l * l / (3 * ei), 4, 0},
	} {
		m := bar(l, 4, s, c.left, c.right)
		loads := beam.Loads{Forces: []beam.Force{{Node: c.at, At: r3.Vector{X: l * float64(c.at) / 4}, Force: r3.Vector{Z: -c.load}}}}
		if c.load == 0 {
			loads = beam.Loads{}
			for i := range 4 {
				loads.Evens = append(loads.Evens, beam.Even{Member: i, Load: r3.Vector{Z: -w}})
			}
		}
		got, err := m.Solve(loads)
		require.NoError(t, err, c.name)
		within(t, c.deflex, -got.Move(c.at).Z, c.name)
		member, end := c.momentAt, 0.0
		within(t, c.moment, math.Abs(got.Inner(member, end).Moment.Y), c.name)
	}
}

// A bar 50 wide and 100 high, 4 m long, under its own 385.04 N/m: 770.08 N·m and 9.24 MPa (a
// textbook's worked example, read in a second source).
func TestTextbookBar(t *testing.T) {
	s := beam.Section{Area: 5000, IY: 50 * 1e6 / 12, IZ: 100 * 125000 / 12, J: 2.86e6}
	m := bar(4000, 2, s, pinned, slides)
	even := r3.Vector{Z: -0.38504}
	got, err := m.Solve(beam.Loads{Evens: []beam.Even{{Member: 0, Load: even}, {Member: 1, Load: even}}})
	require.NoError(t, err)
	moment := math.Abs(got.Inner(0, 1).Moment.Y)
	within(t, 770_080, moment, "moment in N·mm")
	require.InDelta(t, 9.24, moment*50/s.IY, 0.005)
	// Half way along a member the even load counts too: M = w x (l − x)/2 at a quarter.
	within(t, 0.38504*1000*3000/2, math.Abs(got.Inner(0, 0.5).Moment.Y), "at a quarter")
}

// Torsion, pull and both bendings of a cantilever that stands askew: T l/GJ, P l/EA, and
// P l³/3EI in each principal plane, whatever way it points.
func TestCantileverAskew(t *testing.T) {
	const l = 300.0
	s := beam.Section{Area: 100, IY: 3000, IZ: 900, J: 250}
	x := r3.Vector{X: 1, Y: 2, Z: -1.5}.Normalize()
	y := x.Ortho()
	z := x.Cross(y)
	var m beam.Model
	from := r3.Vector{X: 17, Y: -40, Z: 33}
	a := m.Node(from, "wall")
	b := m.Node(from.Add(x.Mul(l)), "tip")
	m.Fix(a, all)
	m.Member(a, b, s, beam.Steel, y, "bar")
	solve := func(force, moment r3.Vector) *beam.Solution {
		got, err := m.Solve(beam.Loads{Forces: []beam.Force{{Node: b, At: from.Add(x.Mul(l)), Force: force, Moment: moment}}})
		require.NoError(t, err)
		return got
	}
	within(t, 1000*l/(beam.Steel.E*s.Area), solve(x.Mul(1000), r3.Vector{}).Move(b).Dot(x), "pull")
	within(t, 50*l*l*l/(3*beam.Steel.E*s.IZ), solve(y.Mul(50), r3.Vector{}).Move(b).Dot(y), "along y")
	within(t, 50*l*l*l/(3*beam.Steel.E*s.IY), solve(z.Mul(50), r3.Vector{}).Move(b).Dot(z), "along z")
	within(t, 4000*l/(beam.Steel.G*s.J), solve(r3.Vector{}, x.Mul(4000)).Turn(b).Dot(x), "torsion")
	inner := solve(z.Mul(50).Add(x.Mul(70)), x.Mul(4000)).Inner(0, 0)
	within(t, 70, inner.Force.X, "pull inside")
	within(t, 4000, inner.Moment.X, "torsion inside")
	within(t, 50*l, math.Abs(inner.Moment.Y), "bending inside")
}

// A bolt is a hinge about itself and stiff about all else: two bars joined by a bolt that
// stands upright bend under their load as one, P l³/3EI; by a bolt that lies across they fold.
func TestBoltIsAHinge(t *testing.T) {
	build := func(axis r3.Vector) (*beam.Model, int) {
		s := beam.Section{Area: 100, IY: 3000, IZ: 3000, J: 500}
		var m beam.Model
		a, b := m.Node(r3.Vector{}, "first bar"), m.Node(r3.Vector{X: 100}, "first bar")
		c, d := m.Node(r3.Vector{X: 100}, "second bar"), m.Node(r3.Vector{X: 200}, "second bar")
		m.Member(a, b, s, beam.Steel, r3.Vector{Y: 1}, "first bar")
		m.Member(c, d, s, beam.Steel, r3.Vector{Y: 1}, "second bar")
		m.Fix(a, all)
		m.Fix(d, [6]bool{5: true})
		m.Join(beam.Joint{A: b, B: c, At: r3.Vector{X: 100}, Axis: axis, Pinned: true, Name: "bolt"})
		return &m, d
	}
	load := func(tip int) beam.Loads {
		return beam.Loads{Forces: []beam.Force{{Node: tip, At: r3.Vector{X: 200}, Force: r3.Vector{Z: -10}}}}
	}
	m, tip := build(r3.Vector{Z: 1})
	got, err := m.Solve(load(tip))
	require.NoError(t, err)
	within(t, 10*8e6/(3*beam.Steel.E*3000), -got.Move(tip).Z, "as one")
	require.InDelta(t, 10, got.Joint(0).Force.Norm(), 1e-4)
	m, tip = build(r3.Vector{Y: 1})
	_, err = m.Solve(load(tip))
	var loose *beam.MechanismError
	require.ErrorAs(t, err, &loose)
	require.Equal(t, "second bar", loose.Parts[0])
	require.Contains(t, loose.Error(), "second bar")
}

// A beam on three pads that only push, loaded beyond the outer one: the far pad lets go, and
// the beam is in balance on the other two (a lever: forces by moments).
func TestContactsOnlyPush(t *testing.T) {
	s := beam.Section{Area: 1e4, IY: 1e9, IZ: 1e9, J: 1e9} // as good as stiff
	var m beam.Model
	a, b := m.Node(r3.Vector{}, "lever"), m.Node(r3.Vector{X: 400}, "lever")
	m.Member(a, b, s, beam.Steel, r3.Vector{Y: 1}, "lever")
	var pads []int
	for _, x := range []float64{0, 200, 300} {
		pads = append(pads, m.Touch(beam.Contact{A: a, B: beam.Ground, At: r3.Vector{X: x}, Normal: r3.Vector{Z: 1}, Stiffness: 200, Name: "pad"}))
	}
	over := m.Touch(beam.Contact{A: a, B: beam.Ground, At: r3.Vector{X: 0}, Normal: r3.Vector{Z: -1}, Stiffness: 200, Name: "hold-down"})
	m.Touch(beam.Contact{A: a, B: beam.Ground, At: r3.Vector{X: 0, Y: 20}, Normal: r3.Vector{Z: 1}, Stiffness: 1, Name: "side"})
	m.Touch(beam.Contact{A: a, B: beam.Ground, At: r3.Vector{X: 0, Y: -20}, Normal: r3.Vector{Z: 1}, Stiffness: 1, Name: "side"})
	m.Touch(beam.Contact{A: a, B: beam.Ground, At: r3.Vector{X: 300, Y: 20}, Normal: r3.Vector{Z: 1}, Stiffness: 1, Name: "side"})
	m.Touch(beam.Contact{A: a, B: beam.Ground, At: r3.Vector{X: 300, Y: -20}, Normal: r3.Vector{Z: 1}, Stiffness: 1, Name: "side"})
	got, err := m.Solve(beam.Loads{Forces: []beam.Force{{Node: b, At: r3.Vector{X: 400}, Force: r3.Vector{Z: -100}}}})
	require.NoError(t, err)
	require.Zero(t, got.Contact(pads[0]))
	require.Positive(t, got.Contact(over))
	for _, p := range pads {
		require.GreaterOrEqual(t, got.Contact(p), 0.0)
	}
	up := got.Ground().Force.Z
	require.InDelta(t, 100, up, 1e-6*100)
}
