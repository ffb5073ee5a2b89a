package whatif_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/search"
	"rackwright/pack/whatif"
)

func polygon(corners ...r2.Point) geom.Polygon {
	p, err := geom.PolygonFromCorners(corners)
	if err != nil {
		panic(err)
	}
	return p
}

func opening(across float64, corners ...r2.Point) *frame.Frame {
	return &frame.Frame{Opening: frame.Opening{
		Outline: polygon(corners...), Stations: []frame.Station{{Across: r1.Interval{Lo: 0, Hi: across}}}, Metal: true,
	}}
}

func chest(x, y, z float64) *frame.Frame {
	return opening(y, r2.Point{}, r2.Point{X: x}, r2.Point{X: x, Y: z}, r2.Point{Y: z})
}

func kind(name string, count int, l, w, h float64) pack.Kind {
	return pack.Kind{
		Name: name, Count: count, Size: r3.Vector{X: l, Y: w, Z: h},
		Stands: []pack.Stand{pack.Upright}, Tilts: []s1.Angle{0},
	}
}

func block(name string, low, high r3.Vector, trim float64) frame.KeepOut {
	return frame.KeepOut{Name: name, Box: &frame.Corners{Low: low, High: high}, Metal: true, Trim: trim}
}

func tube(name string, x, z float64, removable bool) frame.Rail {
	return frame.Rail{Name: name, Path: []r3.Vector{{X: x, Y: -50, Z: z}, {X: x, Y: 350, Z: z}}, Diameter: 20, Removable: removable}
}

// settings end each search at the first layout that fits, and when the boxes have been
// built in so many ways that one or two of them would have been seen to fit.
func settings() whatif.Settings {
	steps := 0
	var stop context.CancelFunc
	return whatif.Settings{
		Hasty: true,
		Search: search.Settings{Seed: 1, AnyEntry: true, Workers: 1, Progress: func(search.Progress) {
			if steps++; steps >= 1 {
				stop()
			}
		}},
		Limit: func(ctx context.Context) (context.Context, context.CancelFunc) {
			ctx, stop = context.WithCancel(ctx)
			steps = 0
			return ctx, stop
		},
	}
}

// searched searches a problem as settings say.
func searched(t *testing.T, p pack.Problem) search.Result {
	t.Helper()
	s := settings()
	ctx, cancel := s.Limit(context.Background())
	defer cancel()
	r, err := search.Fit(ctx, p, s.Search)
	require.NoError(t, err)
	return r
}

func problem(f *frame.Frame, kinds ...pack.Kind) pack.Problem {
	return pack.Problem{Frame: f, Pack: &pack.Pack{Gaps: pack.Gaps{Beside: 3, Above: 6, Rail: 5, KeepOut: 5, Post: 25, Boot: 3}, Kinds: kinds}}
}

func conceded(t *testing.T, p pack.Problem) whatif.Conceded {
	t.Helper()
	c, err := whatif.Concessions(context.Background(), p, settings())
	require.NoError(t, err)
	return c
}

// A box 90 high under a tank whose lower face is 88 above the floor: with the gap of 5 the
// notch is 7 mm deep (derived), at a whole number of millimetres.
func TestNotchUnderATank(t *testing.T) {
	f := chest(200, 200, 150)
	f.KeepOuts = []frame.KeepOut{block("tank", r3.Vector{X: -50, Y: -50, Z: 88}, r3.Vector{X: 250, Y: 250, Z: 150}, 20)}
	c := conceded(t, problem(f, kind("b", 1, 100, 100, 90)))
	require.Len(t, c.Fits, 1)
	fit := c.Fits[0]
	require.Equal(t, []string{"tank"}, fit.Names())
	require.InDelta(t, 7.5, fit.Depth(), 0.6)
	require.GreaterOrEqual(t, fit.Report.Spare, 0.0)
	n := fit.Notches[0]
	require.InDelta(t, fit.Depth(), n.Size().Z, 1e-6, "straight up")
	require.InDelta(t, n.Size().X*n.Size().Y*n.Size().Z, n.Volume(), 1e-3)
	require.GreaterOrEqual(t, n.Size().X, 110.0, "the box and its gap on both sides")
	require.Less(t, n.Size().X, 116.0)
	requireRoom(t, f, fit)
}

// The same with everything off by a millimetre: tank and floor 1 mm nearer, the box 1 mm
// higher, so that it is sure from 10 mm on (derived).
func TestNotchThatIsSure(t *testing.T) {
	f := chest(200, 200, 150)
	f.Accuracy = 1
	f.KeepOuts = []frame.KeepOut{block("tank", r3.Vector{X: -50, Y: -50, Z: 88}, r3.Vector{X: 250, Y: 250, Z: 150}, 20)}
	k := kind("b", 1, 100, 100, 90)
	k.Accuracy = 1
	fit := conceded(t, problem(f, k)).Fits[0]
	require.False(t, fit.Sure)
	require.InDelta(t, 7.5, fit.Depth(), 0.6)
	require.NotNil(t, fit.Surer)
	require.True(t, fit.Surer.Sure)
	require.InDelta(t, 10.5, fit.Surer.Depth(), 0.6)
	requireRoom(t, f, *fit.Surer)
	f.KeepOuts[0].Trim = 9
	require.Nil(t, conceded(t, problem(f, k)).Fits[0].Surer, "9 mm are not enough")
}

// A post 10 high on a box 60 high needs 25 mm to the metal tank 88 above the floor: a
// notch 7 mm deep for the post alone (derived). To a plastic one it needs the keep-out's 5.
func TestNotchForAPost(t *testing.T) {
	f := chest(200, 200, 150)
	f.KeepOuts = []frame.KeepOut{block("tank", r3.Vector{X: -50, Y: -50, Z: 88}, r3.Vector{X: 250, Y: 250, Z: 150}, 20)}
	k := kind("b", 1, 190, 190, 60)
	k.Posts = []pack.Post{{Name: "plus", Face: pack.Top, At: r2.Point{X: 95, Y: 95}, Diameter: 10, Height: 10}}
	fit := conceded(t, problem(f, k)).Fits[0]
	require.Len(t, fit.Notches, 1)
	require.Equal(t, pack.Part{Box: "b", Number: 1, Post: "plus"}, fit.Notches[0].For)
	require.InDelta(t, 7.5, fit.Depth(), 0.6)
	require.InDelta(t, 60, fit.Notches[0].Size().X, 2, "the post and 25 mm on both sides")
	requireRoom(t, f, fit)
	f.KeepOuts[0].Metal = false
	require.NotNil(t, conceded(t, problem(f, k)).Plain)
}

// requireRoom says that the notches are within the trim and that nothing of the keep-out
// that is left is nearer to a box than its gap: by the judge, on the cut solid.
func requireRoom(t *testing.T, f *frame.Frame, c whatif.Concession) {
	t.Helper()
	for _, n := range c.Notches {
		k := f.KeepOuts[slices.IndexFunc(f.KeepOuts, func(k frame.KeepOut) bool { return k.Name == n.KeepOut })]
		require.LessOrEqual(t, n.Depth, k.Trim)
		require.Positive(t, n.Volume())
		requireInside(t, k, n)
	}
	left := map[string]float64{}
	for _, k := range c.Frame.KeepOuts {
		left[k.Name] += volume(t, k)
	}
	for _, k := range f.KeepOuts {
		cut := 0.0
		for _, n := range c.Notches {
			if n.KeepOut == k.Name {
				cut += n.Volume()
			}
		}
		require.LessOrEqual(t, left[k.Name], volume(t, k)+1e-3)
		require.GreaterOrEqual(t, left[k.Name]+cut, volume(t, k)-1, "no more is gone than was cut")
	}
}

// requireInside says that a notch is part of its keep-out: every corner of it is in the
// outline and between the ends, or in the drum with flat sides around it.
func requireInside(t *testing.T, k frame.KeepOut, n whatif.Notch) {
	t.Helper()
	whole, ok := k.Surface()
	for _, s := range n.Solids {
		if p, prism := s.(geom.Prism); prism {
			require.True(t, ok)
			require.True(t, whole.Across.Expanded(1e-9).ContainsInterval(p.Depth))
			for _, c := range p.Profile.Corners {
				require.True(t, whole.Outline.Contains(c), "%v", c)
			}
			continue
		}
		r := *k.Round
		axis, length := r.To.Sub(r.From).Normalize(), r.To.Sub(r.From).Norm()
		for _, c := range s.(geom.Polyhedron).Corners() {
			along := c.Sub(r.From).Dot(axis)
			require.InDelta(t, length/2, along, length/2+1e-6)
			require.LessOrEqual(t, c.Sub(r.From).Sub(axis.Mul(along)).Norm(), r.Diameter/2+frame.RoundError)
		}
	}
}

func volume(t *testing.T, k frame.KeepOut) float64 {
	t.Helper()
	if k.Piece != nil {
		return k.Piece.Volume()
	}
	if p, ok := k.Surface(); ok {
		return p.Outline.Area() * p.Across.Length()
	}
	return k.Round.Drum().Volume()
}

// A box 100 long and wide under an arch: the keep-out's lower side is a flat groove 88 high
// and 80 long between two legs that come down to 60. The box, 70 high, needs room in both
// legs, 5 mm of gap included: 15 mm each (derived), as deep as they are cut up.
func TestNotchInAnArch(t *testing.T) {
	f := chest(300, 200, 150)
	f.KeepOuts = []frame.KeepOut{{Name: "cover", Metal: true, Trim: 20, Profile: &frame.Profile{
		Outline: polygon(r2.Point{X: -50, Y: 60}, r2.Point{X: 110, Y: 60}, r2.Point{X: 110, Y: 88}, r2.Point{X: 190, Y: 88},
			r2.Point{X: 190, Y: 60}, r2.Point{X: 350, Y: 60}, r2.Point{X: 350, Y: 150}, r2.Point{X: -50, Y: 150}),
		Across: r1.Interval{Lo: -50, Hi: 250},
	}}}
	c := conceded(t, problem(f, kind("b", 1, 200, 100, 70)))
	require.Len(t, c.Fits, 1)
	fit := c.Fits[0]
	require.InDelta(t, 15.5, fit.Depth(), 0.6)
	require.Len(t, fit.Notches, 1)
	require.Greater(t, len(fit.Notches[0].Solids), 1, "one in each leg")
	requireRoom(t, f, fit)
}

// A box 90 high under a drum of 100 across the opening, whose lowest line is 88 above the
// floor: a flat 7 mm deep with the gap of 5 (derived), over the chord of that depth where
// the box is long enough: 2·√(2·50·7 − 7²) = 51.0 mm.
func TestFlatOnADrum(t *testing.T) {
	f := chest(200, 200, 160)
	f.KeepOuts = []frame.KeepOut{{Name: "motor", Metal: true, Trim: 20, Round: &frame.Round{
		From: r3.Vector{X: 100, Y: -10, Z: 138}, To: r3.Vector{X: 100, Y: 210, Z: 138}, Diameter: 100,
	}}}
	fit := conceded(t, problem(f, kind("b", 1, 190, 190, 90))).Fits[0]
	require.InDelta(t, 7.5, fit.Depth(), 0.6)
	d := fit.Depth()
	require.InDelta(t, 2*math.Sqrt(100*d-d*d), fit.Notches[0].Size().X, 1)
	requireRoom(t, f, fit)
	// What is left of the drum is all there: 1000 points that are in no notch.
	g := rand.New(rand.NewPCG(1, 1))
	for range 1000 {
		sin, cos := math.Sincos(2 * math.Pi * g.Float64())
		q := r2.Point{X: 100 + 49.99*cos, Y: 138 + 49.99*sin}
		in := slices.ContainsFunc(fit.Frame.KeepOuts, func(k frame.KeepOut) bool { return k.Profile.Outline.Contains(q) })
		cut := slices.ContainsFunc(fit.Notches[0].Solids, func(s geom.Solid) bool { return s.(geom.Prism).Profile.Contains(q) })
		require.True(t, in || cut)
	}
}

// The same under a drum that lies level but turned in plan: the flat is as deep, and its
// volume is the segment's area times the length, where the box reaches past both ends.
func TestFlatOnATurnedDrum(t *testing.T) {
	f := chest(200, 200, 160)
	at := func(l float64) r3.Vector { return r3.Vector{X: 100 + 0.6*l, Y: 100 + 0.8*l, Z: 138} }
	f.KeepOuts = []frame.KeepOut{{Name: "motor", Metal: true, Trim: 20, Round: &frame.Round{From: at(-70), To: at(70), Diameter: 100}}}
	p := problem(f, kind("b", 1, 190, 190, 90))
	fit := conceded(t, p).Fits[0]
	require.InDelta(t, 7.5, fit.Depth(), 0.6)
	requireRoom(t, f, fit)
	requireDrum(t, p, fit)
	d := fit.Depth()
	half := math.Acos(1 - d/50)
	require.InEpsilon(t, 140*50*50*(half-math.Sin(half)*math.Cos(half)), fit.Notches[0].Volume(), 0.02)
}

// A shock that leans towards a box by 20°, in the side view: the box's upper edge, 120 long,
// 100 above the floor and 110 in front of the rear wall, comes nearest. Seen from the side
// it is at (x − 110)·cos 20° − 30 from the shock, where its axis is at x at that height; that
// is made −2, so that the gap of 5 takes a notch 7 deep (derived).
func TestNotchInALeaningShock(t *testing.T) {
	sin, cos := math.Sincos(20 * math.Pi / 180)
	axisAt := func(z float64) r3.Vector {
		return r3.Vector{X: 110 + 28/cos - (z-100)*sin/cos, Y: 100, Z: z}
	}
	f := chest(200, 200, 150)
	f.KeepOuts = []frame.KeepOut{{Name: "shock", Metal: true, Trim: 12, Round: &frame.Round{From: axisAt(-60), To: axisAt(220), Diameter: 60}}}
	p := problem(f, kind("b", 1, 110, 190, 100))
	fit := conceded(t, p).Fits[0]
	require.InDelta(t, 7.5, fit.Depth(), 0.6)
	requireRoom(t, f, fit)
	requireDrum(t, p, fit)
	f.KeepOuts[0].Trim = 6
	require.Empty(t, conceded(t, p).Fits, "6 mm are not enough")
}

// Drums of any direction, against sampling: see requireDrum.
func TestNotchesInDrumsOfAnyDirection(t *testing.T) {
	fits := 0
	for seed := range uint64(24) {
		g := rand.New(rand.NewPCG(seed, 17))
		f := chest(200, 180, 150)
		axis := r3.Vector{X: g.NormFloat64(), Y: g.NormFloat64(), Z: g.NormFloat64()}.Normalize()
		middle := r3.Vector{X: 200 * g.Float64(), Y: 180 * g.Float64(), Z: 150 - 40*g.Float64()}
		f.KeepOuts = []frame.KeepOut{{Name: "drum", Trim: 15, Round: &frame.Round{
			From: middle.Sub(axis.Mul(80)), To: middle.Add(axis.Mul(80)), Diameter: 60 + 30*g.Float64(),
		}}}
		b := kind("b", 1, 150+40*g.Float64(), 130+40*g.Float64(), 80+40*g.Float64())
		if seed%3 == 0 {
			b.Tilts = []s1.Angle{8 * s1.Degree}
		}
		p := problem(f, b)
		for _, fit := range conceded(t, p).Fits {
			fits++
			requireRoom(t, f, fit)
			requireDrum(t, p, fit)
		}
	}
	require.Greater(t, fits, 5)
}

// requireDrum samples a notched drum, by its closed form: no point of it that is in no notch
// is nearer to the case of the box than its gap, and none that is in a notch is deeper than
// the notch says.
func requireDrum(t *testing.T, p pack.Problem, c whatif.Concession) {
	t.Helper()
	k, gap := p.Frame.KeepOuts[0], p.Pack.Gaps.KeepOut
	r := *k.Round
	axes := [3]r3.Vector{r.To.Sub(r.From).Normalize()}
	axes[1] = axes[0].Ortho()
	axes[2] = axes[0].Cross(axes[1])
	length := r.To.Sub(r.From).Norm()
	var solids []geom.Polyhedron
	deepest := 0.0
	for _, n := range c.Notches {
		for _, s := range n.Solids {
			solids = append(solids, s.(geom.Polyhedron))
		}
	}
	g := rand.New(rand.NewPCG(1, 3))
	var cases []geom.Box
	for _, at := range c.Layout.Placements {
		bodies, err := p.Bodies(at)
		require.NoError(t, err)
		cases = append(cases, bodies.Case)
	}
	for range 200000 {
		along, out := length*g.Float64(), r.Diameter/2*math.Sqrt(g.Float64())
		sin, cos := math.Sincos(2 * math.Pi * g.Float64())
		q := r.From.Add(axes[0].Mul(along)).Add(axes[1].Mul(out * cos)).Add(axes[2].Mul(out * sin))
		if slices.ContainsFunc(solids, func(s geom.Polyhedron) bool { return s.Contains(q) }) {
			deepest = max(deepest, min(r.Diameter/2-out, along, length-along))
			continue
		}
		for _, b := range cases {
			require.GreaterOrEqual(t, fromBox(b, q), gap-1e-6, "%v", q)
		}
	}
	require.LessOrEqual(t, deepest, c.Depth())
}

// fromBox is the distance of a point from a box, 0 inside.
func fromBox(b geom.Box, q r3.Vector) float64 {
	v := q.Sub(b.Centre)
	out := r3.Vector{
		X: max(0, math.Abs(v.Dot(b.Axes[0]))-b.Half.X), Y: max(0, math.Abs(v.Dot(b.Axes[1]))-b.Half.Y),
		Z: max(0, math.Abs(v.Dot(b.Axes[2]))-b.Half.Z),
	}
	return out.Norm()
}

// Removable rails: one in the way comes off, one that is not stays.
func TestRailThatComesOff(t *testing.T) {
	f := chest(200, 200, 150)
	f.Rails = []frame.Rail{tube("low", 100, 60, true), tube("high", 100, 170, true), tube("fixed", 100, -60, false)}
	c := conceded(t, problem(f, kind("b", 1, 190, 150, 100)))
	require.Len(t, c.Fits, 1)
	require.Equal(t, []string{"low"}, c.Fits[0].Off)
	require.Len(t, c.Fits[0].Frame.Rails, 2)
	require.Empty(t, c.Refused)
	require.Empty(t, c.Notes)
	f.Opening.Sides = []string{"floor", "front", "Low tube line", "rear"}
	c = conceded(t, problem(f, kind("b", 1, 190, 150, 100)))
	require.Len(t, c.Notes, 1)
	require.Contains(t, c.Notes[0], `"Low tube line" of the outline stays`)
}

// All rails of a frame with several cannot come off: something has to carry the boxes.
func TestRailsThatCarry(t *testing.T) {
	f := chest(200, 200, 150)
	f.Rails = []frame.Rail{tube("one", 60, 60, true), tube("two", 140, 60, true)}
	c := conceded(t, problem(f, kind("b", 1, 190, 150, 100)))
	require.Empty(t, c.Fits)
	require.Len(t, c.Refused, 1)
	require.Contains(t, c.Refused[0], "something has to carry")
}

// Nothing has to change for a box that fits: then that is what is said.
func TestNothingHasToChange(t *testing.T) {
	f := chest(200, 200, 150)
	f.Rails = []frame.Rail{tube("near", 100, 155, true), tube("fixed", 100, -60, false)}
	c := conceded(t, problem(f, kind("b", 1, 150, 150, 100)))
	require.NotNil(t, c.Plain)
	require.Empty(t, c.Fits)
	require.GreaterOrEqual(t, c.Plain.Report.Spare, 0.0)
}

func TestNothingToConcede(t *testing.T) {
	f := chest(200, 200, 150)
	f.Rails = []frame.Rail{tube("far away", 100, 400, true)}
	c := conceded(t, problem(f, kind("b", 1, 190, 150, 160)))
	require.True(t, c.None)
	f.Rails[0] = tube("near", 100, 100, true)
	c = conceded(t, problem(f, kind("b", 1, 190, 150, 160)))
	require.Empty(t, c.Fits)
	require.Empty(t, c.Open)
}

func TestKeepOutsThatAreNotNotched(t *testing.T) {
	f := chest(200, 200, 150)
	f.KeepOuts = []frame.KeepOut{
		{Name: "shock", Round: &frame.Round{From: r3.Vector{X: 100, Z: 100}, To: r3.Vector{X: 120, Y: 100, Z: 100}, Diameter: 50}, Trim: 25},
		block("thin", r3.Vector{X: 0, Y: 0, Z: 50}, r3.Vector{X: 200, Y: 200, Z: 60}, 6),
	}
	c := conceded(t, problem(f, kind("b", 1, 190, 150, 160)))
	require.Len(t, c.Refused, 2)
	require.Contains(t, c.Refused[0], "shock: a notch that deep would cut through")
	require.True(t, c.None)
}
