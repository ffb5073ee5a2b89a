// Package kit has what tests of the search build problems from.
package kit

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// Opening is a frame with an outline and a width and nothing else.
func Opening(across r1.Interval, corners ...r2.Point) *frame.Frame {
	p, err := geom.PolygonFromCorners(corners)
	if err != nil {
		panic(err)
	}
	return &frame.Frame{Opening: frame.Opening{
		Outline: p, Stations: []frame.Station{{Across: across}}, Metal: true,
	}}
}

// Chest is a box-shaped opening.
func Chest(x, y, z float64) *frame.Frame {
	return Opening(r1.Interval{Lo: 0, Hi: y}, r2.Point{}, r2.Point{X: x}, r2.Point{X: x, Y: z}, r2.Point{Y: z})
}

// Triangle is a side view with a base on the floor and a tip above it, wide enough
// across for boxes 10,000 deep.
func Triangle(base, tipX, height float64) *frame.Frame {
	return Opening(r1.Interval{Lo: -8000, Hi: 8000}, r2.Point{}, r2.Point{X: base}, r2.Point{X: tipX, Y: height})
}

var anyStand = []pack.Stand{pack.Upright, pack.OnSide, pack.OnEnd, pack.Inverted}

// Boxes is a kind that may stand in any way; upright gives one that may not.
func Boxes(name string, count int, l, w, h float64) pack.Kind {
	return pack.Kind{
		Name: name, Count: count, Size: r3.Vector{X: l, Y: w, Z: h},
		Stands: anyStand, Tilts: []s1.Angle{0},
	}
}

func Upright(k pack.Kind) pack.Kind {
	k.Stands = []pack.Stand{pack.Upright}
	return k
}

// NoGaps is a problem without gaps.
func NoGaps(f *frame.Frame, kinds ...pack.Kind) pack.Problem {
	return pack.Problem{Frame: f, Pack: &pack.Pack{Kinds: kinds}}
}

// Slanted is a small everyday problem: a slanted opening with a tube, a drum and a
// box in it, and posts.
func Slanted(count int) pack.Problem {
	f := Opening(r1.Interval{Lo: -140, Hi: 140}, r2.Point{}, r2.Point{X: 420}, r2.Point{X: 620, Y: 380}, r2.Point{X: 60, Y: 460})
	f.Rails = []frame.Rail{{Name: "tube", Path: []r3.Vector{{X: 300, Y: -160, Z: 330}, {X: 300, Y: 160, Z: 330}}, Diameter: 30}}
	f.KeepOuts = []frame.KeepOut{
		{Name: "drum", Metal: true, Round: &frame.Round{From: r3.Vector{X: 40, Y: -60, Z: 20}, To: r3.Vector{X: 40, Y: 60, Z: 20}, Diameter: 120}},
		{Name: "lug", Metal: true, Box: &frame.Corners{Low: r3.Vector{X: 380, Y: -20, Z: 0}, High: r3.Vector{X: 420, Y: 20, Z: 60}}},
	}
	k := Boxes("battery", count, 181, 77, 167)
	k.Posts = []pack.Post{{Name: "plus", Face: pack.Top, At: r2.Point{X: 20, Y: 20}, Diameter: 16, Height: 10}}
	return pack.Problem{Frame: f, Pack: &pack.Pack{Gaps: pack.DefaultGaps(), Kinds: []pack.Kind{k}}}
}

// WithPosts is a problem with posts, a tube and a drum.
func WithPosts() pack.Problem {
	f := Chest(600, 400, 300)
	f.Opening.Sides = []string{"floor", "front", "top", "rear"}
	f.Opening.Open = []bool{false, false, true, false}
	f.Rails = []frame.Rail{{Name: "stay", Path: []r3.Vector{{X: 0, Y: 30, Z: 0}, {X: 200, Y: 60, Z: 300}}, Diameter: 30}}
	f.KeepOuts = []frame.KeepOut{
		{Name: "relay", Box: &frame.Corners{Low: r3.Vector{X: 500, Y: 0, Z: 0}, High: r3.Vector{X: 600, Y: 90, Z: 120}}},
		{Name: "drum", Round: &frame.Round{From: r3.Vector{X: 300, Y: 300, Z: 40}, To: r3.Vector{X: 300, Y: 400, Z: 40}, Diameter: 80}},
	}
	k := Boxes("block", 2, 120, 70, 90)
	k.Posts = []pack.Post{
		{Face: pack.Top, At: r2.Point{X: 20, Y: 35}, Diameter: 12, Height: 6},
		{Face: pack.Front, At: r2.Point{X: 35, Y: 45}, Diameter: 12, Height: 6},
	}
	return NoGaps(f, k)
}

// Roomy tells whether geom measures, of two boxes of a layout, that tools of a diameter and a
// length over their posts have their room: from what of the frame never comes off, and, over the
// posts of one of the two, from the other's case.
func Roomy(p pack.Problem, diameter, length float64, l pack.Layout) bool {
	blocked := [2]bool{}
	for i, at := range l.Placements {
		other, err := p.Bodies(l.Placements[1-i])
		if err != nil {
			panic(err)
		}
		for _, room := range toolRooms(p, diameter, length, at) {
			for _, o := range p.Obstacles() {
				stays := !o.Open && !o.Removable && !o.LiftsOff && o.Kind != frame.Width
				if stays && geom.Distance(room, o.Solid) < -1e-6 {
					return false
				}
			}
			blocked[i] = blocked[i] || geom.Distance(room, other.Case) < -1e-6
		}
	}
	return !blocked[0] || !blocked[1]
}

// toolRooms are square bars around the tools over the posts of a placed box.
func toolRooms(p pack.Problem, diameter, length float64, at pack.Placement) []geom.Box {
	kind, _ := p.Kind(at.Box)
	bodies, err := p.Bodies(at)
	if err != nil {
		panic(err)
	}
	var rooms []geom.Box
	for n, post := range bodies.Posts {
		own := kind.Posts[n].Face.Normal()
		out := post.Axes[0].Mul(own.X).Add(post.Axes[1].Mul(own.Y)).Add(post.Axes[2].Mul(own.Z))
		half := r3.Vector{X: diameter / 2, Y: diameter / 2, Z: diameter / 2}
		room := geom.Box{
			Centre: post.Centre.Add(out.Mul(post.Half.Dot(own.Abs()) + length/2)), Axes: post.Axes,
			Half: half.Add(own.Abs().Mul((length - diameter) / 2)),
		}
		rooms = append(rooms, room)
	}
	return rooms
}

// InRow is two boxes 100 by 110 by 40 mm in a chest 260 mm long, each with two posts, 6 mm high,
// beside each other.
func InRow(across, high float64) pack.Problem {
	k := Upright(Boxes("block", 2, 100, 110, 40))
	for _, y := range []float64{50, 60} {
		k.Posts = append(k.Posts, pack.Post{Face: pack.Front, At: r2.Point{X: y, Y: 20}, Diameter: 10, Height: 6})
	}
	f := Chest(260, across, high)
	f.Opening.Open = []bool{true, true, true, true}
	return NoGaps(f, k)
}

// Example is a problem of the folder of examples.
func Example(tb testing.TB, frameFile, packFile string) pack.Problem {
	tb.Helper()
	f, err := frame.Read(open(tb, frameFile), frameFile)
	require.NoError(tb, err)
	k, err := pack.Read(open(tb, packFile), packFile)
	require.NoError(tb, err)
	p, err := pack.NewProblem(f, k)
	require.NoError(tb, err)
	return p
}

// open opens an example, from whichever package of the module.
func open(tb testing.TB, name string) *os.File {
	tb.Helper()
	top, err := os.Getwd()
	require.NoError(tb, err)
	for {
		if _, err := os.Stat(filepath.Join(top, "go.mod")); err == nil {
			break
		}
		require.NotEqual(tb, filepath.Dir(top), top, "not within the module")
		top = filepath.Dir(top)
	}
	file, err := os.Open(filepath.Join(top, "testdata", name))
	require.NoError(tb, err)
	tb.Cleanup(func() { file.Close() })
	return file
}

// Rectangles puts each rectangle into the side view, as a box as deep as the opening,
// which only stands one way.
func Rectangles(t testing.TB, sizes string) pack.Problem {
	const side, deep = 20, 25
	f := Opening(r1.Interval{Lo: 0, Hi: deep}, r2.Point{}, r2.Point{X: side}, r2.Point{X: side, Y: side}, r2.Point{Y: side})
	var kinds []pack.Kind
	for len(sizes) > 0 {
		var w, h int
		n, err := fmt.Sscanf(sizes, "%dx%d", &w, &h)
		require.NoError(t, err)
		require.Equal(t, 2, n)
		kinds = append(kinds, Upright(Boxes(fmt.Sprint("r", len(kinds)), 1, float64(w), deep, float64(h))))
		sizes = sizes[min(len(sizes), len(fmt.Sprintf("%dx%d ", w, h))):]
	}
	return NoGaps(f, kinds...)
}
