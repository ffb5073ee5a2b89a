package certificate_test

import (
	"bytes"
	"context"
	"fmt"
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
	load = `{format: 1, pack: load, boxes: [{name: box, count: 2, size: [56, 80, 100], stand: [upright, on-end],
  posts: [{name: plus, face: top, at: [20, 20], diameter: 10, height: 30}]}]}`
	crate = `{format: 1, frame: crate, opening: {outline: [[0, 0], [100, 0], [100, 100], [0, 100]], across: 100},
  rails: [{name: tube, path: [[100, -60, 60], [100, 60, 60]], diameter: 60}]}`
	slab = `{format: 1, pack: slab, boxes: [{name: slab, size: [80, 80, 80]}]}`
)

// counts are the changes that no proof can bear.
var counts = regexp.MustCompile(`then without \d+$|sets\[\d+\] without|sets without|times (0|-.*)$|without (times|then|turn|apart|clear|sum|sets|points|frame|pack|claim|format)|other text$`)

// In a tree that was recorded every branch and every pose of a set counts; what a proof rests
// on cannot be left out.
func TestTamperingWithATree(t *testing.T) {
	p := problem(t, shed, load)
	proof, err := search.Certify(context.Background(), p, -1)
	require.NoError(t, err)
	require.NotNil(t, proof.Tree)
	text := textOf(t, proof)
	for _, there := range []string{`"turn"`, `"clear"`, `"choice"`} {
		require.Contains(t, string(text), there)
	}
	tried, refused, matter := 0, 0, 0
	mutants(t, text, 1, func(where string, changed []byte) {
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

// Under the tank in the bay two boxes go that lie as the floor does, if their posts are short.
const (
	bay = `{format: 1, frame: bay, opening: {outline: [[0, 40], [275, 0], [275, 110], [0, 150]], across: 100},
  keepouts: [{name: tank, outline: [[100, 114], [160, 106], [130, 160]], across: 60}]}`
	bags = `{format: 1, pack: bags, boxes: [{name: bag, count: 2, size: [120, 90, 72], tilt: [0, 8],
  posts: [{name: plus, face: front, at: [20, 20], diameter: 10, height: %d}]}]}`
)

// What is proven of boxes with long posts is refused for shorter ones, which fit, and stays
// so whatever is changed in it (of the changes one in seven is tried).
func TestTamperingWithTilts(t *testing.T) {
	fits, not := problem(t, bay, fmt.Sprintf(bags, 5)), problem(t, bay, fmt.Sprintf(bags, 25))
	r, err := search.Fit(context.Background(), fits, search.Settings{AnyEntry: true, Layouts: 1})
	require.NoError(t, err)
	require.GreaterOrEqual(t, r.Spare, 0.0)
	space, err := certificate.NewSpace(fits)
	require.NoError(t, err)
	require.NoError(t, space.Allows(r.Layouts[0].Layout))
	proof, err := search.Certify(context.Background(), not, -1)
	require.NoError(t, err)
	require.NotNil(t, proof.Tree)
	text := textOf(t, proof)
	t.Logf("%d bytes", len(text))
	for _, there := range []string{`"turn"`, `"clear"`, `"apart"`, `"choice"`} {
		require.Contains(t, string(text), there)
	}
	tried, matter := 0, 0
	mutants(t, text, 7, func(where string, changed []byte) {
		tried++
		if counts.MatchString(where) {
			matter++
			require.False(t, accepted(not, changed), where)
		}
		if tried%6 == 0 {
			changed = bytes.Replace(changed, []byte(not.Pack.Hash), []byte(fits.Pack.Hash), 1)
			require.False(t, accepted(fits, changed), where)
		}
	})
	t.Logf("%d tried, %d had to be refused", tried, matter)
	require.Greater(t, matter, 50)
}
