package block

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
)

// Words of all letters and numbers on faces of all sizes, among posts: every face can be
// cut into triangles, and every edge is shared by two, once each way.
func TestWordsOnRandomFaces(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 9))
	letters := []rune("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.abcdefghijklmnopqrstuvwxyzäß&@%")
	for range 30 {
		size := r3.Vector{X: 10 + 200*rng.Float64(), Y: 10 + 200*rng.Float64(), Z: 10 + 200*rng.Float64()}
		var posts []pack.Post
		for range rng.IntN(4) {
			face := pack.Face(rng.IntN(6))
			f := faceOf(size, face)
			at := r2.Point{X: f.size.X * rng.Float64(), Y: f.size.Y * rng.Float64()}
			posts = append(posts, pack.Post{Polarity: []string{"+", "-", ""}[rng.IntN(3)], Face: face, At: f.own(at), Diameter: 2 + 10*rng.Float64(), Height: 5 * float64(rng.IntN(2))})
		}
		b := brickOf(size, posts, dent)
		b.loose = nil // bodies of their own, which the formula leaves out
		want := 0.0
		text := ""
		for range 1 + rng.IntN(7) {
			text += string(letters[rng.IntN(len(letters))])
		}
		for f := pack.Front; f <= pack.Bottom; f++ {
			b.signs(f, posts, dent)
			b.label(f, text, fmt.Sprintf("%s %v", text, f), dent)
			for _, x := range b.features[f] {
				flat := area(x.ring)
				for _, l := range x.level {
					flat -= area(l)
				}
				want += flat * x.height
			}
		}
		m, err := b.mesh()
		require.NoError(t, err, "%q on %v", text, size)
		requireClosed(t, m)
		require.InDelta(t, size.X*size.Y*size.Z+want, m.Volume(), 1e-6*m.Volume())
	}
}
