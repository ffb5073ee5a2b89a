package certificate_test

import (
	"context"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack/certificate"
	"rackwright/pack/search"
)

// A block across the middle leaves a place before it and one behind it, for boxes that
// fit there upright alone, and not with their posts so near to metal.
const (
	shed = `{format: 1, frame: shed, opening: {outline: [[0, 0], [200, 0], [210, 120], [0, 120]], across: 100},
  keepouts: [{name: block, box: {low: [70, -60, 30], high: [130, 60, 90]}}]}`
	load = `{format: 1, pack: load, boxes: [{name: box, count: 3, size: [56, 80, 100], stand: [upright, on-end],
  posts: [{name: plus, face: top, at: [20, 20], diameter: 10, height: 10}]}]}`
	crate = `{format: 1, frame: crate, opening: {outline: [[0, 0], [100, 0], [100, 100], [0, 100]], across: 100},
  rails: [{name: tube, path: [[100, -60, 60], [100, 60, 60]], diameter: 60}]}`
	slab = `{format: 1, pack: slab, boxes: [{name: slab, size: [80, 80, 80]}]}`
)

// In a tree that was recorded every branch and every pose of a set counts; what a proof rests on cannot be left out.
func TestTamperingWithATree(t *testing.T) {
	p := problem(t, shed, load)
	proof, err := search.Certify(context.Background(), p, -1)
	require.NoError(t, err)
	require.NotNil(t, proof.Tree)
	text := textOf(t, proof)
	for _, there := range []string{`"turn"`, `"clear"`, `"choice"`} {
		require.Contains(t, string(text), there)
	}
	counts := regexp.MustCompile(`then without \d+$|sets\[\d+\] without|sets without|times (0|-.*)$|without (times|then|turn|apart|clear|sum|sets|points|frame|pack|claim|format)|other text$`)
	tried, refused, matter := 0, 0, 0
	mutants(t, text, func(where string, changed []byte) {
		ok := accepted(p, changed)
		tried++
		if !ok {
			refused++
		}
		if counts.MatchString(where) {
			matter++
			require.False(t, ok, where)
		}
	})
	t.Logf("%d of %d refused, %d had to be", refused, tried, matter)
	require.Greater(t, matter, 50)
	require.Greater(t, refused, tried*3/4)
}

// A body with a point outside of its solid is none.
func TestBodiesOutside(t *testing.T) {
	p := problem(t, crate, slab)
	proof, err := search.Certify(context.Background(), p, -1)
	require.NoError(t, err)
	require.Len(t, proof.Bodies, 1)
	points := proof.Bodies[0].Points
	for i := 0; i < len(points); i += 7 {
		// The tube stands across at x = 100, z = 60: twice as far out.
		kept := points[i]
		points[i] = []float64{100 + 2*(kept[0]-100), 2 * kept[1], 60 + 2*(kept[2]-60)}
		require.ErrorContains(t, certificate.Verify(p, proof), "is not inside", "point %d", i)
		points[i] = kept
	}
}
