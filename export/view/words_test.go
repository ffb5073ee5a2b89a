package view

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/export"
	"rackwright/export/label"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// allViews are those that are always drawn, and the others.
var allViews = append(Directions[:], Others[:]...)

var drawnOnce map[string]*Scene // by the first test that asks

// layouts are those of the examples, one with seven boxes and one with twelve, thrown into their
// opening with no respect for each other, and one that overlaps.
func layouts(t *testing.T) map[string]*Scene {
	t.Helper()
	if drawnOnce != nil {
		return drawnOnce
	}
	all := map[string]*Scene{}
	add := func(name string, p pack.Problem, j export.Judged, o Options) {
		s, err := NewScene(p, j, o)
		require.NoError(t, err)
		all[name] = s
	}
	for _, name := range []string{"courier", "cargo", "lane", "trail"} {
		p, j := example(t, name)
		add(name, p, j, Options{Units: []geom.Unit{geom.Millimetre}})
		if name == "lane" {
			add("lane in both units, notched", p, j, Options{Units: []geom.Unit{geom.Millimetre, geom.Inch}, Notches: []Notch{{
				KeepOut: "tank cover", Depth: 2, Solids: []geom.Solid{geom.Box{Centre: r3.Vector{X: 100, Z: 240}, Axes: pack.Orientation{Up: pack.Top}.Axes(), Half: r3.Vector{X: 40, Y: 60, Z: 1}}},
			}}})
		}
	}
	for n := 7; n <= 12; n++ {
		p, j := thrown(t, n, uint64(n))
		add(fmt.Sprint(n, " boxes"), p, j, Options{})
	}
	drawnOnce = all
	return all
}

// thrown is a problem with n boxes that stand anywhere, and rails and keep-outs around them.
func thrown(t *testing.T, n int, seed uint64) (pack.Problem, export.Judged) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 35))
	f, err := frame.Read(strings.NewReader(`format: 1
frame: bay
opening: {outline: [[0, 0], [600, 0], [640, 320], [0, 320]], across: [-140, 140], sides: [floor, front, top, rear]}
rails:
  - {name: lower tube left, path: [[0, 150, -30], [600, 150, -30]], diameter: 30}
  - {name: lower tube right, path: [[0, -150, -30], [600, -150, -30]], diameter: 30}
  - {name: head tube, path: [[690, 0, -20], [740, 0, 340]], diameter: 40}
`), "frame.yaml")
	require.NoError(t, err)
	p := &pack.Pack{Name: "thrown", Gaps: pack.DefaultGaps()}
	var l pack.Layout
	for i := range n {
		name := []string{"block", "main charger", "dc converter", "motor controller"}[i%4]
		if i < 4 {
			p.Kinds = append(p.Kinds, pack.Kind{Name: name, Count: n, Size: r3.Vector{X: 60 + 90*rng.Float64(), Y: 50 + 60*rng.Float64(), Z: 50 + 60*rng.Float64()}, Stands: []pack.Stand{pack.Upright}, Tilts: []s1.Angle{0}})
		}
		half := p.Kinds[i%4].Size.Mul(0.5)
		in := func(h float64, r r1.Interval) float64 { return r.Lo + h + rng.Float64()*(r.Length()-2*h) }
		l.Placements = append(l.Placements, pack.Placement{Box: name, Number: i/4 + 1, Orientation: pack.Orientation{Up: pack.Top}, Centre: r3.Vector{
			X: in(half.X, r1.Interval{Lo: 0, Hi: 600}), Y: in(half.Y, r1.Interval{Lo: -140, Hi: 140}), Z: in(half.Z, r1.Interval{Lo: 0, Hi: 320}),
		}})
	}
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	return problem, export.Judged{Layout: l, Report: pack.Check(problem, l)}
}

// In every view of every layout every box, and every rail and keep-out of which anything can be
// seen, has its name on it or beside it with a leader that ends on it; no words lie on others, on a
// callout or on a post's sign, none leaves its picture, and nothing is drawn after them.
func TestEveryNameHasItsRoom(t *testing.T) {
	for name, s := range layouts(t) {
		for _, dir := range allViews {
			d := s.ready().view(dir)
			d.draw()
			what := name + ", " + dir.String()
			requireRoom(t, what, d)
			requireNamed(t, what, d)
			text := d.String()
			first := strings.Index(text, "rw-halo")
			require.Positive(t, first, what)
			require.NotContains(t, text[first:], "<path", what)
		}
	}
}

func requireRoom(t *testing.T, what string, d *drawing) {
	t.Helper()
	page := r2.RectFromPoints(r2.Point{}, d.size)
	for _, w := range d.worded {
		areas := slices.Clone(d.taken)
		for i, p := range w.places {
			if p.Out {
				continue
			}
			require.True(t, page.Contains(p.Area), "%s: %v leaves the picture", what, w.said[i].rows(p))
			for _, a := range areas {
				const touch = 0.5
				require.False(t, a.ExpandedByMargin(-touch).Intersects(p.Area.ExpandedByMargin(-touch)), "%s: %v on something", what, w.said[i].rows(p))
			}
			areas = append(areas, p.Area)
		}
	}
}

// requireNamed looks the names up: a name stands on its own thing, or has a leader to it.
func requireNamed(t *testing.T, what string, d *drawing) {
	t.Helper()
	owner := label.NewMap(d.pxRect(d.window), d.seenAt)
	for _, b := range append(d.scene.ofRole(isBox), d.largest()...) {
		number := d.owners[b.key()]
		seen := len(owner.Cells(number, 1)) > 0
		if b.role != boxBody && !seen {
			continue
		}
		for _, w := range d.worded {
			found := false
			for k, s := range w.said {
				p := w.places[k]
				words := ""
				for _, r := range s.rows(p) {
					words += r.text + " "
				}
				if !strings.Contains(words, b.name) {
					continue
				}
				found = true
				if !seen || strings.Contains(words, ",") {
					continue
				}
				at := p.Area.Center()
				if len(p.Leader) > 0 {
					at = p.Leader[len(p.Leader)-1]
				}
				require.Equal(t, number, d.seenAt(at), "%s: %s is not told at its place", what, b.name)
			}
			require.True(t, found, "%s: %s is not told", what, b.name)
		}
	}
}

// Each figure beside a view is read back: its line ends as many millimetres from where the tape is
// hooked in, by the scale bar, as the figure says. Pixels are written to a tenth.
func TestDimensionsAreReadBack(t *testing.T) {
	number := `(-?[\d.]+)`
	left := regexp.MustCompile(`d="M\S+ \S+ \S+ \S+ ` + number + ` ` + number + `"/>\n<text class="rw-t rw-e[^"]*" x=\S+ y=\S+>([\d.]*)([^<]*)<`)
	below := regexp.MustCompile(`d="M\S+ \S+ \S+ \S+ ` + number + ` ` + number + `"/>\n<text class="rw-t rw-e[^"]*" transform=[^>]*>([\d.]*)([^<]*)<`)
	bar := regexp.MustCompile(`rw-line" d="M` + number + ` \S+ \S+ \S+ \S+ \S+ ` + number + ` [^"]*"/>\n<text class="rw-t" x="\S+" y="\S+">([\d.]+) mm<`)
	for name, s := range layouts(t) {
		if strings.Contains(name, "both units") {
			continue
		}
		for _, dir := range allViews {
			var b bytes.Buffer
			require.NoError(t, s.WriteView(&b, dir))
			text := b.String()
			m := bar.FindStringSubmatch(text)
			require.NotNil(t, m, "%s %v", name, dir)
			long := parsed(t, m[2]) - parsed(t, m[1])
			scale := long / parsed(t, m[3])
			require.Greater(t, readBack(t, left.FindAllStringSubmatch(text, -1), 2, scale, long), 2)
			require.Greater(t, readBack(t, below.FindAllStringSubmatch(text, -1), 1, scale, long), 2)
		}
	}
}

func parsed(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}

// readBack compares figures with where their lines end, in a coordinate of the picture.
func readBack(t *testing.T, all [][]string, coordinate int, scale, long float64) int {
	t.Helper()
	zero := 0.0
	for _, m := range all {
		if m[3] == "" { // floor 0, rear 0, middle 0
			zero = parsed(t, m[coordinate])
		}
	}
	for _, m := range all {
		if m[3] == "" {
			continue
		}
		away := parsed(t, m[coordinate]) - zero
		if away < 0 {
			away = -away
		}
		const pixel = 0.1
		require.InDelta(t, parsed(t, m[3]), away/scale, 0.1+2*pixel/scale+away/scale*2*pixel/long, m[0])
	}
	return len(all)
}

// rsvg and poppler find all words on the page, none on another, and capitals that are 3 mm high:
// 0.72 of the size, as in faces that browsers take for sans-serif (Arial's are 1467 of 2048).
func TestPrintedWords(t *testing.T) {
	for _, tool := range []string{"rsvg-convert", "pdftotext"} {
		if _, err := exec.LookPath(tool); err != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
			t.Skip(tool + " is missing")
		}
	}
	dir := t.TempDir()
	for name, s := range layouts(t) {
		if !slices.Contains([]string{"courier", "lane", "12 boxes"}, name) && os.Getenv("RACKWRIGHT_SHOTS") == "" || strings.Contains(name, "both units") {
			continue // each takes a second; in both units they are written at the same places
		}
		for _, d := range allViews {
			var b bytes.Buffer
			require.NoError(t, s.WriteView(&b, d))
			svg, pdf := filepath.Join(dir, "a.svg"), filepath.Join(dir, "a.pdf")
			require.NoError(t, os.WriteFile(svg, b.Bytes(), 0o600))
			out, err := exec.Command("rsvg-convert", "-f", "pdf", "-o", pdf, svg).CombinedOutput()
			require.NoError(t, err, string(out))
			words := wordsOf(t, pdf)
			require.Greater(t, len(words), 20)
			for i, a := range words {
				for _, o := range words[:i] {
					const touch = 1.5 // points: the boxes of letters reach beyond their ink
					require.False(t, a.area.ExpandedByMargin(-touch).Intersects(o.area.ExpandedByMargin(-touch)), "%s, %v: %s on %s", name, d, a.text, o.text)
				}
			}
			require.Contains(t, b.String(), ".rw-t{font:16px ")
		}
	}
	require.GreaterOrEqual(t, textHeight*25.4/96*1467/2048, 3.0)
}

type word struct {
	text string
	area r2.Rect
}

func wordsOf(t *testing.T, pdf string) []word {
	t.Helper()
	out, err := exec.Command("pdftotext", "-bbox", pdf, "-").Output()
	require.NoError(t, err)
	var all []word
	for _, m := range regexp.MustCompile(`<word xMin="(.*?)" yMin="(.*?)" xMax="(.*?)" yMax="(.*?)">(.*?)</word>`).FindAllStringSubmatch(string(out), -1) {
		var v [4]float64
		for i := range v {
			v[i], err = strconv.ParseFloat(m[i+1], 64)
			require.NoError(t, err)
		}
		all = append(all, word{m[5], r2.RectFromPoints(r2.Point{X: v[0], Y: v[1]}, r2.Point{X: v[2], Y: v[3]})})
	}
	return all
}
