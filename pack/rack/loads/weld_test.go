package loads

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/beam"
)

// around is a weld all round a rectangle in the plane z = 0, one side after the other.
func around(wide, high float64) rack.Weld {
	c := []r3.Vector{{}, {X: wide}, {X: wide, Y: high}, {Y: high}}
	w := rack.Weld{Name: "weld", Joins: [2]string{"a", "b"}, Throat: 2}
	for i := range c {
		w.Runs = append(w.Runs, rack.Run{Of: "a", From: c[i], To: c[(i+1)%4]})
	}
	return w
}

// A weld all round a rectangle b × d, its lines by the table of O. W. Blodgett, Design of Welded
// Structures (1966), from memory: length 2(b + d), S = b d + d²/3, J = (b + d)³/6. A weld that has
// a width too bears a little more than its lines do.
func TestWeldAsLines(t *testing.T) {
	const b, d, force, moment = 40.0, 60.0, 500.0, 9000.0
	s, ok := seamOf(around(b, d))
	require.True(t, ok)
	require.InDelta(t, 2*(b+d), s.length, 1e-9)
	require.InDelta(t, 1-2*2/s.length, s.part, 1e-9)
	require.Less(t, s.at.Sub(r3.Vector{X: b / 2, Y: d / 2}).Norm(), 1e-9)
	near := func(want float64, c beam.Carried, what string) {
		require.InEpsilon(t, want/s.part, s.pull(c), 0.002, what)
	}
	near(force/s.length, beam.Carried{Force: r3.Vector{X: 300, Y: 400}}, "pulled")
	near(moment/(b*d+d*d/3), beam.Carried{Moment: r3.Vector{X: moment}}, "bent about x")
	near(moment/(b*d+b*b/3), beam.Carried{Moment: r3.Vector{Y: moment}}, "bent about y")
	corner := r3.Vector{X: b / 2, Y: d / 2}.Norm()
	near(moment*corner/((b+d)*(b+d)*(b+d)/6), beam.Carried{Moment: r3.Vector{Z: moment}}, "twisted")
}

// The weaker of a weld's stress: 360 / (√3 × 0.8 × 1.25) = 207.8 MPa for S235 (EN 1993-1-8
// 4.5.3.3, a second-hand table), and what is too short to count.
func TestWhatAWeldCarries(t *testing.T) {
	require.InDelta(t, 207.8, rack.WeldShear, 0.1)
	short := rack.Weld{Throat: 2, Runs: []rack.Run{
		{Of: "a", To: r3.Vector{X: 25}},
		{Of: "a", From: r3.Vector{Y: 25}, To: r3.Vector{X: 25, Y: 25}},
		{Of: "b", From: r3.Vector{X: 25}, To: r3.Vector{X: 25, Y: 25}}, // of another bar: not in one go
	}}
	require.Empty(t, short.Carrying())
	_, ok := seamOf(short)
	require.False(t, ok)
	short.Runs[2].Of = "a" // round a corner and back: 75 mm in one go, less 2 × 2
	require.Len(t, short.Carrying(), 3)
	require.InDelta(t, 71, short.Counted(), 1e-9)
	straight := rack.Weld{Throat: 2, Runs: []rack.Run{{Of: "a", To: r3.Vector{X: 33.9}}}}
	require.Zero(t, straight.Counted(), "33.9 less 4 is under 30 mm")
	straight.Runs[0].To.X = 34
	require.InDelta(t, 30, straight.Counted(), 1e-9)
	thick := rack.Weld{Throat: 6, Runs: []rack.Run{{Of: "a", To: r3.Vector{X: 47}}}}
	require.Zero(t, thick.Counted(), "47 less 12 is under six throats")
}

// Two flats that cross turn about the one bolt that joins them, and that is said; welded, the one
// that stands out bends as a cantilever, P l³/3EI.
func TestWeldedEndsAreRigid(t *testing.T) {
	flat := rack.Section{Form: rack.Flat, Width: 25, Thick: 3}
	held := rack.Bar{Name: "held", Section: flat, From: r3.Vector{X: -100, Y: -12.5}, To: r3.Vector{X: 100, Y: -12.5}, A: r3.Vector{Y: 1}, B: r3.Vector{Z: -1}}
	out := rack.Bar{Name: "standing out", Section: flat, From: r3.Vector{X: -12.5, Y: -12.5}, To: r3.Vector{X: -12.5, Y: 250}, A: r3.Vector{X: 1}, B: r3.Vector{Z: 1}}
	w := around(25, 25)
	for i := range w.Runs {
		w.Runs[i].From, w.Runs[i].To = w.Runs[i].From.Sub(r3.Vector{X: 12.5, Y: 12.5}), w.Runs[i].To.Sub(r3.Vector{X: 12.5, Y: 12.5})
	}
	w.Joins = [2]string{held.Name, out.Name}
	bolt := rack.Fastener{Name: "bolt", Size: "M6", Class: "8.8", From: r3.Vector{Z: 3}, To: r3.Vector{Z: -13}, Joins: []string{out.Name, held.Name}}
	solve := func(r *rack.Rack) (*beam.Solution, int, error) {
		m, err := newModel(pack.Problem{}, pack.Layout{}, r)
		require.NoError(t, err)
		for _, n := range m.bars[held.Name].nodes {
			m.frame.Fix(n, [6]bool{true, true, true, true, true, true})
		}
		nodes := m.bars[out.Name].nodes
		tip := nodes[len(nodes)-1]
		s, err := m.frame.Solve(beam.Loads{Forces: []beam.Force{{Node: tip, At: out.Centre(out.Length()), Force: r3.Vector{X: 20}}}})
		return s, tip, err
	}
	_, _, err := solve(&rack.Rack{Bars: []rack.Bar{held, out}, Fasteners: []rack.Fastener{bolt}})
	var loose *beam.MechanismError
	require.ErrorAs(t, err, &loose)
	require.Equal(t, "standing out", loose.Parts[0])
	s, tip, err := solve(&rack.Rack{Bars: []rack.Bar{held, out}, Welds: []rack.Weld{w}})
	require.NoError(t, err)
	require.InEpsilon(t, 20*250*250*250/(3*beam.Steel.E*3*25*25*25/12), s.Move(tip).X, 0.001)
}
