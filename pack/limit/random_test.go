package limit_test

import (
	"fmt"
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
	"rackwright/pack/limit"
)

// generator makes random problems and layouts, our own invention.
type generator struct{ *rand.Rand }

// scale makes everything larger than life, so that the snapping of corners to the
// lattice counts for less.
const scale = 16

func (g generator) between(lo, hi int) float64 { return scale * float64(lo+g.IntN(hi-lo+1)) }
func (g generator) oneIn(n int) bool           { return g.IntN(n) == 0 }

// problem has a slanted outline, mostly with a corner that points inward, a rail, a
// keep-out or two, and one to four boxes, some with posts, some tilted.
func (g generator) problem() (pack.Problem, pack.Layout) {
	w, h := g.between(250, 500), g.between(200, 400)
	corners := []r2.Point{{X: 0, Y: 0}, {X: w, Y: g.between(-30, 30)}, {X: w + g.between(-50, 120), Y: h}, {X: g.between(-60, 60), Y: h + g.between(-40, 40)}}
	if !g.oneIn(3) {
		corners = slices.Insert(corners, 1, r2.Point{X: w / 2, Y: g.between(15, 60)})
	}
	half := g.between(80, 150)
	f := opening(r1.Interval{Lo: -half, Hi: half + g.between(0, 20)}, corners...)
	f.Accuracy = g.between(0, 3)
	for range g.IntN(2) {
		f.Rails = append(f.Rails, g.rail(w, h))
	}
	for i := range g.IntN(3) {
		f.KeepOuts = append(f.KeepOuts, g.keepOut(fmt.Sprint("keep-out ", i+1), w, h))
	}
	p := pack.Problem{Frame: f, Pack: &pack.Pack{Gaps: pack.Gaps{
		Beside: g.between(0, 6), Above: g.between(0, 10), Wall: g.between(0, 4), Rail: g.between(0, 6),
		KeepOut: g.between(0, 8), Post: g.between(5, 25), Boot: g.between(0, 5),
	}, Kinds: []pack.Kind{g.kind("battery", 1+g.IntN(3))}}}
	if g.oneIn(2) {
		p.Pack.Kinds = append(p.Pack.Kinds, g.kind("charger", 1))
	}
	return p, g.layout(p, w, h)
}

func (g generator) rail(w, h float64) frame.Rail {
	r := frame.Rail{
		Name: "rail", Diameter: g.between(20, 40), Mirror: g.oneIn(2),
		Path: []r3.Vector{{X: w * 0.7, Y: g.between(20, 60), Z: -20 * scale}, {X: w + g.between(-40, 80), Y: g.between(20, 60), Z: h}},
	}
	if g.oneIn(3) {
		gap := g.between(0, 9)
		r.Gap = &gap
	}
	return r
}

func (g generator) keepOut(name string, w, h float64) frame.KeepOut {
	k := frame.KeepOut{Name: name, Metal: g.oneIn(2)}
	x, y, z := math.Round(w*g.Float64()), g.between(-100, 60), math.Round(h*g.Float64())
	switch g.IntN(3) {
	case 0:
		low := r3.Vector{X: x, Y: y, Z: z}
		k.Box = &frame.Corners{Low: low, High: low.Add(r3.Vector{X: g.between(20, 80), Y: g.between(40, 120), Z: g.between(20, 80)})}
	case 1:
		k.Round = &frame.Round{From: r3.Vector{X: x, Y: y, Z: z}, To: r3.Vector{X: x, Y: y + 120*scale, Z: z + g.between(-20, 20)}, Diameter: g.between(30, 90)}
	default:
		outline, err := geom.PolygonFromCorners([]r2.Point{{X: x, Y: z}, {X: x + g.between(30, 90), Y: z + g.between(-20, 20)}, {X: x + g.between(0, 60), Y: z + g.between(40, 90)}})
		if err != nil {
			panic(err)
		}
		k.Profile = &frame.Profile{Outline: outline, Across: r1.Interval{Lo: y, Hi: y + 120*scale}}
	}
	return k
}

func (g generator) kind(name string, count int) pack.Kind {
	k := pack.Kind{
		Name: name, Count: count, Size: r3.Vector{X: g.between(60, 160), Y: g.between(60, 160), Z: g.between(60, 160)},
		Accuracy: g.between(0, 2), Stands: []pack.Stand{pack.Upright, pack.OnSide, pack.OnEnd}, Tilts: []s1.Angle{0, 12 * s1.Degree},
	}
	if g.oneIn(2) {
		k.Posts = []pack.Post{{Name: "plus", Face: pack.Face(g.IntN(6)), At: r2.Point{X: g.between(10, 50), Y: g.between(10, 50)}, Diameter: g.between(8, 18), Height: g.between(0, 15)}}
	}
	return k
}

func (g generator) layout(p pack.Problem, w, h float64) pack.Layout {
	var l pack.Layout
	for _, k := range p.Pack.Kinds {
		for n := range k.Count {
			o := pack.Orientation{Up: pack.Face(g.IntN(5)), Front: pack.Face(g.IntN(6))}
			if o.Up.Axis() == o.Front.Axis() {
				o.Front = pack.Face((int(o.Up) + 2) % 6)
			}
			if g.oneIn(3) {
				o.Tilt = 12 * s1.Degree
			}
			at := r3.Vector{X: w * (0.2 + 0.6*g.Float64()), Y: 100 * scale * (g.Float64() - 0.5), Z: h * (0.2 + 0.6*g.Float64())}
			l.Placements = append(l.Placements, pack.Placement{Box: k.Name, Number: n + 1, Orientation: o, Centre: at})
		}
	}
	return l
}

// changed is the problem with a measured thing more by d millimetres, made from the
// files' numbers and not from what the package says the thing does.
func changed(p pack.Problem, m limit.Measured, d float64) pack.Problem {
	f, k := *p.Frame, *p.Pack
	p.Frame, p.Pack = &f, &k
	k.Kinds, f.Rails, f.KeepOuts = slices.Clone(k.Kinds), slices.Clone(f.Rails), slices.Clone(f.KeepOuts)
	switch m.Sort {
	case limit.Size, limit.PostSize, limit.PostPlace:
		changeKind(k.Kinds, m, d)
	case limit.Gap:
		changeGap(&f, &k, m, d)
	case limit.Side:
		f.Opening.Outline = moved(f.Opening.Outline, slices.Index(f.Opening.Sides, m.Of), d)
	case limit.Width:
		f.Opening.Stations = slices.Clone(f.Opening.Stations)
		for i := range f.Opening.Stations {
			if m.Of == "width right" {
				f.Opening.Stations[i].Across.Lo -= d
			} else {
				f.Opening.Stations[i].Across.Hi += d
			}
		}
	case limit.Rail:
		changeRail(f.Rails, m, d)
	case limit.KeepOut:
		changeKeepOut(f.KeepOuts, m, d)
	}
	return p
}

func changeKind(kinds []pack.Kind, m limit.Measured, d float64) {
	for i, k := range kinds {
		if m.Sort == limit.Size && m.Of == k.Name {
			switch m.What {
			case "length":
				kinds[i].Size.X += d
			case "width":
				kinds[i].Size.Y += d
			case "height":
				kinds[i].Size.Z += d
			}
		}
		kinds[i].Posts = slices.Clone(k.Posts)
		if m.Sort == limit.PostPlace && m.Of == k.Name+" plus" {
			x := m.What == "from the back" || m.What == "from the right" && k.Posts[0].Face.Axis() == 0
			if t := &kinds[i].Posts[0]; x {
				t.At.X += d
			} else {
				t.At.Y += d
			}
		}
		if m.Sort == limit.PostSize && m.Of == k.Name+" plus" {
			if m.What == "height" {
				kinds[i].Posts[0].Height += d
			} else {
				kinds[i].Posts[0].Diameter += d
			}
		}
	}
}

func changeGap(f *frame.Frame, k *pack.Pack, m limit.Measured, d float64) {
	of := map[string]*float64{
		"beside": &k.Gaps.Beside, "above": &k.Gaps.Above, "wall": &k.Gaps.Wall, "rail": &k.Gaps.Rail,
		"keepout": &k.Gaps.KeepOut, "post": &k.Gaps.Post, "boot": &k.Gaps.Boot,
	}
	if m.Of == "" {
		*of[m.What] += d
		return
	}
	for i, r := range f.Rails {
		if r.Name == m.Of {
			gap := *r.Gap + d
			f.Rails[i].Gap = &gap
		}
	}
}

// moved is a polygon with side i further out: its corners are where the moved line
// meets the sides next to it.
func moved(p geom.Polygon, i int, d float64) geom.Polygon {
	c, n := p.Corners, len(p.Corners)
	e := c[(i+1)%n].Sub(c[i])
	out := r2.Point{X: e.Y, Y: -e.X}.Mul(d / e.Norm())
	meet := func(a, b r2.Point) r2.Point { // the line a–b with the moved one
		from, along := c[i].Add(out), b.Sub(a)
		return a.Add(along.Mul(from.Sub(a).Cross(e) / along.Cross(e)))
	}
	corners := slices.Clone(c)
	corners[i] = meet(c[(i+n-1)%n], c[i])
	corners[(i+1)%n] = meet(c[(i+1)%n], c[(i+2)%n])
	return geom.Polygon{Corners: corners}
}

var directions = map[string]r3.Vector{"forward": {X: 1}, "to the left": {Y: 1}, "up": {Z: 1}}

func changeRail(rails []frame.Rail, m limit.Measured, d float64) {
	for i, r := range rails {
		if m.What == "diameter" {
			rails[i].Diameter += d
			continue
		}
		rails[i].Path = slices.Clone(r.Path)
		for k := range r.Path {
			rails[i].Path[k] = r.Path[k].Add(directions[m.What].Mul(d))
		}
	}
}

func changeKeepOut(all []frame.KeepOut, m limit.Measured, d float64) {
	for i, k := range all {
		if k.Name != m.Of {
			continue
		}
		by, grow := directions[m.What].Mul(d), 0.0
		if m.What == "all round" {
			grow = d
		}
		out := r3.Vector{X: grow, Y: grow, Z: grow}
		switch {
		case k.Box != nil:
			all[i].Box = &frame.Corners{Low: k.Box.Low.Add(by).Sub(out), High: k.Box.High.Add(by).Add(out)}
		case k.Round != nil:
			along := k.Round.To.Sub(k.Round.From).Normalize().Mul(grow)
			all[i].Round = &frame.Round{From: k.Round.From.Add(by).Sub(along), To: k.Round.To.Add(by).Add(along), Diameter: k.Round.Diameter + 2*grow}
		default:
			outline, _ := k.Profile.Outline.Offset(grow)
			for c := range outline.Corners {
				outline.Corners[c] = outline.Corners[c].Add(r2.Point{X: by.X, Y: by.Z})
			}
			across := r1.Interval{Lo: k.Profile.Across.Lo + by.Y - grow, Hi: k.Profile.Across.Hi + by.Y + grow}
			all[i].Profile = &frame.Profile{Outline: outline, Across: across}
		}
	}
}

// A change of a quarter and of half a millimetre, found by solving again with the thing
// changed. Where the two give different rates, a change of basis or of the chosen sheets
// lies in between, and nothing can be compared.
//
// Corners of slanted solids snap by up to 5 µm at both ends of a difference, and the
// distance to a tube is not linear; sizes and gaps are exact.
func TestRatesAreFiniteDifferences(t *testing.T) {
	compared, kinks, skipped, bySort := 0, 0, 0, map[limit.Sort]int{}
	for seed := range uint64(300) {
		g := generator{rand.New(rand.NewPCG(seed, 77))}
		p, l := g.problem()
		a, err := limit.Of(p, l)
		require.NoError(t, err, "seed %d", seed)
		require.InDelta(t, a.Spare, pack.Check(p, a.Layout).Spare, 1e-6, "the judge, seed %d", seed)
		sum := 0.0
		for _, k := range a.Links {
			sum += k.Weight
		}
		require.InDelta(t, 1, sum, 1e-6, "seed %d", seed)
		for _, e := range a.Effects {
			for _, way := range []struct{ sign, want float64 }{{1, e.More}, {-1, e.Less}} {
				half := rate(t, p, a, e.Measured, way.sign*0.5)
				quarter := rate(t, p, a, e.Measured, way.sign*0.25)
				slack := 1e-6
				if e.Sort != limit.Gap && e.Sort != limit.Size && e.Sort != limit.PostSize && e.Sort != limit.PostPlace || round(p) {
					slack = 0.02
				}
				if math.Abs(half-quarter) > slack {
					skipped++
					continue
				}
				require.InDelta(t, way.want, quarter, slack, "seed %d: %v by %v", seed, e.Measured, way.sign)
				compared++
				if math.Abs(e.More+e.Less) > 0.05 {
					kinks++ // as it is, a basis changes: the two one-sided rates differ
				}
				bySort[e.Sort]++
			}
		}
	}
	t.Logf("%d rates compared, %d of them one-sided, %d not for changes nearby; %v", compared, kinks, skipped, bySort)
	require.Greater(t, compared, 10*skipped)
	require.Greater(t, kinks, 20)
	for sort := limit.Size; sort <= limit.KeepOut; sort++ {
		require.Greater(t, bySort[sort], 50, "%v", sort)
	}
}

func round(p pack.Problem) bool {
	return len(p.Frame.Rails) > 0 || slices.ContainsFunc(p.Frame.KeepOuts, func(k frame.KeepOut) bool { return k.Round != nil })
}

// rate solves again with a thing changed by d.
func rate(t *testing.T, p pack.Problem, a limit.Analysis, m limit.Measured, d float64) float64 {
	t.Helper()
	_, spare, err := limit.Best(changed(p, m, d), a.Layout)
	require.NoError(t, err)
	return (spare - a.Spare) / math.Abs(d)
}

// Nothing that is left out of the effects has one, but for changes of basis nearby.
func TestNoEffectIsLeftOut(t *testing.T) {
	compared, skipped := 0, 0
	for seed := range uint64(40) {
		g := generator{rand.New(rand.NewPCG(seed, 78))}
		p, l := g.problem()
		a, err := limit.Of(p, l)
		require.NoError(t, err)
		told := map[string]bool{}
		for _, e := range a.Effects {
			told[e.Measured.String()] = true
		}
		for _, m := range a.Inert {
			require.False(t, told[m.String()])
			for _, d := range []float64{-0.25, 0.25} {
				r := rate(t, p, a, m, d)
				if math.Abs(r-rate(t, p, a, m, d/2)) > 0.01 {
					skipped++
					continue
				}
				require.InDelta(t, 0, r, 0.03, "seed %d: %v", seed, m)
				compared++
			}
		}
	}
	require.Greater(t, compared, 5*skipped)
}
