package stand

import (
	"bufio"
	"encoding/json"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
)

const python = "/usr/bin/python3"

// exhaustive is the search by enumeration and linear programs in testdata/levels.py.
type exhaustive struct {
	in  io.WriteCloser
	out *bufio.Scanner
}

func startExhaustive(t *testing.T) exhaustive {
	t.Helper()
	if err := exec.Command(python, "-c", "from scipy.optimize import milp").Run(); err != nil {
		if os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "1" {
			t.Fatalf("%s with scipy 1.9 is needed and missing: %v", python, err)
		}
		t.Skipf("%s with scipy 1.9 is missing", python)
	}
	cmd := exec.CommandContext(t.Context(), python, "testdata/levels.py")
	cmd.Stderr = os.Stderr
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	t.Cleanup(func() { _ = cmd.Wait() }) // the context has ended it
	return exhaustive{in, bufio.NewScanner(out)}
}

type (
	levelsBox struct {
		Sizes [][3]float64 `json:"sizes"`
	}
	levelsQuestion struct {
		Outline [][2]float64 `json:"outline"`
		Across  float64      `json:"across"`
		Beside  float64      `json:"beside"`
		Above   float64      `json:"above"`
		Tray    float64      `json:"tray"`
		Levels  int          `json:"levels"`
		Boxes   []levelsBox  `json:"boxes"`
	}
)

// spare is the greatest on so many levels, and false where nothing stands.
func (e exhaustive) spare(t *testing.T, p pack.Problem, levels int) (float64, bool) {
	t.Helper()
	across := p.Frame.Opening.Stations[0].Across
	q := levelsQuestion{Across: across.Length(), Beside: p.Pack.Gaps.Beside, Above: p.Pack.Gaps.Above, Tray: p.Pack.Gaps.Tray, Levels: levels}
	for _, c := range p.Frame.Opening.Outline.Corners {
		q.Outline = append(q.Outline, [2]float64{c.X, c.Y})
	}
	for _, k := range p.Pack.Kinds {
		for range k.Count {
			q.Boxes = append(q.Boxes, levelsBox{sizesOf(p, k)})
		}
	}
	require.NoError(t, json.NewEncoder(e.in).Encode(q))
	require.True(t, e.out.Scan())
	var a struct {
		Spare *float64 `json:"spare"`
	}
	require.NoError(t, json.Unmarshal(e.out.Bytes(), &a))
	if a.Spare == nil {
		return 0, false
	}
	return *a.Spare, true
}

// sizesOf are the sizes along x, y and z in all ways in which a box without posts may stand.
func sizesOf(p pack.Problem, k pack.Kind) [][3]float64 {
	seen := map[[3]float64]bool{}
	var list [][3]float64
	s := p.Size(k)
	own := [3]float64{s.X, s.Y, s.Z}
	for _, o := range k.Orientations() {
		size := [3]float64{own[o.Front.Axis()], own[3-o.Front.Axis()-o.Up.Axis()], own[o.Up.Axis()]}
		if !seen[size] {
			seen[size], list = true, append(list, size)
		}
	}
	return list
}

// randomProblem draws two to four boxes of one or two kinds in a leaning opening.
func randomProblem(seed uint64) pack.Problem {
	rng := rand.New(rand.NewPCG(seed, 2611))
	between := func(lo, hi int) float64 { return float64(lo + rng.IntN(hi-lo+1)) }
	f := chest(between(150, 260), r2.Point{}, r2.Point{X: between(240, 400), Y: between(0, 60)},
		r2.Point{X: between(260, 480), Y: between(200, 330)}, r2.Point{X: between(-40, 60), Y: between(200, 330)})
	one := block("one", 1+rng.IntN(3), between(90, 170), between(70, 130), between(60, 120))
	one.Stands = []pack.Stand{pack.Upright, pack.OnSide}
	two := block("two", 1, between(60, 150), between(60, 110), between(40, 80))
	return problemOf(f, one, two)
}

// An exhaustive search written apart, with another solver, finds no layout with fewer levels at
// the same reserve: for one and two levels its greatest spare is no more than what was found, to
// 0.01 mm. It is run with and without presolving, for HiGHS now and then takes less than the
// optimum for it; what was found to have more is judged, and counted.
// One in twenty may be missed, for the search is none of all layouts, and is told with by how much.
// RACKWRIGHT_LEVELS=200 takes so many random problems instead of a few.
func TestExhaustiveSearchFindsNoFewerLevels(t *testing.T) {
	e := startExhaustive(t)
	problems, starts := 4, 480
	if n, err := strconv.Atoi(os.Getenv("RACKWRIGHT_LEVELS")); err == nil {
		problems, starts = n, 960
	}
	fit, met, beyond, missed, worst := [3]int{}, 0, 0, 0, 0.0
	for seed := range uint64(problems) {
		p := randomProblem(seed)
		s := searched(t, p, 2, starts)
		for levels := 1; levels <= 2; levels++ {
			want, fits := e.spare(t, p, levels)
			got := 0.0
			if levels <= s.most {
				for l := 1; l <= levels; l++ { // fewer levels are no more
					got = max(got, checked(t, s, l))
				}
			}
			if got > 0 {
				fit[levels]++
			}
			if fits {
				met++
				if got < want-0.01 {
					missed++
					worst = max(worst, want-got)
					t.Logf("seed %d: on %d levels %.3f mm was found, and %.3f by HiGHS", seed, levels, got, want)
				}
			}
			if got > want+0.01 {
				beyond++ // judged: HiGHS has stopped short of its optimum
			}
		}
	}
	require.Positive(t, met)
	require.LessOrEqual(t, missed, met/20)
	require.Less(t, beyond, max(3, problems/10))
	t.Logf("%d problems, %d questions, %d missed by %.2f mm at most: %d stand on one level, %d on two or fewer; %d times HiGHS stopped short of what the judge has found good", problems, met, missed, worst, fit[1], fit[2], beyond)
}

// Laws: a problem whose boxes come in another order or have other names, that is seen in a mirror, or
// that is twice as large, has the same greatest spare on one and two levels, or twice that.
func TestLaws(t *testing.T) {
	for _, seed := range []uint64{2, 3} {
		p := randomProblem(seed)
		one, two := bestOf(t, p)
		for name, c := range map[string]struct {
			change func(*pack.Problem)
			scale  float64
		}{
			"another order": {func(p *pack.Problem) { p.Pack.Kinds[0], p.Pack.Kinds[1] = p.Pack.Kinds[1], p.Pack.Kinds[0] }, 1},
			"other names":   {func(p *pack.Problem) { p.Pack.Kinds[0].Name, p.Pack.Kinds[1].Name = "zebra", "ant" }, 1},
			"a mirror": {func(p *pack.Problem) {
				for i, c := range p.Frame.Opening.Outline.Corners { // front to rear
					p.Frame.Opening.Outline.Corners[i].X = -c.X
				}
				slices.Reverse(p.Frame.Opening.Outline.Corners)
			}, 1},
			"twice": {twice, 2},
		} {
			q := randomProblem(seed)
			c.change(&q)
			first, second := bestOf(t, q)
			require.InDelta(t, c.scale*one, first, 0.02, "seed %d: %s", seed, name)
			require.InDelta(t, c.scale*two, second, 0.02, "seed %d: %s", seed, name)
		}
	}
}

// bestOf are the greatest spares on one level and on two at most.
func bestOf(t *testing.T, p pack.Problem) (one, two float64) {
	t.Helper()
	s := searched(t, p, 2, 320)
	one = checked(t, s, 1)
	return one, max(one, checked(t, s, 2))
}

// twice makes everything twice as large.
func twice(p *pack.Problem) {
	for i, c := range p.Frame.Opening.Outline.Corners {
		p.Frame.Opening.Outline.Corners[i] = c.Mul(2)
	}
	across := &p.Frame.Opening.Stations[0].Across
	across.Lo, across.Hi = 2*across.Lo, 2*across.Hi
	for i := range p.Pack.Kinds {
		p.Pack.Kinds[i].Size = p.Pack.Kinds[i].Size.Mul(2)
	}
	g := &p.Pack.Gaps
	g.Beside, g.Above, g.Tray = 2*g.Beside, 2*g.Above, 2*g.Tray
}
