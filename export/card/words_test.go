package card

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/export/drawing"
	"rackwright/pack"
)

// posted is a random box with posts on random faces, near edges and each other too.
func posted(rng *rand.Rand) pack.Kind {
	k := pack.Kind{Name: "battery", Mass: 30 * rng.Float64(), Size: r3.Vector{X: 20 + 400*rng.Float64(), Y: 20 + 300*rng.Float64(), Z: 20 + 200*rng.Float64()}}
	for i := range rng.IntN(5) {
		f, d := pack.Face(rng.IntN(6)), 5+15*rng.Float64()
		face := [3]r2.Point{{X: k.Size.Y, Y: k.Size.Z}, {X: k.Size.X, Y: k.Size.Z}, {X: k.Size.X, Y: k.Size.Y}}[f.Axis()]
		at := r2.Point{X: d/2 + (face.X-d)*rng.Float64(), Y: d/2 + (face.Y-d)*rng.Float64()}
		k.Posts = append(k.Posts, pack.Post{Name: fmt.Sprintf("plus %d", i), Face: f, At: at, Diameter: d, Height: 20 * float64(rng.IntN(2)), Polarity: "+"})
	}
	return k
}

// Text runs neither over lines nor over other text, on the nets of random boxes.
func TestWordsLieClearOfLines(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for i := range 150 {
		k := posted(rng)
		label := Label{Name: "battery 1 to 4", Layout: "layout-1", Clear: 25}
		if i%2 == 0 {
			label.Stand = &pack.Orientation{Up: pack.Left, Front: pack.Top}
		}
		n, err := Best(k, 0, r2.Point{})
		require.NoError(t, err)
		for _, p := range n.Pieces(label, false) {
			requireClear(t, p.Drawing, fmt.Sprintf("box %d, %v", i, k.Size))
		}
	}
}

// Of boxes down to the size of a fuse all faces and posts are named, in letters of which capitals
// are 3 mm high (0.7 of the size of the face): where a face is too small, beside it, on the
// sheet.
func TestSmallFacesAreNamedInLettersThatCanBeRead(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	asides := 0
	for i := range 60 {
		k := posted(rng)
		k.Size = k.Size.Mul(0.1 + 0.4*rng.Float64())
		for j := range k.Posts {
			k.Posts[j].At = k.Posts[j].At.Mul(0.1)
			k.Posts[j].Diameter *= 0.3
		}
		label := Label{Name: "fuse", Layout: "layout-1", Clear: 25, Stand: &pack.Orientation{Up: pack.Top, Front: pack.Front, Tilt: 0.2}}
		n, err := Best(k, 0, r2.Point{})
		require.NoError(t, err)
		said := ""
		for _, p := range n.Pieces(label, false) {
			requireClear(t, p.Drawing, fmt.Sprintf("box %d, %v", i, k.Size))
			sheet := r2.RectFromPoints(r2.Point{}, p.Drawing.Size)
			for _, text := range p.Drawing.Texts {
				require.GreaterOrEqual(t, text.Size*0.7, 3-1e-9, "%q on box %d, %v", text.Line, i, k.Size)
				require.True(t, sheet.Contains(text.Area()), "%q on box %d, %v", text.Line, i, k.Size)
				said += text.Line + "\n"
				if strings.Contains(text.Line, ", its ") {
					asides++
				}
			}
		}
		for f := pack.Front; f <= pack.Bottom; f++ {
			require.Contains(t, said, "its "+f.String()+" face", "box %d, %v", i, k.Size)
		}
		for _, post := range k.Posts {
			require.Contains(t, said, post.Name+" +", "box %d, %v", i, k.Size)
		}
	}
	require.Greater(t, asides, 20)
}

func requireClear(t *testing.T, d drawing.Drawing, say string) {
	t.Helper()
	for i, text := range d.Texts {
		// Less what the area has above and below the letters.
		area := text.Area().ExpandedByMargin(-0.1 * text.Size)
		for _, o := range d.Texts[i+1:] {
			require.False(t, area.Intersects(o.Area().ExpandedByMargin(-0.1*o.Size)), "%q and %q, %s", text.Line, o.Line, say)
		}
		for _, p := range d.Paths {
			points := p.Points
			if p.Closed {
				points = append(points[:len(points):len(points)], points[0])
			}
			for j := range len(points) - 1 {
				for s := range 201 {
					q := points[j].Add(points[j+1].Sub(points[j]).Mul(float64(s) / 200))
					if area.InteriorContainsPoint(q) { // not by require, which is slow for so many
						t.Fatalf("a line of %v through %q, %s", p.Layer, text.Line, say)
					}
				}
			}
		}
		for _, c := range d.Circles {
			require.Greater(t, area.ClampPoint(c.Centre).Sub(c.Centre).Norm(), c.Radius, "a circle through %q, %s", text.Line, say)
		}
	}
}
