package page

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
)

// Boxes and posts stand in the picture where the judge's bodies are, to the thousandth
// of a millimetre that the page writes.
func TestSceneAgreesWithTheJudge(t *testing.T) {
	in := example(t)
	s := sceneOf(in)
	const written = 0.002 // mm: rounding, and the lattice of the judge's sizes
	vector := func(p point) r3.Vector { return r3.Vector{X: p[0], Y: p[1], Z: p[2]} }
	for i, at := range in.Layouts[0].Layout.Placements {
		bodies, err := in.Problem.Bodies(at)
		require.NoError(t, err)
		box := s.Layouts[0].Boxes[i]
		kind := s.Kinds[box.Kind]
		require.Equal(t, pack.Part{Box: at.Box, Number: at.Number}.String(), box.Name)
		require.InDelta(t, 0, vector(box.Centre).Sub(bodies.Case.Centre).Norm(), written)
		require.InDelta(t, 0, vector(kind.Size).Mul(0.5).Sub(bodies.Case.Half).Norm(), written)
		turned := func(p point) r3.Vector {
			var v r3.Vector
			for k, a := range box.Axes {
				v = v.Add(vector(a).Mul(p[k]))
			}
			return v
		}
		for k, post := range kind.Posts {
			middle := vector(box.Centre).Add(turned(post.At)).Add(turned(post.Axis).Mul(post.Height / 2))
			require.InDelta(t, 0, middle.Sub(bodies.Posts[k].Centre).Norm(), written, "%s, post %d", box.Name, k)
		}
	}
}

// The order ends where the layout is: the moves of each box, taken back from its place,
// are where it begins, outside of the opening.
func TestLegsBeginOutside(t *testing.T) {
	in := example(t)
	s := sceneOf(in)
	start := map[int]r3.Vector{}
	for _, leg := range s.Layouts[0].Legs {
		start[leg.Box] = start[leg.Box].Add(r3.Vector{X: leg.Move[0], Y: leg.Move[1], Z: leg.Move[2]})
	}
	require.Len(t, start, len(s.Layouts[0].Boxes))
	for i, moved := range start {
		c := s.Layouts[0].Boxes[i].Centre
		begins := r3.Vector{X: c[0], Y: c[1], Z: c[2]}.Sub(moved)
		inside := begins.X > s.Low[0] && begins.X < s.High[0] && begins.Y > s.Low[1] && begins.Y < s.High[1] && begins.Z > s.Low[2] && begins.Z < s.High[2]
		require.False(t, inside, s.Layouts[0].Boxes[i].Name)
	}
}
