package gauge

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/export/drawing"
	"rackwright/export/layoutfile"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// areaOf is that of closed loops, holes taken off.
func areaOf(loops [][]r2.Point) float64 {
	sum := 0.0
	for _, l := range loops {
		for i, p := range l {
			sum += p.Cross(l[(i+1)%len(l)]) / 2
		}
	}
	return sum
}

func rect(x, y, w, h float64) []r2.Point {
	v := r2.RectFromPoints(r2.Point{X: x, Y: y}, r2.Point{X: x + w, Y: y + h}).Vertices()
	return v[:]
}

// Rectangles on whole numbers: the area inside the outline is the number of unit squares
// that one of them covers, counted one by one. They share edges and corners often.
func TestUnionOfRectangles(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 5))
	for range 500 {
		var shapes [][]r2.Point
		covered := map[[2]int]bool{}
		for range 1 + rng.IntN(7) {
			x, y, w, h := rng.IntN(12), rng.IntN(12), 1+rng.IntN(6), 1+rng.IntN(6)
			shapes = append(shapes, rect(float64(x), float64(y), float64(w), float64(h)))
			for i := x; i < x+w; i++ {
				for j := y; j < y+h; j++ {
					covered[[2]int{i, j}] = true
				}
			}
		}
		require.InDelta(t, len(covered), areaOf(union(shapes)), 1e-6, "%v", shapes)
	}
}

// Turned rectangles against counting points of a fine lattice.
func TestUnionOfTurnedRectangles(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 5))
	for range 15 {
		var shapes [][]r2.Point
		for range 1 + rng.IntN(5) {
			sin, cos := math.Sincos(rng.Float64())
			var s []r2.Point
			by := r2.Point{X: 60 * rng.Float64(), Y: 60 * rng.Float64()}
			for _, p := range rect(0, 0, 10+40*rng.Float64(), 10+40*rng.Float64()) {
				s = append(s, r2.Point{X: p.X*cos - p.Y*sin, Y: p.X*sin + p.Y*cos}.Add(by))
			}
			shapes = append(shapes, s)
		}
		count := 0
		const step = 0.5
		for x := -60.0; x < 130; x += step {
			for y := -60.0; y < 150; y += step {
				for _, s := range shapes {
					if depth, _ := depthIn(s, r2.Point{X: x, Y: y}); depth >= 0 {
						count++
						break
					}
				}
			}
		}
		want := float64(count) * step * step
		require.InDelta(t, want, areaOf(union(shapes)), 0.02*want+20)
	}
}

func courier(t *testing.T) (pack.Problem, *frame.Frame) {
	t.Helper()
	open := func(name string) *os.File {
		f, err := os.Open("../../testdata/courier/" + name)
		require.NoError(t, err)
		t.Cleanup(func() { f.Close() })
		return f
	}
	f, err := frame.Read(open("frame.yaml"), "frame.yaml")
	require.NoError(t, err)
	p, err := pack.Read(open("pack.yaml"), "pack.yaml")
	require.NoError(t, err)
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	return problem, f
}

func cuts(d drawing.Drawing) drawing.Drawing {
	var c drawing.Drawing
	for _, p := range d.Paths {
		if p.Layer == drawing.Cut {
			c.Paths = append(c.Paths, p)
		}
	}
	return c
}

// The numbers are those of testdata/courier/frame.yaml.
func TestGaugesHaveTheSizeOfTheOpening(t *testing.T) {
	_, f := courier(t)
	c := cuts(Opening(f))
	require.Len(t, c.Paths, 1)
	require.InDelta(t, f.Opening.Outline.Area(), areaOf([][]r2.Point{c.Paths[0].Points}), 1e-6)
	require.InDelta(t, 470, c.Bounds().Size().X, 1e-9)
	require.InDelta(t, 250, c.Bounds().Size().Y, 1e-9)
	all := Across(f)
	require.Len(t, all, 2)
	low := cuts(all[0]).Bounds().Size()
	require.InDelta(t, 210+40.0/120*40, low.X, 1e-9, "40 mm up, of 120 in which it gets 40 mm wider")
	require.InDelta(t, 40, low.Y, 1e-9)
	require.InDelta(t, 250, cuts(all[1]).Bounds().Size().X, 1e-9)
}

// Of a gauge that is cut out of card no words are lost with what is around it, whatever its
// shape; and a keep-out that is not convex is one outline, as in the file.
func TestWordsOfAGaugeStayOnIt(t *testing.T) {
	for name, corners := range map[string][]r2.Point{
		"a valley":  {{}, {X: 900}, {X: 900, Y: 500}, {X: 450, Y: 200}, {Y: 500}},
		"an L":      {{}, {X: 600}, {X: 600, Y: 150}, {X: 150, Y: 150}, {X: 150, Y: 600}, {Y: 600}},
		"a wedge":   {{}, {X: 500}, {X: 20, Y: 400}, {Y: 400}},
		"an oblong": {{}, {X: 500}, {X: 500, Y: 300}, {Y: 300}},
	} {
		outline, err := geom.PolygonFromCorners(corners)
		require.NoError(t, err)
		f := &frame.Frame{Name: "bike", Opening: frame.Opening{Outline: outline, Stations: []frame.Station{{Across: r1.Interval{Lo: -90, Hi: 90}}}}}
		f.KeepOuts = []frame.KeepOut{{Name: "hook", Profile: &frame.Profile{Across: r1.Interval{Lo: -5, Hi: 5}, Outline: geom.Polygon{Corners: []r2.Point{
			{X: 20, Y: 20}, {X: 60, Y: 20}, {X: 60, Y: 30}, {X: 30, Y: 30}, {X: 30, Y: 60}, {X: 20, Y: 60},
		}}}}}
		d := Opening(f)
		cut := geom.Polygon{Corners: cuts(d).Paths[0].Points}
		require.NotEmpty(t, d.Texts)
		for _, text := range d.Texts {
			for _, q := range text.Area().Vertices() {
				require.True(t, cut.Contains(q), "%s: %s", name, text.Line)
			}
		}
		var dotted [][]r2.Point
		for _, p := range d.Paths {
			if p.Dotted {
				dotted = append(dotted, p.Points)
			}
		}
		require.Len(t, dotted, 1)
		require.InDelta(t, 40*10+10*30, areaOf(dotted), 0.1)
	}
}

// No line runs through the words of a gauge across, wherever its line and the middle are.
func TestNoLineRunsThroughTheWordsOfAGaugeAcross(t *testing.T) {
	outline, err := geom.PolygonFromCorners([]r2.Point{{}, {X: 500}, {X: 500, Y: 300}, {Y: 300}})
	require.NoError(t, err)
	for _, across := range []r1.Interval{{Lo: -90, Hi: 90}, {Lo: -20, Hi: 300}, {Lo: 10, Hi: 200}} {
		for _, z := range [][]float64{{0}, {0, 300}, {150, 160}} {
			f := &frame.Frame{Name: "bike", Opening: frame.Opening{Outline: outline}}
			for _, z := range z {
				f.Opening.Stations = append(f.Opening.Stations, frame.Station{Z: z, Across: across})
			}
			for _, d := range Across(f) {
				require.NotEmpty(t, d.Texts)
				for _, text := range d.Texts {
					bare := drawing.Drawing{Paths: d.Paths}
					require.False(t, bare.Touches(text.Area().ExpandedByMargin(-0.5)), "%q", text.Line)
				}
			}
		}
	}
}

func TestSilhouettesOfABoxWithPosts(t *testing.T) {
	p, _ := courier(t)
	k, _ := p.Kind("cell block")
	pieces, err := OfKind(p, k)
	require.NoError(t, err)
	c := cuts(Row("", pieces))
	require.Len(t, c.Paths, 3)
	// 150 × 112 × 102 with two posts of 12 mm across and 8 mm high.
	require.InDelta(t, 150*102+2*12*8, areaOf([][]r2.Point{c.Paths[0].Points}), 0.01)
	require.InDelta(t, 112*102+2*12*8, areaOf([][]r2.Point{c.Paths[1].Points}), 0.01)
	require.InDelta(t, 150*112, areaOf([][]r2.Point{c.Paths[2].Points}), 0.01)
}

// Derived: a bar of 20 mm across and 100 mm long, lying at 30° in the side view, and
// a tilted box; the shadow of a cylinder across the view is its circle.
func TestShadows(t *testing.T) {
	sin, cos := math.Sincos(math.Pi / 6)
	bar := geom.Cylinder{To: r3.Vector{X: 100 * cos, Z: 100 * sin}, Radius: 10}
	size := r2.RectFromPoints(shadow(side, bar)...).Size()
	require.InDelta(t, 100*cos+20*sin, size.X, 0.02)
	require.InDelta(t, 100*sin+20*cos, size.Y, 0.02)
	motor := geom.Cylinder{From: r3.Vector{Y: -50}, To: r3.Vector{Y: 50}, Radius: 90}
	require.InDelta(t, math.Pi*90*90, areaOf([][]r2.Point{shadow(side, motor)}), 0.001*math.Pi*90*90)
	require.InDelta(t, 100*180, areaOf([][]r2.Point{shadow(top, motor)}), 20)
	o := pack.Orientation{Up: pack.Top, Front: pack.Front, Tilt: s1.Angle(math.Pi / 6)}
	box := geom.Box{Axes: o.Axes(), Half: r3.Vector{X: 50, Y: 30, Z: 20}}
	size = r2.RectFromPoints(shadow(side, box)...).Size()
	require.InDelta(t, 100*cos+40*sin, size.X, 1e-9)
	require.InDelta(t, 60, r2.RectFromPoints(shadow(front, box)...).Size().X, 1e-9)
}

// Every piece of a layout's silhouettes names the boxes that it shows and says where it
// goes; words stay on their piece. The places are those of testdata/courier/layout.yaml,
// worked out by hand from the middle and the size of a box.
func TestSilhouettesOfALayoutAreNamed(t *testing.T) {
	p, _ := courier(t)
	file, err := os.Open("../../testdata/courier/layout.yaml")
	require.NoError(t, err)
	defer file.Close()
	l, err := layoutfile.Read(file, "layout.yaml")
	require.NoError(t, err)
	for v := side; v <= top; v++ {
		shades, err := shadesOf(p, l.Layout, v)
		require.NoError(t, err)
		d := inOpening(p, v, "layout", shades)
		words := map[int]string{}
		for _, text := range d.Texts {
			on := -1
			for i, path := range cuts(d).Paths {
				all := true
				for _, q := range text.Area().Vertices() {
					all = all && geom.Polygon{Corners: path.Points}.Contains(q)
				}
				if all {
					on = i
				}
			}
			if on < 0 {
				require.Contains(t, text.Line, "dotted: the opening", "on no piece")
				continue
			}
			words[on] += text.Line + "\n"
		}
		said := ""
		for i, path := range cuts(d).Paths {
			if (geom.Polygon{Corners: path.Points}).Area() > 0 {
				require.Contains(t, words[i], "mm")
			}
			said += words[i]
		}
		for _, at := range l.Layout.Placements {
			require.Contains(t, said, at.Part().String(), "seen %v", v)
		}
	}
}

// Derived: a box of 100 × 60 × 50 with its middle 20 mm left, in an opening from 0 to 300
// and 100 to 200.
func TestSilhouetteSaysWhereItGoes(t *testing.T) {
	p, l := under(t, r3.Vector{X: 150, Y: 20, Z: 140}, 0)
	d, _, err := OfLayout(p, l, "layout")
	require.NoError(t, err)
	var lines []string
	for _, text := range d.Texts {
		lines = append(lines, text.Line)
	}
	require.Subset(t, lines, []string{
		"box 1", "rear end 100 mm from the rear", "lower edge 15 mm above the floor",
		"right side: 10 mm right of the middle", "right side: 10 mm right of the middle",
	})
}

// A plain rectangle that is larger than a sheet is told in words, with its size; what fits one, or has
// another shape, is drawn.
func TestLargeRectanglesAreToldInWords(t *testing.T) {
	box := func(at, half r3.Vector) geom.Solid {
		return geom.Box{Centre: at, Axes: pack.Orientation{Up: pack.Top}.Axes(), Half: half}
	}
	a4 := drawing.Papers[0]
	for _, c := range []struct {
		solids []geom.Solid
		words  [3]bool // from the right, from the front, from above
	}{
		{[]geom.Solid{box(r3.Vector{}, r3.Vector{X: 400, Y: 100, Z: 10})}, [3]bool{true, false, true}},
		{[]geom.Solid{box(r3.Vector{}, r3.Vector{X: 400, Y: 100, Z: 10}), box(r3.Vector{Z: 20}, r3.Vector{X: 300, Y: 100, Z: 10})}, [3]bool{false, false, true}},
		{[]geom.Solid{geom.Cylinder{From: r3.Vector{X: -400}, To: r3.Vector{X: 400}, Radius: 150}}, [3]bool{true, false, true}},
	} {
		for v, d := range Silhouettes("beam", c.solids, len(c.solids), geom.Millimetre) {
			words, ok := InWords(d, a4)
			require.Equal(t, c.words[v], ok, "%v of %v", view(v), c.solids)
			if ok {
				text := ""
				for _, line := range words.Texts {
					text += line.Line + " "
				}
				require.Contains(t, text, "beam seen "+view(v).String())
				require.Contains(t, text, "800 mm × ")
				require.True(t, a4.Takes(words))
			}
		}
	}
}
