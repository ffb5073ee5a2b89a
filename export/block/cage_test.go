package block

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/export/layoutfile"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
)

func example(t *testing.T, name string) pack.Problem {
	t.Helper()
	open := func(file string) *os.File {
		f, err := os.Open("../../testdata/" + name + "/" + file)
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
	return problem
}

// The cage holds all rails and keep-outs that stay, by struts that touch no box, in place
// or on its way in, and lies on its plate; what is off while boxes go in is apart.
func TestCage(t *testing.T) {
	p := example(t, "courier")
	f, err := os.Open("../../testdata/courier/layout.yaml")
	require.NoError(t, err)
	defer f.Close()
	l, err := layoutfile.Read(f, "layout.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, l.Order.Steps)
	const scale = 0.25
	cage, err := CageOf(p, &l.Layout, l.Order, Print{Scale: scale})
	require.NoError(t, err)
	require.Empty(t, cage.Unheld)
	var names []string
	for _, piece := range cage.Pieces {
		names = append(names, piece.Name)
		requireSound(t, piece.Mesh, piece.Mesh.Volume(), 1)
		low, _ := bounds(piece.Mesh)
		require.InDelta(t, 0, low.Norm(), 1e-9)
	}
	require.Equal(t, []string{"cage", "seat bucket"}, names)
	for _, step := range l.Order.Steps {
		i := slices.IndexFunc(l.Layout.Placements, func(at pack.Placement) bool { return at.Box == step.Box && at.Number == step.Number })
		requireWay(t, cage.Pieces[0], p, l.Layout.Placements[i], step, scale)
	}
}

// requireWay moves points of a box along its legs: none comes into the cage.
func requireWay(t *testing.T, cage Piece, p pack.Problem, at pack.Placement, step entry.Step, scale float64) {
	t.Helper()
	bodies, err := p.Bodies(at)
	require.NoError(t, err)
	c := bodies.Case
	start := r3.Vector{}
	for _, leg := range step.Legs {
		start = start.Sub(leg)
	}
	for _, leg := range step.Legs {
		for i := range 21 {
			by := start.Add(leg.Mul(float64(i) / 20))
			for x := -1.0; x <= 1; x += 0.5 {
				for y := -1.0; y <= 1; y += 0.5 {
					for z := -1.0; z <= 1; z += 0.5 {
						q := c.Centre.Add(c.Axes[0].Mul(x * c.Half.X)).Add(c.Axes[1].Mul(y * c.Half.Y)).Add(c.Axes[2].Mul(z * c.Half.Z)).Add(by)
						require.False(t, contains(cage.Mesh, cage.Pose.Apply(q.Mul(scale))), "%s %d at %v", at.Box, at.Number, q)
					}
				}
			}
		}
		start = start.Add(leg)
	}
}

func TestCageWithoutALayout(t *testing.T) {
	cage, err := CageOf(example(t, "trail"), nil, entry.Order{}, Print{Scale: 0.2})
	require.NoError(t, err)
	require.NotEmpty(t, cage.Pieces)
	cargo, err := CageOf(example(t, "cargo"), nil, entry.Order{}, Print{Scale: 0.1})
	require.NoError(t, err)
	cage.Pieces = append(cage.Pieces, cargo.Pieces...)
	require.Empty(t, append(cage.Overlaid, cargo.Overlaid...))
	for _, piece := range cage.Pieces {
		requireSound(t, piece.Mesh, piece.Mesh.Volume(), 1)
	}
	require.True(t, cage.Pieces[0].Goes(r3.Vector{}))
	require.True(t, cage.Pieces[0].Goes(r3.Vector{X: 200, Y: 200, Z: 200}))
	require.False(t, cage.Pieces[0].Goes(r3.Vector{X: 200, Y: 50, Z: 200}))
}

// withLug is a box of 200 × 100 × 100 that comes from above into the middle of an opening of
// 400 × 300, 300 across, with a lug at a place.
func withLug(t *testing.T, lug r3.Vector) (pack.Problem, pack.Layout, entry.Order) {
	t.Helper()
	outline, err := geom.PolygonFromCorners([]r2.Point{{X: -200, Y: -150}, {X: 200, Y: -150}, {X: 200, Y: 150}, {X: -200, Y: 150}})
	require.NoError(t, err)
	p := pack.Problem{
		Frame: &frame.Frame{
			Opening:  frame.Opening{Outline: outline, Stations: []frame.Station{{Across: r1.Interval{Lo: -150, Hi: 150}}}, Open: []bool{false, false, true, false}},
			KeepOuts: []frame.KeepOut{{Name: "lug", Box: &frame.Corners{Low: lug, High: lug.Add(r3.Vector{X: 8, Y: 8, Z: 8})}}},
		},
		Pack: &pack.Pack{Kinds: []pack.Kind{{Name: "box", Count: 1, Size: r3.Vector{X: 200, Y: 100, Z: 100}, Stands: []pack.Stand{pack.Upright}, Tilts: []s1.Angle{0}}}},
	}
	l := pack.Layout{Placements: []pack.Placement{{Box: "box", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}}}}
	return p, l, entry.Order{Steps: []entry.Step{{Box: "box", Number: 1, Legs: []r3.Vector{{Z: -210}}}}}
}

// A lug on each side of the box: wherever the plate is, a strut goes around the box to one
// of them, so that the cage is one part (admesh counts) and the box still has its way in;
// then lugs at random places. Derived: nothing is closed in here, so all are held.
func TestStrutsGoAroundTheBoxes(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	places := []r3.Vector{{Y: 80}, {Y: -80}, {Y: 80, Z: -40}, {X: 90, Y: 60, Z: 40}}
	for len(places) < 30 {
		places = append(places, r3.Vector{X: 380*rng.Float64() - 190, Y: 280*rng.Float64() - 140, Z: 240*rng.Float64() - 140})
	}
	for _, at := range places {
		p, l, order := withLug(t, at)
		if at.X > -110 && at.X < 102 && at.Y > -60 && at.Y < 52 && at.Z > -60 {
			continue // in the box, or in its way
		}
		other := frame.KeepOut{Name: "other", Box: &frame.Corners{Low: r3.Vector{Y: -at.Y}, High: r3.Vector{X: 8, Y: 8 - at.Y, Z: 8}}}
		if math.Abs(at.Y) > 65 { // and one across from it
			p.Frame.KeepOuts = append(p.Frame.KeepOuts, other)
		}
		const scale = 0.25
		cage, err := CageOf(p, &l, order, Print{Scale: scale})
		require.NoError(t, err)
		require.Empty(t, cage.Unheld, "%v", at)
		require.Empty(t, cage.Overlaid)
		require.Len(t, cage.Pieces, 1)
		piece := cage.Pieces[0]
		requireSound(t, piece.Mesh, piece.Mesh.Volume(), 1)
		for _, k := range p.Frame.KeepOuts {
			require.True(t, contains(piece.Mesh, piece.Pose.Apply(k.Box.Low.Add(r3.Vector{X: 4.1, Y: 4.2, Z: 4.3}).Mul(scale))), "%s is in it", k.Name)
		}
		requireWay(t, piece, p, l.Placements[0], order.Steps[0], scale)
	}
}

// A lug closed in between two boxes that meet all around it is printed apart, and said.
func TestWhatNoStrutReachesIsApart(t *testing.T) {
	p, l, _ := withLug(t, r3.Vector{X: -4, Y: 51, Z: -4})
	p.Pack.Kinds[0].Count = 6
	at := func(n int, up pack.Face, x, y, z float64) pack.Placement {
		return pack.Placement{Box: "box", Number: n, Orientation: pack.Orientation{Up: up, Front: pack.Front}, Centre: r3.Vector{X: x, Y: y, Z: z}}
	}
	l.Placements = append(l.Placements, at(2, pack.Top, 0, 110, 0), at(3, pack.Top, -106, 40, 0), at(4, pack.Top, 106, 40, 0), at(5, pack.Top, 0, 40, 56), at(6, pack.Top, 0, 40, -56))
	cage, err := CageOf(p, &l, entry.Order{}, Print{Scale: 0.25})
	require.NoError(t, err)
	require.Equal(t, []string{"lug"}, cage.Unheld)
	require.Equal(t, []string{"cage", "lug"}, names(cage))
	for _, piece := range cage.Pieces {
		requireSound(t, piece.Mesh, piece.Mesh.Volume(), 1)
	}
}

// Without a layout a lug in the middle of the opening is held through it, and that is said.
func TestWithoutALayoutStrutsMayCrossTheOpening(t *testing.T) {
	p, _, _ := withLug(t, r3.Vector{})
	cage, err := CageOf(p, nil, entry.Order{}, Print{Scale: 0.25})
	require.NoError(t, err)
	require.Equal(t, []string{"lug"}, cage.Crossed)
	require.Len(t, cage.Pieces, 1)
	requireSound(t, cage.Pieces[0].Mesh, cage.Pieces[0].Mesh.Volume(), 1)
}

// Without a layout the plate stands beside the opening where that is widest: 300 at the
// floor, though but 100 at the top; a block as wide as the floor goes beside it.
func TestThePlateIsBesideTheWidestPlace(t *testing.T) {
	p, _, _ := withLug(t, r3.Vector{})
	p.Frame.Opening.Stations = []frame.Station{{Z: -150, Across: r1.Interval{Lo: -150, Hi: 150}}, {Z: 150, Across: r1.Interval{Lo: -50, Hi: 50}}}
	for _, right := range []bool{true, false} {
		b := builder{problem: p, scale: 0.25, right: right, plateDeep: plateDeep}
		low, high := geom.Bounds(b.newPlate())
		if right {
			require.Less(t, high.Y, -150.0)
		} else {
			require.Greater(t, low.Y, 150.0)
		}
	}
}

// What is left of a slanted drum that was notched is held too.
func TestAPieceOfADrumIsHeld(t *testing.T) {
	p, _, _ := withLug(t, r3.Vector{})
	drum := frame.Round{From: r3.Vector{X: -100, Z: -100}, To: r3.Vector{X: -60, Z: 100}, Diameter: 40}.Drum()
	p.Frame.KeepOuts = []frame.KeepOut{{Name: "shock", Piece: &drum}}
	cage, err := CageOf(p, nil, entry.Order{}, Print{Scale: 0.25})
	require.NoError(t, err)
	require.Empty(t, cage.Unheld)
	require.Equal(t, []string{"cage"}, names(cage))
	requireSound(t, cage.Pieces[0].Mesh, cage.Pieces[0].Mesh.Volume(), 1)
}

func names(c Cage) []string {
	var list []string
	for _, p := range c.Pieces {
		list = append(list, p.Name)
	}
	return list
}
