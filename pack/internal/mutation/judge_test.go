package mutation

import (
	"bufio"
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// root is the module's.
const root = "../../.."

// suite is a judge: the files that decide, the packages whose tests have to notice changes, and
// what these are called with.
type suite struct{ files, packages, flags []string }

// layouts is what decides whether a layout holds: the check, and the distances it rests on.
// (Not on those of geom/smooth.go, for neither cases nor posts are cylinders.) Tests of pack
// notice changes of geom too.
var layouts = suite{[]string{
	"pack/check.go", "pack/judge.go", "pack/checkrelations.go", "pack/relation.go", "pack/need.go", "pack/faults.go", "pack/problem.go", "pack/orientation.go",
	"geom/box.go", "geom/halfspace.go", "geom/prism.go", "geom/tube.go", "geom/cylinder.go", "geom/vector.go", "geom/solid.go", "geom/sheet.go",
	"geom/measure.go", "geom/flat.go", "geom/polytope.go", "geom/roundgap.go",
	"geom/polygon.go", "geom/simple.go",
}, []string{"geom", "pack"}, []string{"-rapid.seed=1", "-rapid.nofailfile", "-rapid.shrinktime=0s"}}

// racks is what decides whether a rack keeps the rules.
var racks = suite{[]string{
	"pack/rack/judge/judge.go", "pack/rack/judge/scene.go", "pack/rack/judge/tied.go", "pack/rack/judge/clamps.go", "pack/rack/judge/carried.go", "pack/rack/judge/held.go", "pack/rack/judge/hangs.go",
	"pack/rack/judge/posts.go", "pack/rack/judge/reach.go", "pack/rack/judge/room.go", "pack/rack/judge/welds.go", "pack/rack/judge/order.go", "pack/rack/judge/holds.go",
}, []string{"pack/rack/judge"}, nil}

// caught is the part of the mutants that tests have to notice.
const caught = 0.95

// switchedBy is what tells the programs of the tests which mutant is on.
const switchedBy = "RACKWRIGHT_MUTANT"

// Tests notice nearly every change of a comparison, a constant or an operator in the judge of
// layouts and in that of racks; those that they do not notice are listed in
// testdata/survivors.txt, each with the reason why it makes no difference. It takes an hour or
// two of one processor:
//
//	RACKWRIGHT_MUTATE=all go test ./pack/internal/mutation -run Judge -v -timeout 3h
//
// Anything but all is a regular expression: it takes the changes whose line in the list
// it matches, so ^geom/box.go those of one file. For a first look RACKWRIGHT_MUTATE_SKIP,
// another one, leaves out slow tests.
func TestTestsNoticeChangesOfTheJudge(t *testing.T) { layouts.test(t) }

func TestTestsNoticeChangesOfTheJudgeOfRacks(t *testing.T) { racks.test(t) }

func (s suite) test(t *testing.T) {
	which := os.Getenv("RACKWRIGHT_MUTATE")
	if which == "" {
		t.Skip("RACKWRIGHT_MUTATE is not set")
	}
	pattern := which
	if which == "all" {
		pattern = "."
	}
	trials := s.trials(t, regexp.MustCompile(pattern))
	if len(trials) == 0 {
		t.Skip("no change of these files is wanted")
	}
	s.prepare(t, trials)
	known := survivors(t)
	maps.DeleteFunc(known, func(name, _ string) bool { return !slices.Contains(s.files, strings.Fields(name)[0]) })
	count := map[fate]int{}
	for _, one := range trials {
		count[one.fate]++
		reason, listed := known[one.name()]
		switch {
		case one.fate == survived && reason == "":
			t.Errorf("not in testdata/survivors.txt with a reason: %s (line %d)", one.name(), one.Line)
		case one.fate != survived && listed:
			t.Errorf("in testdata/survivors.txt and yet %v: %s", one.fate, one.name())
		}
		delete(known, one.name())
	}
	if which == "all" {
		require.Empty(t, known, "in testdata/survivors.txt and not among the changes")
	}
	all := count[noticed] + count[survived]
	t.Logf("%d of %d are noticed", count[noticed], all)
	require.GreaterOrEqual(t, float64(count[noticed]), caught*float64(all))
}

// survivors reads the list: a line for the mutant, and an indented one with the reason.
func survivors(t *testing.T) map[string]string {
	t.Helper()
	f, err := os.Open("testdata/survivors.txt")
	require.NoError(t, err)
	defer f.Close()
	list, last := map[string]string{}, ""
	for s := bufio.NewScanner(f); s.Scan(); {
		switch text := s.Text(); {
		case strings.HasPrefix(text, "\t"):
			list[last] += strings.TrimSpace(text)
		case text != "" && !strings.HasPrefix(text, "#"):
			last = text
			list[last] = ""
		}
	}
	return list
}

type fate int

const (
	survived fate = iota
	noticed
	stillborn // it does not compile
)

func (f fate) String() string { return [...]string{"not noticed", "noticed", "not to be compiled"}[f] }

// trial is a mutant and what becomes of it.
type trial struct {
	Mutant
	file string // from the root
	fate fate
}

func (m *trial) name() string { return m.file + " " + m.Key }

func (s suite) trials(t *testing.T, wanted *regexp.Regexp) []*trial {
	t.Helper()
	var trials []*trial
	for _, file := range s.files {
		source, err := os.ReadFile(filepath.Join(root, file))
		require.NoError(t, err)
		mutants, err := Mutants(file, source)
		require.NoError(t, err)
		for _, m := range mutants {
			if one := (&trial{Mutant: m, file: file}); wanted.MatchString(one.name()) {
				one.Number = len(trials) + 1
				trials = append(trials, one)
			}
		}
	}
	return trials
}

// prepare finds out what becomes of the mutants: first of all that can be woven into one
// program, then of the others one by one.
func (s suite) prepare(t *testing.T, trials []*trial) {
	t.Helper()
	dir := t.TempDir()
	t.Setenv("RACKWRIGHT_FCL", filepath.Join(dir, "fcl_distance"))
	b := builder{suite: s, t: t, dir: dir}
	alone := b.weave(trials)
	stages := b.measured()
	var together []*trial
	for _, one := range trials {
		if one.fate != stillborn && !slices.Contains(alone, one) {
			together = append(together, one)
		}
	}
	var wait sync.WaitGroup
	queue := make(chan *trial)
	for range runtime.NumCPU() {
		wait.Go(func() {
			for one := range queue {
				one.run(t, stages)
			}
		})
	}
	for i, one := range together {
		if i%50 == 0 {
			t.Logf("%d of %d are in hand", i, len(trials))
		}
		queue <- one
	}
	close(queue)
	wait.Wait()
	for _, one := range alone {
		if b.single(one) {
			one.run(t, stages)
		}
	}
}

// builder compiles the tests with files in the place of others.
type builder struct {
	suite
	t   *testing.T
	dir string
}

// weave compiles the tests with as many mutants as it can and returns those that have to
// be compiled alone.
func (b builder) weave(trials []*trial) (alone []*trial) {
	b.t.Helper()
	byNumber := map[int]*trial{}
	for _, one := range trials {
		byNumber[one.Number] = one
	}
	for {
		files := map[string][]byte{}
		for _, p := range b.packages {
			files[filepath.Join(p, "mutanton.go")] = Switch(filepath.Base(p), switchedBy)
		}
		alone = nil
		for _, file := range b.files {
			var mutants []Mutant
			for _, one := range trials {
				if one.file == file && one.fate != stillborn {
					mutants = append(mutants, one.Mutant)
				}
			}
			source, err := os.ReadFile(filepath.Join(root, file))
			require.NoError(b.t, err)
			woven, left, err := Weave(file, source, mutants)
			require.NoError(b.t, err)
			files[file] = woven
			for _, m := range left {
				alone = append(alone, byNumber[m.Number])
			}
		}
		errors := b.compile(files)
		if errors == "" {
			return alone
		}
		found := regexp.MustCompile(`mutant(\d+)\.go`).FindAllStringSubmatch(errors, -1)
		require.NotEmpty(b.t, found, errors)
		for _, f := range found {
			number, err := strconv.Atoi(f[1])
			require.NoError(b.t, err)
			byNumber[number].fate = stillborn
		}
	}
}

// single compiles the tests with one mutant and tells whether that can be done.
func (b builder) single(one *trial) bool {
	b.t.Helper()
	source, err := os.ReadFile(filepath.Join(root, one.file))
	require.NoError(b.t, err)
	if b.compile(map[string][]byte{one.file: one.Source(source)}) != "" {
		one.fate = stillborn
		return false
	}
	return true
}

// compile makes a test program of each package, and returns what the compiler has
// against it.
func (b builder) compile(files map[string][]byte) string {
	b.t.Helper()
	replace := map[string]string{}
	for file, source := range files {
		path, err := filepath.Abs(filepath.Join(root, file))
		require.NoError(b.t, err)
		replace[path] = filepath.Join(b.dir, strings.ReplaceAll(file, "/", "_"))
		require.NoError(b.t, os.WriteFile(replace[path], source, 0o600))
	}
	overlay, err := json.Marshal(map[string]any{"Replace": replace})
	require.NoError(b.t, err)
	list := filepath.Join(b.dir, "overlay.json")
	require.NoError(b.t, os.WriteFile(list, overlay, 0o600))
	for _, p := range b.packages {
		cmd := exec.Command("go", "test", "-c", "-gcflags=-e", "-overlay", list, "-o", b.program(p), "./"+p)
		cmd.Dir = root
		if out, err := cmd.CombinedOutput(); err != nil {
			return string(out)
		}
	}
	return ""
}

// program is where the tests of a package are compiled to.
func (b builder) program(of string) string { return filepath.Join(b.dir, filepath.Base(of)+".test") }

// stage is some tests of a package and how long they take when nothing is wrong.
type stage struct {
	program, folder string
	tests, flags    []string
	seconds         float64
}

// measured returns the tests of all packages in stages, the quickest first: each stage
// has those of one package that take up to three times as long as the ones before.
func (b builder) measured() []stage {
	b.t.Helper()
	passed := regexp.MustCompile(`(?m)^--- PASS: (\S+) \(([\d.]+)s\)`)
	var stages []stage
	for _, p := range b.packages {
		all := stage{program: b.program(p), folder: filepath.Join(root, p), tests: []string{".*"}, flags: b.flags, seconds: 600}
		out, err := all.command(0, "-test.v").CombinedOutput()
		require.NoError(b.t, err, "without any change: %s", out)
		durations := map[string]float64{}
		for _, m := range passed.FindAllStringSubmatch(string(out), -1) {
			durations[m[1]], err = strconv.ParseFloat(m[2], 64)
			require.NoError(b.t, err)
		}
		for from, to := -1.0, 0.01; len(durations) > 0; from, to = to, 3*to {
			s := stage{program: all.program, folder: all.folder, flags: all.flags}
			for test, seconds := range durations {
				if from < seconds && seconds <= to {
					s.tests = append(s.tests, test)
					s.seconds += seconds
					delete(durations, test)
				}
			}
			if len(s.tests) > 0 {
				stages = append(stages, s)
			}
		}
	}
	slices.SortStableFunc(stages, func(a, b stage) int { return cmp.Compare(a.seconds, b.seconds) })
	return stages
}

// command runs the tests with a mutant on: with so much memory and time of the processor
// and no more, for it may go on for ever, and the same random numbers every time.
func (s stage) command(number int, more ...string) *exec.Cmd {
	const limits = `ulimit -v 8000000; ulimit -t "$1"; shift; exec "$@"`
	args := []string{
		"-c", limits, "sh", strconv.Itoa(int(10 + 5*s.seconds)), s.program,
		"-test.run=^(" + strings.Join(s.tests, "|") + ")$", "-test.failfast", "-test.timeout=1h",
		"-test.skip=" + os.Getenv("RACKWRIGHT_MUTATE_SKIP"),
	}
	cmd := exec.Command("sh", slices.Concat(args, s.flags, more)...)
	cmd.Dir = s.folder
	cmd.Env = append(os.Environ(), "GOMAXPROCS=1", fmt.Sprintf("%s=%d", switchedBy, number))
	return cmd
}

// run lets the tests run on the mutant until one notices it.
func (m *trial) run(t *testing.T, stages []stage) {
	for _, s := range stages {
		if strings.HasPrefix(m.file, "pack/") && filepath.Base(s.folder) == "geom" {
			continue
		}
		if s.command(m.Number).Run() != nil {
			m.fate = noticed
			return
		}
	}
	t.Logf("not noticed: %s", m.name())
}
