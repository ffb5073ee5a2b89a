package pack

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"rackwright/frame"
	"rackwright/geom"
)

// Everything drawn is a multiple of 1/8 mm, so that nothing is snapped.
func eighths(lo, hi int) *rapid.Generator[float64] {
	return rapid.Map(rapid.IntRange(8*lo, 8*hi), func(n int) float64 { return float64(n) / 8 })
}

func points(lo, hi int) *rapid.Generator[r3.Vector] {
	return rapid.Custom(func(t *rapid.T) r3.Vector {
		c := eighths(lo, hi)
		return r3.Vector{X: c.Draw(t, "x"), Y: c.Draw(t, "y"), Z: c.Draw(t, "z")}
	})
}

// outlines holds convex and notched side views about 600 mm wide.
var outlines = [][]r2.Point{
	{{X: 0, Y: 0}, {X: 600, Y: 0}, {X: 600, Y: 400}, {X: 0, Y: 400}},
	{{X: 0, Y: 0}, {X: 420, Y: 0}, {X: 620, Y: 380}, {X: 60, Y: 460}},
	{{X: 0, Y: 0}, {X: 600, Y: 0}, {X: 300, Y: 400}},
	{{X: 0, Y: 0}, {X: 600, Y: 0}, {X: 600, Y: 400}, {X: 350, Y: 400}, {X: 350, Y: 250}, {X: 0, Y: 250}},
	{{X: 0, Y: 0}, {X: 600, Y: 0}, {X: 600, Y: 400}, {X: 400, Y: 400}, {X: 400, Y: 250}, {X: 200, Y: 250}, {X: 200, Y: 400}, {X: 0, Y: 400}},
	{{X: 0, Y: 0}, {X: 300, Y: 60}, {X: 600, Y: 0}, {X: 560, Y: 420}, {X: 200, Y: 460}, {X: 240, Y: 300}, {X: -40, Y: 330}},
}

func ownGap(t *rapid.T) *float64 {
	if !rapid.Bool().Draw(t, "own gap?") {
		return nil
	}
	g := eighths(0, 40).Draw(t, "own gap")
	return &g
}

func drawFrame(t *rapid.T) *frame.Frame {
	f := openingOf(rapid.SampledFrom(outlines).Draw(t, "outline"), -150, 130)
	f.Accuracy = eighths(0, 3).Draw(t, "accuracy")
	f.Opening.Metal = rapid.Bool().Draw(t, "metal")
	for i := range rapid.IntRange(0, 2).Draw(t, "rails") {
		path := rapid.SliceOfNDistinct(points(-100, 600), 2, 3, rapid.ID[r3.Vector]).Draw(t, "path")
		f.Rails = append(f.Rails, frame.Rail{
			Name: fmt.Sprint("rail ", i), Path: path, Diameter: eighths(10, 50).Draw(t, "diameter"), Gap: ownGap(t),
		})
	}
	for i := range rapid.IntRange(0, 2).Draw(t, "keep-outs") {
		low := points(-100, 500).Draw(t, "low")
		f.KeepOuts = append(f.KeepOuts, frame.KeepOut{
			Name: fmt.Sprint("keep-out ", i), Metal: rapid.Bool().Draw(t, "metal"), Gap: ownGap(t),
			Box: &frame.Corners{Low: low, High: low.Add(points(1, 200).Draw(t, "size"))},
		})
	}
	return f
}

func drawKind(t *rapid.T, name string) Kind {
	size := points(40, 250).Draw(t, "size")
	k := kindOf(name, rapid.IntRange(1, 3).Draw(t, "count"), size.X, size.Y, size.Z)
	k.Accuracy, k.Swell = eighths(0, 3).Draw(t, "accuracy"), eighths(0, 3).Draw(t, "swell")
	k.Tilts = []s1.Angle{0, 12 * s1.Degree, -20 * s1.Degree, 30 * s1.Degree}
	for i := range rapid.IntRange(0, 2).Draw(t, "posts") {
		k.Posts = append(k.Posts, Post{
			Name: fmt.Sprint("post ", i), Face: rapid.SampledFrom(allFaces).Draw(t, "face"),
			At: r2.Point{X: eighths(10, 40).Draw(t, "at"), Y: eighths(10, 40).Draw(t, "at")}, Diameter: eighths(4, 18).Draw(t, "diameter"),
			Height: eighths(0, 20).Draw(t, "height"),
		})
	}
	return k
}

// drawProblem draws a problem and a layout of all its boxes, anywhere.
func drawProblem(t *rapid.T) (Problem, Layout) {
	p := problemOf(drawFrame(t), drawKind(t, "battery"), drawKind(t, "charger"))
	gap := eighths(0, 30)
	p.Pack.Gaps = Gaps{
		Beside: gap.Draw(t, "beside"), Above: gap.Draw(t, "above"), Wall: gap.Draw(t, "wall"), Rail: gap.Draw(t, "rail"),
		KeepOut: gap.Draw(t, "keepout"), Post: gap.Draw(t, "post"), Boot: gap.Draw(t, "boot"),
	}
	var layout Layout
	for _, k := range p.Pack.Kinds {
		for n := range k.Count {
			o := rapid.SampledFrom(orientations()).Draw(t, "orientation")
			o.Tilt = rapid.SampledFrom(k.Tilts).Draw(t, "tilt")
			layout.Placements = append(layout.Placements, Placement{
				Box: k.Name, Number: n + 1, Orientation: o, Centre: points(-100, 600).Draw(t, "centre"),
			})
		}
	}
	return p, layout
}

// lefts returns what is left of every relation, by its parts and its rule. The
// clearances of relations in several directions may tie, so they are not compared.
func lefts(r Report) map[string]float64 {
	m := map[string]float64{}
	for _, n := range r.Relations {
		a, b := n.A.String(), n.B.String()
		if a > b && n.B.Obstacle == "" {
			a, b = b, a
		}
		m[fmt.Sprint(a, ", ", b, ", ", n.Rule >= RailGap && n.Rule != PostGap)] = n.Left
	}
	return m
}

func requireSameLefts(t *rapid.T, want, got Report, tolerance float64) {
	a, b := lefts(want), lefts(got)
	require.Equal(t, len(want.Relations), len(got.Relations))
	require.Equal(t, len(a), len(b))
	for name := range a {
		require.Contains(t, b, name)
		require.InDelta(t, a[name], b[name], tolerance, name)
	}
	if !math.IsInf(want.Spare, 0) {
		require.InDelta(t, want.Spare, got.Spare, tolerance)
	}
}

func TestSpareIsTheLeastLeft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Check(drawProblem(t))
		require.Empty(t, r.Faults)
		least := math.Inf(1)
		for _, n := range r.Relations {
			least = math.Min(least, n.Left)
			require.Equal(t, n.Gap-n.Required, n.Left)
			require.GreaterOrEqual(t, n.Distance, n.Gap-geom.Tolerance, "%v and %v", n.A, n.B)
		}
		require.Equal(t, least, r.Spare)
	})
}

func TestOrderOfPlacementsChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, layout := drawProblem(t)
		shuffled := Layout{Placements: rapid.Permutation(layout.Placements).Draw(t, "order")}
		require.Equal(t, Check(p, layout), Check(p, shuffled))
	})
}

func TestOrderOfKindsChangesNoFigure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, layout := drawProblem(t)
		q := p
		changed := *p.Pack
		changed.Kinds = slices.Clone(p.Pack.Kinds)
		slices.Reverse(changed.Kinds)
		q.Pack = &changed
		requireSameLefts(t, Check(p, layout), Check(q, layout), 0)
	})
}

// moved returns the frame moved by d.
func movedFrame(f *frame.Frame, d r3.Vector) *frame.Frame {
	g := *f
	g.Opening.Outline.Corners = nil
	for _, c := range f.Opening.Outline.Corners {
		g.Opening.Outline.Corners = append(g.Opening.Outline.Corners, c.Add(r2.Point{X: d.X, Y: d.Z}))
	}
	g.Opening.Stations = nil
	for _, s := range f.Opening.Stations {
		g.Opening.Stations = append(g.Opening.Stations, frame.Station{Z: s.Z + d.Z, Across: r1.Interval{Lo: s.Across.Lo + d.Y, Hi: s.Across.Hi + d.Y}})
	}
	g.Rails = nil
	for _, r := range f.Rails {
		path := r.Path
		r.Path = nil
		for _, c := range path {
			r.Path = append(r.Path, c.Add(d))
		}
		g.Rails = append(g.Rails, r)
	}
	g.KeepOuts = nil
	for _, k := range f.KeepOuts {
		k.Box = &frame.Corners{Low: k.Box.Low.Add(d), High: k.Box.High.Add(d)}
		g.KeepOuts = append(g.KeepOuts, k)
	}
	return &g
}

func TestMovingAllTogetherChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, layout := drawProblem(t)
		d := points(-1000, 1000).Draw(t, "by")
		q := p
		q.Frame = movedFrame(p.Frame, d)
		placements := slices.Clone(layout.Placements)
		for i := range placements {
			placements[i].Centre = placements[i].Centre.Add(d)
		}
		requireSameLefts(t, Check(p, layout), Check(q, layoutOf(placements...)), 1e-8)
	})
}

func mirrored(v r3.Vector) r3.Vector { return r3.Vector{X: v.X, Y: -v.Y, Z: v.Z} }

// mirroredFace is the face of the mirrored box that stands for f: left and right
// change places.
func mirroredFace(f Face) Face {
	if f == Left || f == Right {
		return f.Opposite()
	}
	return f
}

func TestMirrorImageHasTheSameFigures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, layout := drawProblem(t)
		f := *p.Frame
		f.Opening.Stations = nil
		for _, s := range p.Frame.Opening.Stations {
			f.Opening.Stations = append(f.Opening.Stations, frame.Station{Z: s.Z, Across: r1.Interval{Lo: -s.Across.Hi, Hi: -s.Across.Lo}})
		}
		f.Rails, f.KeepOuts = nil, nil
		for _, r := range p.Frame.Rails {
			path := r.Path
			r.Path = nil
			for _, c := range path {
				r.Path = append(r.Path, mirrored(c))
			}
			f.Rails = append(f.Rails, r)
		}
		for _, k := range p.Frame.KeepOuts {
			a, b := k.Box.Low, k.Box.High
			k.Box = &frame.Corners{Low: r3.Vector{X: a.X, Y: -b.Y, Z: a.Z}, High: r3.Vector{X: b.X, Y: -a.Y, Z: b.Z}}
			f.KeepOuts = append(f.KeepOuts, k)
		}
		pk := *p.Pack
		pk.Kinds = nil
		for _, k := range p.Pack.Kinds {
			posts := k.Posts
			k.Posts = nil
			for _, post := range posts {
				post.Face = mirroredFace(post.Face)
				switch post.Face.Axis() {
				case 0:
					post.At.X = k.Size.Y - post.At.X
				case 2:
					post.At.Y = k.Size.Y - post.At.Y
				}
				k.Posts = append(k.Posts, post)
			}
			pk.Kinds = append(pk.Kinds, k)
		}
		var image Layout
		for _, pl := range layout.Placements {
			pl.Up, pl.Front, pl.Centre = mirroredFace(pl.Up), mirroredFace(pl.Front), mirrored(pl.Centre)
			image.Placements = append(image.Placements, pl)
		}
		want, got := Check(p, layout), Check(Problem{Frame: &f, Pack: &pk}, image)
		require.InDelta(t, want.Spare, got.Spare, 1e-9)
		// The limits of the width change names.
		swap := func(n Part) Part {
			switch n.Obstacle {
			case "width left":
				n.Obstacle = "width right"
			case "width right":
				n.Obstacle = "width left"
			}
			return n
		}
		for i := range got.Relations {
			got.Relations[i].B = swap(got.Relations[i].B)
		}
		requireSameLefts(t, want, got, 1e-9)
	})
}

func TestALargerOpeningNeverLowersTheSpare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, layout := drawProblem(t)
		larger := p
		f := *p.Frame
		s := f.Opening.Stations[0]
		s.Across.Lo -= eighths(0, 50).Draw(t, "right")
		s.Across.Hi += eighths(0, 50).Draw(t, "left")
		f.Opening.Stations = []frame.Station{s}
		if f.Opening.Outline.IsConvex() {
			out, ok := f.Opening.Outline.Offset(eighths(1, 50).Draw(t, "out"))
			require.True(t, ok)
			f.Opening.Outline = out
		}
		larger.Frame = &f
		require.GreaterOrEqual(t, Check(larger, layout).Spare, Check(p, layout).Spare-geom.Tolerance)
	})
}

// At the worst every body contains the measured one, so all only gets nearer.
func TestTheWorstNeverRaisesTheSpare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, layout := drawProblem(t)
		measured, worst := Check(p, layout), Check(p.AtWorst(), layout)
		of := lefts(measured)
		require.Len(t, lefts(worst), len(of))
		for name, left := range lefts(worst) {
			require.LessOrEqual(t, left, of[name]+geom.Tolerance, name)
		}
		require.LessOrEqual(t, worst.Spare, measured.Spare+geom.Tolerance)
	})
}

func TestOneMoreKeepOutNeverRaisesTheSpare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, layout := drawProblem(t)
		f := *p.Frame
		low := points(-100, 500).Draw(t, "low")
		f.KeepOuts = append(slices.Clone(f.KeepOuts), frame.KeepOut{Name: "more", Box: &frame.Corners{Low: low, High: low.Add(points(1, 200).Draw(t, "size"))}})
		q := p
		q.Frame = &f
		require.LessOrEqual(t, Check(q, layout).Spare, Check(p, layout).Spare)
	})
}

func TestMoreRequiredLeavesLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, layout := drawProblem(t)
		g := p.Pack.Gaps
		more := eighths(0, 20)
		g.Beside += more.Draw(t, "beside")
		g.Above += more.Draw(t, "above")
		g.Wall += more.Draw(t, "wall")
		g.Rail += more.Draw(t, "rail")
		g.KeepOut += more.Draw(t, "keepout")
		g.Post += more.Draw(t, "post")
		g.Boot += more.Draw(t, "boot")
		require.LessOrEqual(t, Check(withGaps(p, g), layout).Spare, Check(p, layout).Spare)
	})
}
