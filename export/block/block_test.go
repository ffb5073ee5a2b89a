package block

import (
	"bytes"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/export"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// volume of a regular polygon of corners on a circle, swept by h. Derived.
func swept(radius, h float64, corners int) float64 {
	n := float64(corners)
	return n / 2 * radius * radius * math.Sin(2*math.Pi/n) * h
}

func TestBlockIsWatertightAndAsLargeAsTheBox(t *testing.T) {
	k := pack.Kind{Name: "battery", Count: 1, Size: r3.Vector{X: 197, Y: 165, Z: 170}, Posts: []pack.Post{
		{Face: pack.Top, At: r2.Point{X: 30, Y: 25}, Diameter: 18, Height: 18},
		{Face: pack.Top, At: r2.Point{X: 167, Y: 25}, Diameter: 16, Height: 18},
		{Face: pack.Left, At: r2.Point{X: 20, Y: 30}, Diameter: 12},
	}}
	mesh, err := OfKind(k)
	require.NoError(t, err)
	want := 197.0*165*170 + swept(9, 18, postCorners) + swept(8, 18, postCorners) - swept(6, dent, postCorners)
	require.InDelta(t, want, mesh.Volume(), 1e-3)
	requireSound(t, mesh, want, 1)
}

// The two coordinates of a post run from the low corner of the box, in the order L, W, H.
func TestPostsStandWhereTheFileSays(t *testing.T) {
	for face, want := range map[pack.Face]r3.Vector{
		pack.Top: {X: 30, Y: 20, Z: 60}, pack.Bottom: {X: 30, Y: 20, Z: -10},
		pack.Front: {X: 110, Y: 30, Z: 20}, pack.Back: {X: -10, Y: 30, Z: 20},
		pack.Left: {X: 30, Y: 90, Z: 20}, pack.Right: {X: 30, Y: -10, Z: 20},
	} {
		mesh, err := OfKind(pack.Kind{Name: "b", Size: r3.Vector{X: 100, Y: 80, Z: 50}, Posts: []pack.Post{
			{Face: face, At: r2.Point{X: 30, Y: 20}, Diameter: 10, Height: 10},
		}})
		require.NoError(t, err)
		lo, hi := want.Add(r3.Vector{X: 1e9, Y: 1e9, Z: 1e9}), want.Sub(r3.Vector{X: 1e9, Y: 1e9, Z: 1e9})
		for _, tri := range mesh.Triangles {
			for _, v := range tri {
				if v.Sub(want).Dot(face.Normal()) > -1e-9 { // of the end of the post
					lo = r3.Vector{X: min(lo.X, v.X), Y: min(lo.Y, v.Y), Z: min(lo.Z, v.Z)}
					hi = r3.Vector{X: max(hi.X, v.X), Y: max(hi.Y, v.Y), Z: max(hi.Z, v.Z)}
				}
			}
		}
		require.InDelta(t, 0, lo.Add(hi).Mul(0.5).Sub(want).Norm(), 1e-9, "%v: the middle of the end", face)
	}
}

// A post as wide as its face, and one that stands on a wider one, are one body with the
// block; two that reach into each other are not. Derived.
func TestPostsAreOneBodyWithTheBlock(t *testing.T) {
	k := pack.Kind{Name: "b", Size: r3.Vector{X: 60, Y: 40, Z: 50}, Posts: []pack.Post{
		{Face: pack.Front, At: r2.Point{X: 20, Y: 25}, Diameter: 40, Height: 8},
		{Face: pack.Top, At: r2.Point{X: 32, Y: 21}, Diameter: 8, Height: 12},
		{Face: pack.Top, At: r2.Point{X: 30, Y: 20}, Diameter: 20, Height: 3},
	}}
	mesh, err := OfKind(k)
	require.NoError(t, err)
	want := 60.0*40*50 + swept(20, 8, postCorners) + swept(10, 3, postCorners) + swept(4, 9, postCorners)
	requireSound(t, mesh, mesh.Volume(), 1)
	require.InDelta(t, want, mesh.Volume(), 25, "a hair is 0.02 mm around")
	k.Posts = append(k.Posts, pack.Post{Face: pack.Top, At: r2.Point{X: 42, Y: 20}, Diameter: 12, Height: 6})
	pieces, err := Pieces(k, Print{})
	require.NoError(t, err)
	require.Equal(t, 2, pieces[0].Parts)
	requireSound(t, pieces[0].Mesh, pieces[0].Mesh.Volume(), 2)
}

// A post within a wider and higher one is inside of it, and makes no hole in its end; one
// within a flush one stands in its dent. Derived.
func TestALowerPostWithinAHigherOneIsInsideIt(t *testing.T) {
	post := func(diameter, height float64) pack.Post {
		return pack.Post{Face: pack.Top, At: r2.Point{X: 30, Y: 20}, Diameter: diameter, Height: height}
	}
	for _, low := range []float64{0, 4, 10} {
		k := pack.Kind{Name: "b", Size: r3.Vector{X: 60, Y: 40, Z: 50}, Posts: []pack.Post{post(8, low), post(20, 10)}}
		mesh, err := OfKind(k)
		require.NoError(t, err)
		requireSound(t, mesh, 60*40*50+swept(10, 10, postCorners), 1)
	}
	mesh, err := OfKind(pack.Kind{Name: "b", Size: r3.Vector{X: 60, Y: 40, Z: 50}, Posts: []pack.Post{post(8, 5), post(20, 0)}})
	require.NoError(t, err)
	requireSound(t, mesh, 60*40*50-swept(10, dent, postCorners)+swept(4, 5+dent, postCorners), 1)
}

func TestAHoleOutsideOfItsFaceIsAnError(t *testing.T) {
	square := func(low, high float64) []r2.Point {
		return []r2.Point{{X: low, Y: low}, {X: high, Y: low}, {X: high, Y: high}, {X: low, Y: high}}
	}
	_, err := triangulate(square(0, 9), [][]r2.Point{square(3, 6)})
	require.NoError(t, err)
	_, err = triangulate(square(0, 9), [][]r2.Point{square(10, 12)})
	require.ErrorIs(t, err, ErrMesh)
	_, err = triangulate(square(0, 9), [][]r2.Point{square(-1, 10)})
	require.ErrorIs(t, err, ErrMesh)
}

func TestRandomBlocks(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	for range 40 {
		k := pack.Kind{Name: "b", Size: r3.Vector{X: float64(1 + rng.IntN(300)), Y: float64(1 + rng.IntN(300)), Z: float64(1 + rng.IntN(300))}}
		for range rng.IntN(5) {
			face := pack.Face(rng.IntN(6))
			f := faceOf(k.Size, face)
			at := r2.Point{X: f.size.X * rng.Float64(), Y: f.size.Y * rng.Float64()}
			if f.swap {
				at.X, at.Y = at.Y, at.X
			}
			k.Posts = append(k.Posts, pack.Post{Face: face, At: at, Diameter: 1 + 30*rng.Float64(), Height: float64(rng.IntN(2)) * 12})
		}
		mesh, err := OfKind(k)
		require.NoError(t, err, "%+v", k)
		requireSound(t, mesh, mesh.Volume(), 0)
	}
}

func TestLayoutHoldsBoxesRailsAndKeepOuts(t *testing.T) {
	outline, err := geom.PolygonFromCorners([]r2.Point{{}, {X: 400}, {X: 400, Y: 300}, {Y: 300}})
	require.NoError(t, err)
	tank, err := geom.PolygonFromCorners([]r2.Point{{X: 10, Y: 200}, {X: 110, Y: 200}, {X: 10, Y: 260}})
	require.NoError(t, err)
	p := pack.Problem{
		Frame: &frame.Frame{
			Opening: frame.Opening{Outline: outline, Stations: []frame.Station{{Across: r1.Interval{Lo: -100, Hi: 100}}}},
			Rails:   []frame.Rail{{Name: "bar", Path: []r3.Vector{{X: 350, Y: -50}, {X: 350, Y: 50}}, Diameter: 30}},
			KeepOuts: []frame.KeepOut{
				{Name: "tank", Profile: &frame.Profile{Outline: tank, Across: r1.Interval{Lo: -30, Hi: 50}}},
				{Name: "lug", Box: &frame.Corners{Low: r3.Vector{X: 5, Y: 5, Z: 5}, High: r3.Vector{X: 15, Y: 25, Z: 35}}},
				{Name: "motor", Round: &frame.Round{From: r3.Vector{Z: 50}, To: r3.Vector{X: 10, Z: 50}, Diameter: 20}},
			},
		},
		Pack: &pack.Pack{Kinds: []pack.Kind{{Name: "box", Count: 1, Size: r3.Vector{X: 100, Y: 50, Z: 70}}}},
	}
	layout := pack.Layout{Placements: []pack.Placement{{
		Box: "box", Number: 1, Orientation: pack.Orientation{Up: pack.Left, Front: pack.Top, Tilt: 0.2}, Centre: r3.Vector{X: 200, Y: 3, Z: 150},
	}}}
	mesh, err := OfLayout(p, layout)
	require.NoError(t, err)
	want := 100.0*50*70 + swept(15, 100, barCorners) + 100*60/2*80 + 10*20*30 + swept(10, 10, barCorners)
	require.InDelta(t, want, mesh.Volume(), 1e-3*want)
	requireSound(t, mesh, mesh.Volume(), 5)

	files, err := Files(p, []export.Judged{{Layout: layout}})
	require.NoError(t, err)
	require.Len(t, files, 1)
	require.Equal(t, "layout-1.stl", files[0].Name)
}

// Two bars of 20 square that cross, which share a cube: one surface, counted by admesh. Derived.
func TestWhatMeetsInTheFrameIsOneSurface(t *testing.T) {
	p, l, _ := withLug(t, r3.Vector{X: 120, Y: 100, Z: -140})
	p.Frame.KeepOuts = []frame.KeepOut{
		{Name: "along", Box: &frame.Corners{Low: r3.Vector{X: -200, Y: 90, Z: -140}, High: r3.Vector{X: 200, Y: 110, Z: -120}}},
		{Name: "across", Box: &frame.Corners{Low: r3.Vector{X: 120, Y: -140, Z: -140}, High: r3.Vector{X: 140, Y: 140, Z: -120}}},
	}
	mesh, err := OfLayout(p, l)
	require.NoError(t, err)
	requireSound(t, mesh, 200*100*100+400*400+280*400-8000, 2)
}

func TestNoFileOfWhatIsNoNumber(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), 1e300} {
		m := Mesh{Triangles: [][3]r3.Vector{{{X: x}, {Y: 1}, {Z: 1}}}}
		require.ErrorIs(t, m.WriteSTL(&bytes.Buffer{}, "bad"), ErrMesh)
	}
}

// requireSound checks the file by its size (Burns, Automated Fabrication 1993, §6.5:
// 84 + 50 n bytes), that every edge is shared by two facets, once each way, and by
// admesh: nothing to repair, and the volume.
func requireSound(t *testing.T, m Mesh, volume float64, parts int) {
	t.Helper()
	requireClosed(t, m)
	requireFile(t, m, volume, parts)
}

// requireClosed checks that every edge is shared by two facets, once each way.
func requireClosed(t *testing.T, m Mesh) {
	t.Helper()
	edges := map[[2]r3.Vector]int{}
	for _, tri := range m.Triangles {
		for i := range tri {
			edges[[2]r3.Vector{tri[i], tri[(i+1)%3]}]++
		}
	}
	for e, n := range edges {
		require.Equal(t, n, edges[[2]r3.Vector{e[1], e[0]}], "edge %v", e)
	}
}

func requireFile(t *testing.T, m Mesh, volume float64, parts int) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, m.WriteSTL(&b, "x"))
	require.Equal(t, 84+50*len(m.Triangles), b.Len())
	require.False(t, bytes.HasPrefix(b.Bytes(), []byte("solid")), "readers take that for text")
	path := filepath.Join(t.TempDir(), "x.stl")
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o600))
	report := admesh(t, path)
	for _, line := range []string{"Edges fixed", "Facets removed", "Facets added", "Facets reversed", "Backwards edges", "Normals fixed", "Degenerate facets"} {
		found := regexp.MustCompile(line + `\s+:\s+(\d+)`).FindStringSubmatch(report)
		require.NotNil(t, found, "%s in\n%s", line, report)
		require.Equal(t, "0", found[1], "%s in\n%s", line, report)
	}
	found := regexp.MustCompile(`Volume\s+:\s+([-\d.e+]+)`).FindStringSubmatch(report)
	require.NotNil(t, found)
	got, err := strconv.ParseFloat(found[1], 64)
	require.NoError(t, err)
	require.InDelta(t, volume, got, 1e-4*volume+0.01)
	if parts > 0 {
		require.Regexp(t, `Number of parts\s+:\s+`+strconv.Itoa(parts)+`\s`, report)
	}
}

func admesh(t *testing.T, path string) string {
	t.Helper()
	out, err := exec.Command("admesh", path).CombinedOutput()
	if err != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
		t.Skip("admesh is missing")
	}
	require.NoError(t, err)
	return string(out)
}
