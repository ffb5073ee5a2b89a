package certificate_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/certificate"
)

// problem reads a problem from the text of its files.
func problem(t testing.TB, frameText, packText string) pack.Problem {
	t.Helper()
	f, err := frame.Read(strings.NewReader(frameText), "frame")
	require.NoError(t, err)
	k, err := pack.Read(strings.NewReader(packText), "pack")
	require.NoError(t, err)
	p, err := pack.NewProblem(f, k)
	require.NoError(t, err)
	return p
}

const cube = `{format: 1, frame: cube, opening: {outline: [[0, 0], [100, 0], [100, 100], [0, 100]], across: 100}}`

// cubes are two cubes that do not go into a cube of side 100, for 51 + 51 > 100.
func cubes(side int) string {
	return fmt.Sprintf(`{format: 1, pack: cubes, gaps: {beside: 0, above: 0}, boxes: [{name: cube, count: 2, size: [%d, %d, %d]}]}`, side, side, side)
}

// byHand is the proof for two cubes of 51, worked out by hand: apart along any axis, both
// inside the walls on either side, 51 + 25.5 − 74.5 > 0. The walls are floor, front, top
// and rear, with normals of length 100, then left and right.
func byHand(p pack.Problem) certificate.Proof {
	term := func(box, wall int) certificate.Term {
		return certificate.Term{Wall: []int{box, wall}, Times: 0.01}
	}
	tree := &certificate.Node{Apart: []int{1, 0, 0, 0}}
	for _, walls := range [][2]int{{5, 4}, {4, 5}, {3, 1}, {1, 3}, {0, 2}, {2, 0}} {
		first := 0
		tree.Then = append(tree.Then, certificate.Node{Sum: []certificate.Term{
			{Choice: &first, Times: 1}, term(0, walls[0]), term(1, walls[1]),
		}})
	}
	return certificate.Proof{
		Format: 1, Claim: certificate.Claim, FrameHash: p.Frame.Hash, PackHash: p.Pack.Hash, Tree: tree,
	}
}

func TestProofByHand(t *testing.T) {
	p := problem(t, cube, cubes(51))
	require.NoError(t, certificate.Verify(p, byHand(p)))
	// Two cubes of 50 fit, with nothing to spare.
	p = problem(t, cube, cubes(50))
	require.ErrorIs(t, certificate.Verify(p, byHand(p)), certificate.ErrRefused)
}

// mutants calls do with one in every so many of the texts that a JSON document becomes when
// one thing in it is changed: a number, a text, or an entry left out, doubled or exchanged
// with the next.
func mutants(t *testing.T, text []byte, every int, do func(where string, text []byte)) {
	t.Helper()
	var root any
	require.NoError(t, json.Unmarshal(text, &root))
	same, err := json.Marshal(root)
	require.NoError(t, err)
	told := 0
	tell := func(where string) {
		if told++; told%every != 0 {
			return
		}
		changed, err := json.Marshal(root)
		require.NoError(t, err)
		if !bytes.Equal(changed, same) {
			do(where, changed)
		}
	}
	var walk func(where string, v any, set func(any))
	walk = func(where string, v any, set func(any)) {
		defer set(v)
		try := func(what string, other any) {
			set(other)
			tell(where + " " + what)
		}
		switch v := v.(type) {
		case float64:
			for _, other := range []float64{v + 1, v - 1, 2 * v, v / 2, -v, 0} {
				if other != v {
					try(fmt.Sprint(other), other)
				}
			}
		case string:
			try("other text", v+"0")
		case []any:
			for i := range v {
				try(fmt.Sprint("without ", i), slices.Delete(slices.Clone(v), i, i+1))
				try(fmt.Sprint("twice ", i), slices.Insert(slices.Clone(v), i, v[i]))
			}
			set(v)
			for i := range v {
				walk(fmt.Sprint(where, "[", i, "]"), v[i], func(o any) { v[i] = o })
			}
			for i := 1; i < len(v); i++ {
				v[i-1], v[i] = v[i], v[i-1]
				tell(fmt.Sprint(where, " exchanged ", i))
				v[i-1], v[i] = v[i], v[i-1]
			}
		case map[string]any:
			for key, o := range v {
				delete(v, key)
				tell(where + " without " + key)
				v[key] = o
				walk(where+"."+key, o, func(o any) { v[key] = o })
			}
		}
	}
	walk("proof", root, func(v any) { root = v })
}

// accepted tells whether the text of a proof file is read and holds.
func accepted(p pack.Problem, text []byte) bool {
	proof, err := certificate.Read(bytes.NewReader(text), "proof")
	return err == nil && certificate.Verify(p, proof) == nil
}

func textOf(t *testing.T, proof certificate.Proof) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, certificate.Write(&b, proof))
	return b.Bytes()
}

// In the proof by hand everything counts but the order of the terms of a sum, and an axis
// for the order of boxes that no term uses.
func TestTampering(t *testing.T) {
	p := problem(t, cube, cubes(51))
	tamper(t, p, textOf(t, byHand(p)), regexp.MustCompile(`\.order|without order|sum exchanged`))
}

// tamper changes a proof by hand in every way: only what is harmless may be accepted.
func tamper(t *testing.T, p pack.Problem, text []byte, harmless *regexp.Regexp) {
	t.Helper()
	require.True(t, accepted(p, text))
	refused := 0
	mutants(t, text, 1, func(where string, changed []byte) {
		if !accepted(p, changed) {
			refused++
			return
		}
		if !harmless.MatchString(where) {
			t.Errorf("%s is accepted", where)
		}
	})
	require.Greater(t, refused, 350)
}

// No proof of what fits is accepted, whatever it says; none makes Verify panic.
func FuzzVerify(f *testing.F) {
	fits, not := problem(f, cube, cubes(50)), problem(f, cube, cubes(51))
	tilts := problem(f, cube, strings.Replace(cubes(50), "50]", "50], tilt: [0, 9]", 1))
	for _, proof := range []certificate.Proof{
		byHand(not),
		{Format: 1, Claim: certificate.Claim, Volume: true},
		{Format: 1, Claim: certificate.Claim, Points: &certificate.Points{N: []int{1, 1, 1}}},
		{Format: 1, Claim: certificate.Claim, Scales: []certificate.Mix{{Along: []certificate.Scale{{By: "steps"}, {By: "cut"}, {By: "points", N: 1}}, Times: 1}}},
		{Format: 1, Claim: certificate.Claim, Cells: &certificate.Cells{Step: []float64{25, 50, 51}, Block: 2}},
		{Format: 1, Claim: certificate.Claim, Cells: &certificate.Cells{Step: []float64{50, 50, 50}}},
		{Format: 1, Claim: certificate.Claim, Tree: &certificate.Node{Turn: &certificate.Turn{Sets: [][]int{{0}}}, Then: []certificate.Node{{Clear: []int{0, 0, 0}}}}},
		withLemmas(not),
	} {
		var b bytes.Buffer
		require.NoError(f, certificate.Write(&b, proof))
		f.Add(b.Bytes())
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		proof, err := certificate.Read(bytes.NewReader(text), "proof")
		if err != nil {
			require.ErrorIs(t, err, certificate.ErrFormat)
			return
		}
		proof.FrameHash, proof.PackHash = fits.Frame.Hash, fits.Pack.Hash
		require.Error(t, certificate.Verify(fits, proof))
		proof.PackHash = tilts.Pack.Hash
		require.Error(t, certificate.Verify(tilts, proof))
		proof.PackHash = not.Pack.Hash
		_ = certificate.Verify(not, proof)
	})
}

func TestReadRefuses(t *testing.T) {
	for _, text := range []string{
		``, `[]`, `{`, `{"format":1}`, `{"format":2,"claim":"` + certificate.Claim + `"}`,
		`{"format":1,"claim":"` + certificate.Claim + `"} {}`,
		`{"format":1,"claim":"` + certificate.Claim + `","more":1}`,
		`{"format":1,"claim":"` + certificate.Claim + `","tree":{"sum":[{"wall":[0,0],"times":1e999}]}}`,
		`{"format":1,"claim":"` + certificate.Claim + `","tree":` + strings.Repeat(`{"then":[`, 20000),
	} {
		_, err := certificate.Read(strings.NewReader(text), "proof.json")
		require.ErrorIs(t, err, certificate.ErrFormat, "%.80s", text)
		require.ErrorContains(t, err, "proof.json")
	}
}

// A box of 100 × 50 in the side view, whichever way it looks, takes 100·cos 30° + 50·sin 30° = 50·√3 + 25 =
// 111.602 540 378 443 864… mm when it is tilted by 30° (derived): one side in front of it
// and one behind it are proof enough, down to a few billionths of a micrometre.
func TestTiltedProofByHand(t *testing.T) {
	const tilted = `{format: 1, pack: tilted, boxes: [{name: box, count: 1, size: [100, 100, 50], tilt: [30]}]}`
	verify := func(long string) error {
		p := problem(t, fmt.Sprintf(`{format: 1, frame: f, opening: {outline: [[0, 0], [%s, 0], [%s, 200], [0, 200]], across: 150}}`, long, long), tilted)
		sum := []certificate.Term{{Wall: []int{0, 1}, Times: 1}, {Wall: []int{0, 3}, Times: 1}}
		return certificate.Verify(p, certificate.Proof{
			Format: 1, Claim: certificate.Claim, FrameHash: p.Frame.Hash, PackHash: p.Pack.Hash, Tree: &certificate.Node{Sum: sum},
		})
	}
	require.NoError(t, verify("111.6"))
	require.NoError(t, verify("111.602540378443"))
	require.ErrorIs(t, verify("111.6025403785"), certificate.ErrRefused)
	require.ErrorIs(t, verify("111.61"), certificate.ErrRefused)
}

// A box of 60 × 50 × 40 takes 150 along the three axes together, whichever way it is turned:
// the six sides of a cube of 49 are proof enough, though along each axis it may take 40 alone.
// Those of a cube of 50 are not.
func TestASumIsOfOnePose(t *testing.T) {
	verify := func(side int) error {
		p := problem(t, strings.ReplaceAll(cube, "100", fmt.Sprint(side)), `{format: 1, pack: one, boxes: [{name: box, size: [60, 50, 40]}]}`)
		var sum []certificate.Term
		for wall := range 6 {
			sum = append(sum, certificate.Term{Wall: []int{0, wall}, Times: 1})
		}
		return certificate.Verify(p, certificate.Proof{
			Format: 1, Claim: certificate.Claim, FrameHash: p.Frame.Hash, PackHash: p.Pack.Hash, Tree: &certificate.Node{Sum: sum},
		})
	}
	require.NoError(t, verify(49))
	require.ErrorIs(t, verify(50), certificate.ErrRefused)
}

// A flush post counts where the judge has it, on the face. Here it is live, and as far above a step of metal as it has to be, with a box
// that touches the top: its directions from the step are refuted by left, right, front, rear,
// top and floor, but for the one in which it lies.
func TestFlushPostsAreWhereTheJudgeHasThem(t *testing.T) {
	verify := func(high float64) (pack.Problem, error) {
		p := problem(t, fmt.Sprintf(`{format: 1, frame: f, opening: {outline: [[0, 0], [90, 0], [90, %v], [0, %[1]v]], across: 30, metal: false},
  keepouts: [{name: step, box: {low: [35, -15, 0], high: [90, 15, 75.5]}}]}`, high),
			`{format: 1, pack: p, boxes: [{name: box, size: [30, 30, 100.0001], posts: [{name: plus, face: top, at: [15, 15], diameter: 10, height: 0}]}]}`)
		first := 0
		tree := &certificate.Node{Clear: []int{0, 1, 0}}
		for _, against := range []struct {
			wall int
			long float64 // its normal
		}{{4, high}, {5, high}, {1, high}, {3, high}, {2, 90}, {0, 90}} {
			tree.Then = append(tree.Then, certificate.Node{Sum: []certificate.Term{
				{Choice: &first, Times: against.long}, {Wall: []int{0, against.wall}, Times: 1},
			}})
		}
		return p, certificate.Verify(p, certificate.Proof{
			Format: 1, Claim: certificate.Claim, FrameHash: p.Frame.Hash, PackHash: p.Pack.Hash, Tree: tree,
		})
	}
	p, err := verify(100.5)
	require.ErrorIs(t, err, certificate.ErrRefused)
	at := pack.Placement{
		Box: "box", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front},
		Centre: r3.Vector{X: 15, Z: 100.5 - 100.0001/2},
	}
	layout := pack.Layout{Placements: []pack.Placement{at}}
	require.True(t, pack.Check(p, layout).Holds())
	space, err := certificate.NewSpace(p)
	require.NoError(t, err)
	require.NoError(t, space.Allows(layout))
	_, err = verify(100.5 - 1e-6)
	require.NoError(t, err)
}

// Bounds that rest on boxes parallel to the axes say nothing of tilted ones; their volume
// does, but nothing may be made of gaps.
func TestNamedBoundsOfTilted(t *testing.T) {
	verify := func(pack string, proof certificate.Proof) error {
		p := problem(t, cube, pack)
		proof.FrameHash, proof.PackHash = p.Frame.Hash, p.Pack.Hash
		return certificate.Verify(p, proof)
	}
	level := `{format: 1, pack: cubes, gaps: {beside: 0, above: 0}, boxes: [{name: cube, count: 2, size: [51, 51, 51]}]}`
	tilted := strings.Replace(level, "51]", "51], tilt: [0, 45]", 1)
	points := certificate.Proof{Points: &certificate.Points{N: []int{1, 1, 1}}}
	scales := certificate.Proof{Scales: []certificate.Mix{{Along: []certificate.Scale{{By: "points", N: 1}, {By: "points", N: 1}, {By: "points", N: 1}}, Times: 1}}}
	for _, proof := range []certificate.Proof{points, scales} {
		require.NoError(t, verify(level, proof))
		require.ErrorContains(t, verify(tilted, proof), "may not be tilted")
	}
	full := `{format: 1, pack: cubes, gaps: {beside: 0, above: 0}, boxes: [{name: cube, count: 16, size: [40, 40, 40], tilt: [5]}]}`
	require.NoError(t, verify(full, certificate.Proof{Volume: true}))
	apart := strings.Replace(strings.Replace(full, "0, above: 0", "1, above: 1", 1), "count: 16", "count: 15", 1)
	require.ErrorContains(t, verify(apart, certificate.Proof{Volume: true}), "no more volume")
	require.NoError(t, verify(strings.Replace(apart, ", tilt: [5]", "", 1), certificate.Proof{Volume: true}))
}

// Bounds by cells round down, so that neither finer nor coarser steps deny what fits, nor
// blocks of any size; and what does not fit may be denied with gaps, or with lengths that
// are no whole numbers.
func TestCells(t *testing.T) {
	brick := func(count int, gap, size string) string {
		return fmt.Sprintf(`{format: 1, pack: bricks, gaps: {beside: %s, above: %[1]s}, boxes: [{name: brick, count: %d, size: %s, stand: [upright, on-side, on-end]}]}`, gap, count, size)
	}
	chest := func(side string) string {
		return fmt.Sprintf(`{format: 1, frame: chest, opening: {outline: [[0, 0], [%s, 0], [%[1]s, %[1]s], [0, %[1]s]], across: %[1]s}}`, side)
	}
	verify := func(p pack.Problem, block int, step ...float64) error {
		return certificate.Verify(p, certificate.Proof{
			Format: 1, Claim: certificate.Claim, FrameHash: p.Frame.Hash, PackHash: p.Pack.Hash,
			Cells: &certificate.Cells{Step: step, Block: block},
		})
	}
	fits := problem(t, chest("50"), brick(14, "0", "[10, 20, 40]")) // see the puzzles of package search
	for _, step := range []float64{10, 9.999, 10.001, 5, 20, 16.6, 40, 50, 60, 3} {
		for block := range 7 {
			require.ErrorIs(t, verify(fits, block, step, step, step), certificate.ErrRefused, "%v, %v", step, block)
			require.ErrorIs(t, verify(fits, block, step, 10, 10), certificate.ErrRefused, "%v, %v", step, block)
		}
	}
	require.NoError(t, verify(problem(t, chest("50"), brick(15, "0", "[10, 20, 40]")), 0, 10, 10, 10))
	crumbs := strings.Replace(brick(15, "0", "[10, 20, 40]"), "boxes: [", "boxes: [{name: crumb, count: 9, size: [1, 2, 3]}, ", 1)
	require.NoError(t, verify(problem(t, chest("50"), crumbs), 0, 10, 10, 10))
	require.NoError(t, verify(problem(t, chest("60"), brick(27, "0", "[10, 20, 40]")), 2, 10, 10, 10))
	// Each grows by a gap of 1, and the chest by one: 10, 20, 40 in 50, and in 50.9.
	for _, side := range []string{"49", "49.9"} {
		p := problem(t, chest(side), brick(15, "1", "[9, 19, 39]"))
		require.NoError(t, verify(p, 0, 10, 10, 10))
		for _, bad := range [][]float64{{}, {10}, {10, 10, 10, 10}, {10, 10, 0}, {10, 10, -10}, {1e-300, 10, 10}, {1e300, 10, 10}, {0.001, 10, 10}} {
			require.ErrorIs(t, verify(p, 0, bad...), certificate.ErrRefused)
		}
		require.ErrorIs(t, verify(p, -1, 10, 10, 10), certificate.ErrRefused)
		require.ErrorIs(t, verify(p, 65, 10, 10, 10), certificate.ErrRefused)
	}
	tilted := brick(15, "0", "[10, 20, 40], tilt: [0, 5]")
	require.ErrorContains(t, verify(problem(t, chest("50"), tilted), 0, 10, 10, 10), "may not be tilted")
	long := brick(1, "0", "[10, 20, 60]")
	require.NoError(t, verify(problem(t, chest("50"), strings.Replace(long, "upright, on-side, on-end", "on-end", 1)), 0, 10, 10, 10))
	require.ErrorIs(t, verify(problem(t, chest("60"), long), 0, 10, 10, 10), certificate.ErrRefused)
}
