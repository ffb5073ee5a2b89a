package card

import (
	"bytes"
	"fmt"
	"image/png"
	"math"
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

// folded turns every panel by 90° about its fold, in the middle of the card.
func folded(t *testing.T, n *Net) []slab {
	slabs := make([]slab, len(n.Panels))
	done := make([]bool, len(n.Panels))
	const root = 2 // the right wall
	slabs[root] = slab{u: r3.Vector{X: 1}, v: r3.Vector{Y: 1}, n: r3.Vector{Z: 1}}
	done[root] = true
	for range n.Panels {
		for _, f := range n.Folds {
			from, to := f.Parent, f.Child
			if done[to] {
				from, to = to, from
			}
			if !done[from] || done[to] {
				continue
			}
			slabs[to], done[to] = hinged(slabs[from], f, n.Panels[from].Rect, n.Panels[to].Rect), true
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

// The outside of the folded net is the box, for 1,000 random boxes and all cards; each
// face is there once, and no two panels overlap on the sheet. Derived: folding by
// hinges in the middle of the card knows nothing of how the net was drawn.
func TestFoldedNetHasTheSizeOfTheBox(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	for range 1000 {
		k := pack.Kind{Name: "b", Size: r3.Vector{X: 30 + 500*rng.Float64(), Y: 30 + 500*rng.Float64(), Z: 30 + 500*rng.Float64()}}
		for _, board := range []float64{0, 2, 3.2, 4, 5.6, 7.1} {
			n, err := NetOf(k, board)
			require.NoError(t, err)
			slabs := folded(t, n)
			lo, hi := r3.Vector{X: 1e9, Y: 1e9, Z: 1e9}, r3.Vector{X: -1e9, Y: -1e9, Z: -1e9}
			for i, p := range n.Panels {
				for _, v := range p.Rect.Vertices() {
					for _, out := range []float64{board / 2, -board / 2} {
						q := slabs[i].point(v, out)
						lo = r3.Vector{X: min(lo.X, q.X), Y: min(lo.Y, q.Y), Z: min(lo.Z, q.Z)}
						hi = r3.Vector{X: max(hi.X, q.X), Y: max(hi.Y, q.Y), Z: max(hi.Z, q.Z)}
					}
				}
			}
			size := hi.Sub(lo)
			say := fmt.Sprintf("%v, card %g: %v", k.Size, board, size)
			require.InDelta(t, k.Size.X, size.X, 0.1, say) // seen from the right wall: L along, H up, W away
			require.InDelta(t, k.Size.Z, size.Y, 0.1, say)
			require.InDelta(t, k.Size.Y, size.Z, 0.1, say)
			requireFaces(t, n)
		}
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
			if !both.X.IsEmpty() && !both.Y.IsEmpty() {
				require.LessOrEqual(t, both.X.Length()*both.Y.Length(), 1e-6, "%v and %v overlap", p, o)
			}
		}
		require.True(t, r2.RectFromPoints(r2.Point{}, n.Size).Contains(p.Rect), "%v is on the sheet", p)
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
		n, err := NetOf(k, board)
		require.NoError(t, err)
		slabs := folded(t, n)
		// The low corner of the box, on the outside of the right wall.
		corner := slabs[2].point(n.At(pack.Right, r2.Point{}), board/2)
		for i, p := range n.Panels {
			if p.Flap {
				continue
			}
			got := slabs[i].point(n.At(p.Face, r2.Point{X: 20, Y: 30}), board/2).Sub(corner)
			box := r3.Vector{X: got.X, Y: -got.Z, Z: got.Y}
			want := map[pack.Face]r3.Vector{
				pack.Front: {X: 150, Y: 20, Z: 30}, pack.Back: {Y: 20, Z: 30},
				pack.Left: {X: 20, Y: 112, Z: 30}, pack.Right: {X: 20, Z: 30},
				pack.Top: {X: 20, Y: 30, Z: 90}, pack.Bottom: {X: 20, Y: 30},
			}[p.Face]
			require.InDelta(t, 0, box.Sub(want).Norm(), 1e-9, "%v: %v", p.Face, box)
		}
	}
}

func TestCardTooThick(t *testing.T) {
	k := pack.Kind{Name: "tiny", Size: r3.Vector{X: 100, Y: 100, Z: 8}}
	for _, board := range []float64{2, 4, -1, math.NaN(), 21} {
		_, err := NetOf(k, board)
		require.ErrorIs(t, err, ErrBoard, board)
	}
	_, err := NetOf(k, 1.9)
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
	for _, text := range []string{"this way up", "glue inside", "mock-up – weighs nothing", "3.6 kg", "plus, 8 mm high", "150 mm × 112 mm × 90 mm"} {
		require.Contains(t, b.String(), text)
	}
	cmd := exec.Command("rsvg-convert", "--dpi-x", "254", "--dpi-y", "254", "--background-color", "white")
	cmd.Stdin = &b
	out, err := cmd.Output()
	require.NoError(t, err)
	picture, err := png.Decode(bytes.NewReader(out))
	require.NoError(t, err)
	n, err := NetOf(p.Kinds[0], DefaultBoard)
	require.NoError(t, err)
	require.InDelta(t, 10*n.Size.X, picture.Bounds().Dx(), 2)
	dark := 0
	y := int(10 * (n.Size.Y + 24))
	for x := range picture.Bounds().Dx() {
		if r, _, _, _ := picture.At(x, y).RGBA(); r < 0xc000 {
			dark++
		}
	}
	require.InDelta(t, 1000, dark, 6, "the check bar in pixels")
}
