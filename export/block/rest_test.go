package block

import (
	"math"
	"os"
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

// Under each box that stands on a level there is plastic, and none in the box; beside the
// opening there is plastic at sides that are not open, and none at one that is. Derived from the
// numbers of the problem.
func TestTheCageHasWhatBoxesAreSetOn(t *testing.T) {
	p, l, order := withLug(t, r3.Vector{X: 120, Y: 100, Z: -140})
	const scale = 0.25
	cage, err := CageOf(p, &l, order, Print{Scale: scale})
	require.NoError(t, err)
	require.Empty(t, cage.Unset)
	require.Len(t, cage.Pieces, 1)
	piece := cage.Pieces[0]
	requireSound(t, piece.Mesh, piece.Mesh.Volume(), 1)
	has := func(x, y, z float64) bool {
		return contains(piece.Mesh, piece.Pose.Apply(r3.Vector{X: x, Y: y, Z: z}.Mul(scale)))
	}
	for _, x := range []float64{-95, 3, 95} {
		for _, y := range []float64{-45, 2, 45} {
			require.True(t, has(x, y, -51), "under the box")
			require.False(t, has(x, y, -49), "in the box")
		}
	}
	require.True(t, has(-203, 3, 5), "the back")
	require.True(t, has(203, 3, 5), "the front")
	require.True(t, has(3, 3, -153), "the floor")
	require.False(t, has(3, 3, 153), "above, where it is open")
	requireWay(t, piece, p, l.Placements[0], order.Steps[0], scale)
}

// The ledge of a tilted box is tilted with it: plastic just below its underside, none just above.
func TestLedgesAreTiltedWithTheirBoxes(t *testing.T) {
	p, l, _ := withLug(t, r3.Vector{X: 120, Y: 100, Z: -140})
	p.Pack.Kinds[0].Tilts = []s1.Angle{12 * s1.Degree}
	l.Placements[0].Tilt = 12 * s1.Degree
	const scale = 0.25
	cage, err := CageOf(p, &l, entry.Order{}, Print{Scale: scale})
	require.NoError(t, err)
	require.Empty(t, cage.Unset)
	piece := cage.Pieces[0]
	requireSound(t, piece.Mesh, piece.Mesh.Volume(), 1)
	axes := l.Placements[0].Axes()
	for _, along := range []float64{-80, 5, 80} {
		for deep, want := range map[float64]bool{-51.5: true, -48: false} {
			q := axes[0].Mul(along).Add(axes[2].Mul(deep)).Add(r3.Vector{Y: 11})
			require.Equal(t, want, contains(piece.Mesh, piece.Pose.Apply(q.Mul(scale))), "%g %g", along, deep)
		}
	}
}

// A side of the opening makes room for a rail that is printed apart. Derived.
func TestSidesMakeRoomForWhatIsApart(t *testing.T) {
	p, l, order := withLug(t, r3.Vector{X: 120, Y: 100, Z: -140})
	p.Frame.Rails = []frame.Rail{{Name: "tube", Path: []r3.Vector{{X: 215, Z: -100}, {X: 215, Z: 100}}, Diameter: 28, Removable: true}}
	cage, err := CageOf(p, &l, order, Print{Scale: 0.25})
	require.NoError(t, err)
	require.Equal(t, []string{"cage", "tube"}, names(cage))
	require.Empty(t, cage.Meeting)
	piece := cage.Pieces[0]
	requireSound(t, piece.Mesh, piece.Mesh.Volume(), 1)
	in := func(x, y, z float64) bool {
		return contains(piece.Mesh, piece.Pose.Apply(r3.Vector{X: x, Y: y, Z: z}.Mul(0.25)))
	}
	require.False(t, in(203, 0.1, 3), "the tube reaches to 201")
	require.True(t, in(203, 40, 3))
	p.Frame.KeepOuts = append(p.Frame.KeepOuts, frame.KeepOut{Name: "clamp", Box: &frame.Corners{Low: r3.Vector{X: 210, Y: -10, Z: -10}, High: r3.Vector{X: 220, Y: 60, Z: 10}}})
	cage, err = CageOf(p, &l, order, Print{Scale: 0.25})
	require.NoError(t, err)
	require.Contains(t, cage.Meeting, [2]string{"tube", "clamp"})
}

// Cut up, the cage has the volume of the whole less that of its sockets, every piece goes onto
// the bed, and pegs go into as many sockets as there are.
func TestTheCageIsCutUpForTheBed(t *testing.T) {
	p := example(t, "courier")
	f, err := os.Open("../../testdata/courier/layout.yaml")
	require.NoError(t, err)
	defer f.Close()
	l, err := layoutfile.Read(f, "layout.yaml")
	require.NoError(t, err)
	for n, as := range []Print{
		{Scale: 0.25, Bed: r3.Vector{X: 100, Y: 90, Z: 120}, Play: 0.2},
		{Scale: 0.3, Bed: r3.Vector{X: 150, Y: 110, Z: 60}, Play: 0.1, Shell: 1.2},
	} {
		if n > 0 && os.Getenv("RACKWRIGHT_LONG") == "" {
			break
		}
		cage, err := CageOf(p, &l.Layout, l.Order, as)
		require.NoError(t, err)
		require.True(t, cage.Split)
		require.Empty(t, cage.Overlaid)
		volume, pegs := 0.0, 0
		for _, piece := range cage.Pieces {
			requireSound(t, piece.Mesh, piece.Mesh.Volume(), 1)
			require.True(t, piece.Goes(as.Bed), piece.Name)
			if piece.Peg {
				pegs += piece.Copies
			} else {
				volume += piece.Mesh.Volume()
			}
		}
		require.Greater(t, pegs, 1)
		if as.Shell > 0 {
			continue
		}
		as.Bed.X, as.Bed.Y, as.Bed.Z = 1e4, 1e4, 1e4
		whole, err := CageOf(p, &l.Layout, l.Order, as)
		require.NoError(t, err)
		require.False(t, whole.Split)
		want := 0.0
		for _, piece := range whole.Pieces {
			want += piece.Mesh.Volume()
		}
		low, high := bounds(whole.Pieces[0].Mesh)
		want += (high.X - low.X) * (high.Y - low.Y) * (thickPlate - plateDeep)
		around := 16 * math.Tan(math.Pi/16) * (cagePeg + as.Play/2) * (cagePeg + as.Play/2)
		want -= float64(pegs) * around * 2 * cagePegDepth
		require.InDelta(t, want, volume, 0.01*want)
	}
}

// A tank of 100 × 60 × 40 as printed, open at the side that is up: derived.
func TestKeepOutsAreHollow(t *testing.T) {
	p, _, _ := withLug(t, r3.Vector{X: 120, Y: 100, Z: -140})
	p.Frame.KeepOuts = []frame.KeepOut{{Name: "tank", LiftsOff: true, Box: &frame.Corners{Low: r3.Vector{X: -200, Y: -80, Z: 200}, High: r3.Vector{X: 200, Y: 80, Z: 440}}}}
	cage, err := CageOf(p, nil, entry.Order{}, Print{Scale: 0.25, Shell: 2})
	require.NoError(t, err)
	require.Equal(t, []string{"cage", "tank"}, names(cage))
	requireSound(t, cage.Pieces[1].Mesh, 100*60*40-96*56*38, 1)
	require.InDelta(t, 0, cage.Pieces[1].Overhang(), 1e-9)
	p.Frame.KeepOuts[0].Box.High.Z = 215 // 3.75 thick as printed
	cage, err = CageOf(p, nil, entry.Order{}, Print{Scale: 0.25, Shell: 2})
	require.NoError(t, err)
	require.Equal(t, []string{"tank"}, cage.Solid)
	requireSound(t, cage.Pieces[1].Mesh, 100*3.75*40, 1)
}

// A tank with a tunnel through it, lying on its side, has its lower wall and its roof solid: their
// hollows would be closed by what is above. Derived from the numbers.
func TestNoHollowIsClosedAbove(t *testing.T) {
	p, _, _ := withLug(t, r3.Vector{X: 120, Y: 100, Z: -140})
	tunnel, err := geom.PolygonFromCorners([]r2.Point{{X: -100, Y: 200}, {X: -60, Y: 200}, {X: -60, Y: 260}, {X: 60, Y: 260}, {X: 60, Y: 200}, {X: 100, Y: 200}, {X: 100, Y: 300}, {X: -100, Y: 300}})
	require.NoError(t, err)
	p.Frame.KeepOuts = []frame.KeepOut{{Name: "tank", LiftsOff: true, Section: &frame.Section{Across: tunnel, Along: r1.Interval{Lo: -150, Hi: 150}}}}
	cage, err := CageOf(p, nil, entry.Order{}, Print{Scale: 0.25, Shell: 1})
	require.NoError(t, err)
	require.Equal(t, []string{"tank"}, cage.Solid)
	tank := cage.Pieces[1].Mesh
	requireSound(t, tank, tank.Volume(), 1)
	require.Less(t, tank.Volume(), (200*100-120*60)*300.0/64)
}

// Drums, slanted pieces and outlines that are not convex as shells: one closed surface each.
func TestHollowKeepOutsOfAllKinds(t *testing.T) {
	p, _, _ := withLug(t, r3.Vector{})
	bent, err := geom.PolygonFromCorners([]r2.Point{{X: -150, Y: 200}, {X: 150, Y: 200}, {X: 150, Y: 300}, {X: 50, Y: 300}, {X: 50, Y: 250}, {X: -150, Y: 250}})
	require.NoError(t, err)
	drum := frame.Round{From: r3.Vector{X: -100, Z: -100}, To: r3.Vector{X: -60, Z: 100}, Diameter: 60}.Drum()
	p.Frame.KeepOuts = []frame.KeepOut{
		{Name: "tank", Profile: &frame.Profile{Outline: bent, Across: r1.Interval{Lo: -60, Hi: 60}}},
		{Name: "motor", Round: &frame.Round{From: r3.Vector{X: 60, Y: -80}, To: r3.Vector{X: 60, Y: 80}, Diameter: 90}},
		{Name: "shock", Piece: &drum},
	}
	solid, err := CageOf(p, nil, entry.Order{}, Print{Scale: 0.25})
	require.NoError(t, err)
	shell, err := CageOf(p, nil, entry.Order{}, Print{Scale: 0.25, Shell: 1})
	require.NoError(t, err)
	require.Empty(t, append(shell.Overlaid, shell.Unheld...))
	require.Len(t, shell.Pieces, 1)
	requireSound(t, shell.Pieces[0].Mesh, shell.Pieces[0].Mesh.Volume(), 1)
	require.Less(t, shell.Pieces[0].Mesh.Volume(), 0.8*solid.Pieces[0].Mesh.Volume())
}

// A plate of 20 × 10 on a foot of 4 × 10 hangs over by 16 × 10; a wedge does from 45° on.
// Derived.
func TestOverhang(t *testing.T) {
	m, err := union([]convex{brickBody(r3.Vector{X: 20, Y: 10, Z: 2}, r3.Vector{Z: 10}, 0), brickBody(r3.Vector{X: 4, Y: 10, Z: 11}, r3.Vector{X: 8}, 0)})
	require.NoError(t, err)
	require.InDelta(t, 160, Piece{Mesh: m}.Overhang(), 1e-6)
	for out, want := range map[float64]float64{9: 0, 11: 10 * math.Hypot(10, 11)} {
		profile := geom.Polygon{Corners: []r2.Point{{}, {X: 20}, {X: 20 + out, Y: 10}, {Y: 10}}}
		body, _ := bodyOf(geom.Prism{Profile: profile, View: geom.SideView, Depth: r1.Interval{Hi: 10}})
		m, err := union([]convex{body})
		require.NoError(t, err)
		require.InDelta(t, want, Piece{Mesh: m}.Overhang(), 1e-6)
	}
}

// Words cut into the faces of a block need no supports, wherever they are.
func TestWordsNeedNoSupports(t *testing.T) {
	pieces, err := Pieces(pack.Kind{Name: "charger", Size: r3.Vector{X: 168, Y: 84, Z: 62}}, Print{Scale: 0.25})
	require.NoError(t, err)
	require.Zero(t, pieces[0].Overhang())
}

// A plus has an arm up and one across, a minus only one across, beside their posts.
func TestSignsAreCutBesidePosts(t *testing.T) {
	k := pack.Kind{Name: "battery", Size: r3.Vector{X: 150, Y: 110, Z: 100}, Posts: []pack.Post{
		{Name: "a", Face: pack.Top, At: r2.Point{X: 30, Y: 25}, Diameter: 12, Height: 8, Polarity: "+"},
		{Name: "b", Face: pack.Top, At: r2.Point{X: 110, Y: 25}, Diameter: 12, Height: 8, Polarity: "-"},
	}}
	pieces, err := Pieces(k, Print{})
	require.NoError(t, err)
	cut := func(x, y float64) bool {
		return !contains(pieces[0].Mesh, pieces[0].Pose.Apply(r3.Vector{X: x, Y: y, Z: 100 - dent/2}))
	}
	arms := func(x, y float64) (across, up int) {
		for d := -6.0; d <= 6; d += 0.25 {
			for e := -6.0; e <= 6; e += 0.25 {
				switch {
				case !cut(x+d, y+e):
				case math.Abs(d) > 1.2:
					across++
				case math.Abs(e) > 1.2:
					up++
				}
			}
		}
		return across, up
	}
	beside := func(at float64) float64 { // the middle of the sign is half its width from the post
		return at + 6 + 0.5 + (wordOf("+", signHigh).width+1)/2
	}
	across, up := arms(beside(30), 25)
	require.Greater(t, across, 5)
	require.Greater(t, up, 5)
	across, up = arms(beside(110), 25)
	require.Greater(t, across, 5)
	require.Zero(t, up)
}
