package pack

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
)

func sprint(v any) string { return fmt.Sprint(v) }

// openingOf returns a frame that is nothing but an opening.
func openingOf(outline []r2.Point, right, left float64) *frame.Frame {
	p, err := geom.PolygonFromCorners(outline)
	if err != nil {
		panic(err)
	}
	sides := make([]string, len(p.Corners))
	for i := range sides {
		sides[i] = fmt.Sprintf("side %d", i+1)
	}
	return &frame.Frame{Name: "test", Opening: frame.Opening{
		Outline: p, Sides: sides, Open: make([]bool, len(sides)),
		Stations: []frame.Station{{Across: r1.Interval{Lo: right, Hi: left}}},
	}}
}

// crate returns a frame with a box-shaped opening from the origin to size, its width
// from y = 0 to size.Y.
func crate(x, y, z float64) *frame.Frame {
	return openingOf([]r2.Point{{X: 0, Y: 0}, {X: x, Y: 0}, {X: x, Y: z}, {X: 0, Y: z}}, 0, y)
}

// kindOf returns a kind of box that may stand in any way.
func kindOf(name string, count int, l, w, h float64) Kind {
	return Kind{Name: name, Count: count, Size: r3.Vector{X: l, Y: w, Z: h}, Stands: allStands, Tilts: []s1.Angle{0}}
}

// problemOf returns a problem with the given kinds and no required gaps.
func problemOf(f *frame.Frame, kinds ...Kind) Problem {
	return Problem{Frame: f, Pack: &Pack{Name: "test", Kinds: kinds}}
}

// upright places a box level, its top up and its front forward.
func upright(box string, number int, x, y, z float64) Placement {
	return Placement{Box: box, Number: number, Orientation: Orientation{Up: Top, Front: Front}, Centre: r3.Vector{X: x, Y: y, Z: z}}
}

func layoutOf(placements ...Placement) Layout { return Layout{Placements: placements} }

func TestNewProblem(t *testing.T) {
	f, p := crate(100, 100, 100), &Pack{Kinds: []Kind{kindOf("block", 1, 10, 10, 10)}}
	problem, err := NewProblem(f, p)
	require.NoError(t, err)
	require.Equal(t, Problem{Frame: f, Pack: p}, problem)
	require.True(t, problem.AtWorst().Worst)
	require.False(t, problem.Worst)

	_, err = NewProblem(crate(1, 1, 1), &Pack{Kinds: []Kind{kindOf("block", 9, 500, 500, 500)}})
	require.NoError(t, err, "that it cannot fit is an answer, not an error")

	_, err = NewProblem(openingOf(triangle(), 0, 100), p)
	require.NoError(t, err, "three corners are enough")

	bare := *f
	bare.Opening.Stations = nil
	flat := *f
	flat.Opening.Outline.Corners = flat.Opening.Outline.Corners[:2]
	crowd := kindOf("cell", 5000, 1, 1, 1)
	for want, args := range map[string]struct {
		f *frame.Frame
		p *Pack
	}{
		"no frame":          {nil, p},
		"no pack":           {f, nil},
		"no boxes":          {f, &Pack{}},
		"no opening":        {&bare, p},
		"has no opening":    {&flat, p},
		"5000 boxes and po": {f, &Pack{Kinds: []Kind{crowd}}},
	} {
		_, err := NewProblem(args.f, args.p)
		require.ErrorIs(t, err, ErrProblem)
		require.ErrorContains(t, err, want)
	}
}

// 1600 bodies and 900 solids make 1600·(1600 + 900) pairs, which are 4,000,000 exactly.
func TestMostRelations(t *testing.T) {
	const most = 1600
	f := crate(100, 100, 100)
	solid := frame.KeepOut{Box: &frame.Corners{High: r3.Vector{X: 1, Y: 1, Z: 1}}}
	f.KeepOuts = slices.Repeat([]frame.KeepOut{solid}, 900-len(Problem{Frame: f}.Obstacles()))
	posted := func(count int) Kind {
		k := kindOf("posted", count, 1, 1, 1)
		k.Posts = []Post{{Name: "plus"}}
		return k
	}
	for _, kinds := range [][]Kind{
		{kindOf("cell", most, 1, 1, 1)},
		{posted(most / 2)},
		{posted(300), kindOf("cell", most-600, 1, 1, 1)},
	} {
		_, err := NewProblem(f, &Pack{Kinds: kinds})
		require.NoError(t, err)
		kinds = append(kinds, kindOf("one more", 1, 1, 1, 1))
		_, err = NewProblem(f, &Pack{Kinds: kinds})
		require.ErrorIs(t, err, ErrProblem)
		require.ErrorContains(t, err, "1601 boxes and posts and 900 parts of the frame make 4004101 pairs to check, of at most 4000000;")
	}
}

func TestSizesAreThoseOfTheFile(t *testing.T) {
	k := kindOf("block", 1, 190.5, 100.1, 0.0001)
	k.Accuracy, k.Swell = 1, 0.25
	p := problemOf(crate(1, 1, 1), k)
	require.Equal(t, r3.Vector{X: 190.5, Y: 100.1, Z: 0.0001}, p.Size(k))
	require.Equal(t, r3.Vector{X: 191.75, Y: 100.1 + 1.25, Z: 0.0001 + 1.25}, p.AtWorst().Size(k))
}

// cornersOf returns the eight corners of a box by its own numbers, sorted.
func cornersOf(b geom.Box) [][3]float64 {
	var list [][3]float64
	for k := range 8 {
		p := b.Centre
		for i, h := range []float64{b.Half.X, b.Half.Y, b.Half.Z} {
			if k>>i&1 == 1 {
				h = -h
			}
			p = p.Add(b.Axes[i].Mul(h))
		}
		list = append(list, [3]float64{p.X, p.Y, p.Z})
	}
	return sorted(list)
}

func sorted(list [][3]float64) [][3]float64 {
	slices.SortFunc(list, func(a, b [3]float64) int {
		for i := range 3 {
			if math.Abs(a[i]-b[i]) > 1e-7 {
				return cmp.Compare(a[i], b[i])
			}
		}
		return 0
	})
	return list
}

// oracleCorners turns the box between two corners, given from the low corner of a
// case of the given size, about the middle of the case and moves that to centre.
func oracleCorners(m matrix, size, lo, hi [3]float64, centre r3.Vector) [][3]float64 {
	var list [][3]float64
	for k := range 8 {
		var own [3]float64
		for i := range 3 {
			own[i] = lo[i]
			if k>>i&1 == 1 {
				own[i] = hi[i]
			}
			own[i] -= size[i] / 2
		}
		w := m.times(own)
		list = append(list, [3]float64{centre.X + w[0], centre.Y + w[1], centre.Z + w[2]})
	}
	return sorted(list)
}

func requireCorners(t *testing.T, want [][3]float64, got geom.Box, say string) {
	t.Helper()
	for i, c := range cornersOf(got) {
		for k := range 3 {
			require.InDelta(t, want[i][k], c[k], 1e-9, "%s: corner %d", say, i)
		}
	}
}

func TestPostsOnEveryFaceInEveryOrientation(t *testing.T) {
	size := [3]float64{197, 165, 170}
	centre := r3.Vector{X: 103.5, Y: -84, Z: 88.5}
	for _, face := range allFaces {
		k := kindOf("battery", 1, size[0], size[1], size[2])
		k.Posts = []Post{{Name: "plus", Face: face, At: r2.Point{X: 30, Y: 25}, Diameter: 18, Height: 14}}
		// The two coordinates in the face, in the order L, W, H, from the low corner;
		// the bar stands out of the face.
		var lo, hi [3]float64
		out := faceVector(face)
		at := []float64{30, 25}
		for i := range 3 {
			switch {
			case out[i] > 0:
				lo[i], hi[i] = size[i], size[i]+14
			case out[i] < 0:
				lo[i], hi[i] = -14, 0
			default:
				lo[i], hi[i] = at[0]-9, at[0]+9
				at = at[1:]
			}
		}
		for _, o := range orientations() {
			for _, deg := range []float64{0, 12, -40} {
				o.Tilt = s1.Angle(deg) * s1.Degree
				m := rotationOf(t, o.Up, o.Front, deg*math.Pi/180)
				bodies, err := problemOf(crate(1, 1, 1), k).Bodies(Placement{Box: "battery", Number: 1, Orientation: o, Centre: centre})
				require.NoError(t, err)
				say := fmt.Sprintf("post on the %v, %v up, %v in front, %v°", face, o.Up, o.Front, deg)
				requireCorners(t, oracleCorners(m, size, [3]float64{}, size, centre), bodies.Case, say)
				require.Len(t, bodies.Posts, 1)
				requireCorners(t, oracleCorners(m, size, lo, hi, centre), bodies.Posts[0], say)
			}
		}
	}
}

func TestPostsAtTheWorst(t *testing.T) {
	k := kindOf("battery", 1, 200, 100, 150)
	k.Accuracy, k.Swell = 1, 3
	k.Posts = []Post{{Face: Top, At: r2.Point{X: 30, Y: 25}, Diameter: 10, Height: 20}, {Face: Right, At: r2.Point{X: 190, Y: 40}, Diameter: 10}}
	p := problemOf(crate(1, 1, 1), k)
	at := upright("battery", 1, 100, 50, 75) // low corner at the origin, as measured
	measured, err := p.Bodies(at)
	require.NoError(t, err)
	require.Equal(t, geom.BoxFromCorners(r3.Vector{}, r3.Vector{X: 200, Y: 100, Z: 150}), measured.Case)
	require.Equal(t, geom.BoxFromCorners(r3.Vector{X: 25, Y: 20, Z: 150}, r3.Vector{X: 35, Y: 30, Z: 170}), measured.Posts[0])
	require.Equal(t, geom.BoxFromCorners(r3.Vector{X: 185, Y: 0, Z: 35}, r3.Vector{X: 195, Y: 0, Z: 45}), measured.Posts[1], "flush, so flat")

	worst, err := p.AtWorst().Bodies(at)
	require.NoError(t, err)
	require.Equal(t, geom.BoxFromCorners(r3.Vector{X: -2, Y: -2, Z: -2}, r3.Vector{X: 202, Y: 102, Z: 152}), worst.Case)
	require.Equal(t, geom.BoxFromCorners(r3.Vector{X: 21.5, Y: 16.5, Z: 149.5}, r3.Vector{X: 38.5, Y: 33.5, Z: 173}), worst.Posts[0],
		"the face may be half a millimetre nearer to the middle; the post 1 higher, 0.5 thicker, 1 aside, and its corner 2 from where it was")
	require.Equal(t, geom.BoxFromCorners(r3.Vector{X: 181.5, Y: -3, Z: 31.5}, r3.Vector{X: 198.5, Y: 0.5, Z: 48.5}), worst.Posts[1])
}

func TestBodiesOfNoUse(t *testing.T) {
	p := problemOf(crate(1, 1, 1), kindOf("block", 1, 10, 10, 10))
	twisted := upright("block", 1, 0, 0, 0)
	twisted.Front = Bottom
	for want, at := range map[string]Placement{
		"no box":             upright("brick", 1, 0, 0, 0),
		"no orientation":     twisted,
		"[NaN, 0, 0] is not": upright("block", 1, math.NaN(), 0, 0),
		"within 16 m of":     upright("block", 1, 0, 16000.5, 0),
	} {
		_, err := p.Bodies(at)
		require.ErrorContains(t, err, want)
	}
	_, err := p.Bodies(upright("block", 7, 16000, -16000, 16000))
	require.NoError(t, err)
}

func TestWorstTakesTheFrameNearer(t *testing.T) {
	f := crate(100, 100, 100)
	f.Accuracy = 2
	p := problemOf(f, kindOf("block", 1, 10, 10, 10))
	require.Equal(t, f.Obstacles(0), p.Obstacles())
	require.Equal(t, f.Obstacles(2), p.AtWorst().Obstacles())
	require.NotEqual(t, p.Obstacles(), p.AtWorst().Obstacles())
}

// Whether accuracies are given, and the least of them.
func TestAccuracies(t *testing.T) {
	for _, c := range []struct {
		frame float64
		kinds []float64
		given bool
		least float64
	}{
		{0, []float64{0}, false, 0},
		{0.5, []float64{0}, true, 0},
		{0, []float64{0, 0.5}, true, 0},
		{0.25, []float64{0.5, 2}, true, 0.25},
		{2, []float64{0.5, 0.75}, true, 0.5},
	} {
		f := crate(100, 100, 100)
		f.Accuracy = c.frame
		p := problemOf(f)
		for _, a := range c.kinds {
			k := kindOf(sprint(a), 1, 10, 10, 10)
			k.Accuracy, k.Swell = a, 3
			p.Pack.Kinds = append(p.Pack.Kinds, k)
		}
		require.Equal(t, c.given, p.GivesAccuracy())
		require.Equal(t, c.least, p.LeastAccuracy())
	}
}
