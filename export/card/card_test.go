package card

import (
	"bytes"
	"fmt"
	"image/png"
	"math"
	"math/bits"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack"
)

// A folded panel is a slab as thick as the card around its middle plane.
type slab struct{ at, u, v, n r3.Vector }

func (s slab) point(p r2.Point, out float64) r3.Vector {
	return s.at.Add(s.u.Mul(p.X)).Add(s.v.Mul(p.Y)).Add(s.n.Mul(out))
}

// folded turns every panel by 90° about its fold, in the middle of the card. A flap that
// is glued inside of a panel lies as that does, one thickness further in.
func folded(t *testing.T, n *Net) []slab {
	slabs := make([]slab, len(n.Panels))
	done := make([]bool, len(n.Panels))
	slabs[rightWall] = slab{u: r3.Vector{X: 1}, v: r3.Vector{Y: 1}, n: r3.Vector{Z: 1}}
	done[rightWall] = true
	for range n.Panels {
		for _, f := range n.Folds {
			from, to := f.Parent, f.Child
			if done[to] {
				from, to = to, from
			}
			if done[from] && !done[to] {
				slabs[to], done[to] = hinged(slabs[from], f, n.Panels[from].Rect, n.Panels[to].Rect), true
			}
		}
		for _, g := range n.Glued {
			if done[g.Inside] && !done[g.Flap] && g.Inside != 0 { // the row's own flap follows from the walls
				slabs[g.Flap] = slabs[g.Inside]
				slabs[g.Flap].at = slabs[g.Flap].at.Sub(slabs[g.Inside].n.Mul(n.Board))
				done[g.Flap] = true
			}
		}
	}
	require.NotContains(t, done, false, "every panel hangs on another")
	return slabs
}

func hinged(s slab, f Fold, from, to r2.Rect) slab {
	axis := f.To.Sub(f.From).Normalize()
	away := r2.Point{X: axis.Y, Y: -axis.X} // in the net, square to the fold
	if to.Center().Sub(from.Center()).Dot(away) < 0 {
		away = away.Mul(-1)
	}
	a3, along := s.n.Mul(-1), s.u.Mul(axis.X).Add(s.v.Mul(axis.Y))
	old := s.u.Mul(away.X).Add(s.v.Mul(away.Y))
	turn := func(p r2.Point) r3.Vector { return along.Mul(p.Dot(axis)).Add(a3.Mul(p.Dot(away))) }
	next := slab{u: turn(r2.Point{X: 1}), v: turn(r2.Point{Y: 1}), n: old}
	next.at = s.point(f.From, 0).Sub(next.u.Mul(f.From.X)).Sub(next.v.Mul(f.From.Y))
	return next
}

// The outside of the folded net is the box, for 1,000 random boxes, all boards, all ways
// to spread it and all joints cut; each face is there once, flaps lie inside, and no two
// panels of a part overlap. Derived: folding by hinges in the middle of the card knows
// nothing of how the net was drawn.
func TestFoldedNetHasTheSizeOfTheBox(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	thick := []float64{0}
	for _, b := range Boards {
		thick = append(thick, b.Thickness)
	}
	for i := range 1000 {
		k := pack.Kind{Name: "b", Size: r3.Vector{X: 30 + 500*rng.Float64(), Y: 30 + 500*rng.Float64(), Z: 30 + 500*rng.Float64()}}
		for _, board := range thick {
			cut := Joints(0)
			if i%2 == 1 {
				cut = Joints(rng.IntN(1 << joints))
			}
			n, err := NetOf(k, board, ways[rng.IntN(len(ways))], cut)
			require.NoError(t, err)
			require.Equal(t, 1+bits.OnesCount(uint(cut)), n.Parts)
			requireFolds(t, n)
			requireFaces(t, n)
		}
	}
}

// requireFolds checks the outside of the folded net against the box, to 0.1 mm.
func requireFolds(t *testing.T, n *Net) {
	slabs := folded(t, n)
	all, flaps := [2]r3.Vector{far, far.Mul(-1)}, [2]r3.Vector{far, far.Mul(-1)}
	for i, p := range n.Panels {
		for _, v := range p.Rect.Vertices() {
			for _, out := range []float64{n.Board / 2, -n.Board / 2} {
				q := slabs[i].point(v, out)
				all = around(all, q)
				if p.Flap {
					flaps = around(flaps, q)
				}
			}
		}
	}
	want, size := n.own(n.Kind.Size), all[1].Sub(all[0])
	say := fmt.Sprintf("%v, card %g, %+v: %v", n.Kind.Size, n.Board, n.Way, size)
	require.InDelta(t, want.X, size.X, 0.1, say) // seen from the right wall: L along, H up, W away
	require.InDelta(t, want.Z, size.Y, 0.1, say)
	require.InDelta(t, want.Y, size.Z, 0.1, say)
	in := flaps[0].Sub(all[0])
	require.GreaterOrEqual(t, min(in.X, in.Y, in.Z), n.Board/2-1e-9, "flaps are inside: %s", say)
	in = all[1].Sub(flaps[1])
	require.GreaterOrEqual(t, min(in.X, in.Y, in.Z), n.Board/2-1e-9, "flaps are inside: %s", say)
}

var far = r3.Vector{X: 1e9, Y: 1e9, Z: 1e9}

func around(b [2]r3.Vector, q r3.Vector) [2]r3.Vector {
	return [2]r3.Vector{
		{X: min(b[0].X, q.X), Y: min(b[0].Y, q.Y), Z: min(b[0].Z, q.Z)},
		{X: max(b[1].X, q.X), Y: max(b[1].Y, q.Y), Z: max(b[1].Z, q.Z)},
	}
}

func requireFaces(t *testing.T, n *Net) {
	seen := map[pack.Face]int{}
	for i, p := range n.Panels {
		if !p.Flap {
			seen[p.Face]++
		}
		for _, o := range n.Panels[:i] {
			both := p.Rect.Intersection(o.Rect)
			if p.Part == o.Part && !both.X.IsEmpty() && !both.Y.IsEmpty() {
				require.LessOrEqual(t, both.X.Length()*both.Y.Length(), 1e-6, "%v and %v overlap", p, o)
			}
		}
	}
	require.Len(t, seen, 6)
	for f, count := range seen {
		require.Equal(t, 1, count, f)
	}
}

// A post drawn on the net comes to lie, folded, where the file has it on the box.
func TestPostsComeToLieInTheirPlaces(t *testing.T) {
	k := pack.Kind{Name: "b", Size: r3.Vector{X: 150, Y: 112, Z: 90}}
	for _, board := range []float64{0, 4} {
		for _, way := range ways {
			for cut := range Joints(1) << joints {
				n, err := NetOf(k, board, way, cut)
				require.NoError(t, err)
				requirePosts(t, n)
			}
		}
	}
}

// requirePosts puts a point on each face and looks where it comes to lie in the box.
func requirePosts(t *testing.T, n *Net) {
	slabs, size := folded(t, n), n.Kind.Size
	want := map[pack.Face]r3.Vector{
		pack.Front: {X: size.X, Y: 20, Z: 30}, pack.Back: {Y: 20, Z: 30},
		pack.Left: {X: 20, Y: size.Y, Z: 30}, pack.Right: {X: 20, Z: 30},
		pack.Top: {X: 20, Y: 30, Z: size.Z}, pack.Bottom: {X: 20, Y: 30},
	}
	axes := n.Way.Axes()
	for i, p := range n.Panels {
		if p.Flap {
			continue
		}
		got := slabs[i].point(n.At(p.Face, r2.Point{X: 20, Y: 30}), n.Board/2)
		// From the low corner of the folded box, which has the right wall's outside at half
		// a thickness: along, away and up, then from the middle and in the box's own axes.
		own := r3.Vector{X: got.X, Y: n.Board/2 - got.Z, Z: got.Y}.Sub(n.own(size).Mul(0.5))
		box := r3.Vector{X: own.Dot(axes[0]), Y: own.Dot(axes[1]), Z: own.Dot(axes[2])}.Add(size.Mul(0.5))
		require.InDelta(t, 0, box.Sub(want[p.Face]).Norm(), 1e-9, "%v: %v, %+v", p.Face, box, n.Way)
	}
}

func TestCardTooThick(t *testing.T) {
	k := pack.Kind{Name: "tiny", Size: r3.Vector{X: 100, Y: 100, Z: 8}}
	for _, board := range []float64{2, 4, -1, math.NaN(), 21} {
		_, err := NetOf(k, board, ways[0], 0)
		require.ErrorIs(t, err, ErrBoard, board)
	}
	_, err := NetOf(k, 1.9, ways[0], 0)
	require.NoError(t, err)
}

// Drawn at true size: the picture at 254 dpi has 10 pixels a millimetre, and the check
// bar is 1000 pixels long.
func TestDrawingIsAtTrueSize(t *testing.T) {
	if _, err := exec.LookPath("rsvg-convert"); err != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
		t.Skip("rsvg-convert is missing")
	}
	p := pack.Pack{Unit: geom.Millimetre, Kinds: []pack.Kind{{
		Name: "</text><script>x</script>\x1b[31m電池", Size: r3.Vector{X: 150, Y: 112, Z: 90}, Mass: 3.6,
		Posts: []pack.Post{{Name: "plus", Face: pack.Top, At: r2.Point{X: 12, Y: 15}, Diameter: 12, Height: 8, Polarity: "+"}},
	}}}
	files, err := Files(p, DefaultBoard)
	require.NoError(t, err)
	require.Len(t, files, 1)
	require.Equal(t, "card-text-script-x-script-31m.svg", files[0].Name)
	var b bytes.Buffer
	require.NoError(t, files[0].Write(&b))
	require.NotContains(t, b.String(), "<script>")
	require.NotContains(t, b.String(), "\x1b")
	for _, text := range []string{"up when upright", "glue inside", "mock-up – weighs nothing", "3.6 kg", "plus, 8 mm high", "plus: thin card, roll to 12 mm", "150 mm × 112 mm × 90 mm"} {
		require.Contains(t, b.String(), text)
	}
	cmd := exec.Command("rsvg-convert", "--dpi-x", "254", "--dpi-y", "254", "--background-color", "white")
	cmd.Stdin = &b
	out, err := cmd.Output()
	require.NoError(t, err)
	picture, err := png.Decode(bytes.NewReader(out))
	require.NoError(t, err)
	dark := 0
	y := picture.Bounds().Dy() - 80 // the bars lie 8 mm above the lower edge
	for x := 140; x < 1170; x++ {
		if r, _, _, _ := picture.At(x, y).RGBA(); r < 0xc000 {
			dark++
		}
	}
	require.InDelta(t, 1000, dark, 6, "the check bar in pixels")
}
