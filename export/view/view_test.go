package view

import (
	"bytes"
	"encoding/xml"
	"flag"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/export"
	"rackwright/export/layoutfile"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

var update = flag.Bool("update", false, "draw the pictures of the examples anew")

const examples = "../../testdata/"

func example(t *testing.T, name string) (pack.Problem, export.Judged) {
	t.Helper()
	open := func(file string) *os.File {
		f, err := os.Open(examples + name + "/" + file)
		require.NoError(t, err)
		t.Cleanup(func() { f.Close() })
		return f
	}
	f, err := frame.Read(open("frame.yaml"), "frame.yaml")
	require.NoError(t, err)
	p, err := pack.Read(open("pack.yaml"), "pack.yaml")
	require.NoError(t, err)
	l, err := layoutfile.Read(open("layout.yaml"), "layout.yaml")
	require.NoError(t, err)
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	return problem, export.Judged{Layout: l.Layout, Report: pack.Check(problem, l.Layout)}
}

// The picture that the README shows is what the layout beside it gives.
func TestPictureOfExampleIsCurrent(t *testing.T) {
	problem, judged := example(t, "courier")
	require.True(t, judged.Report.Holds())
	s, err := NewScene(problem, judged, Options{})
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, s.WriteSheet(&b))
	const path = examples + "courier/layout.svg"
	if *update {
		require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	}
	there, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, string(there), b.String(), "go test ./export/view -update draws it anew; look at it then")
}

// The numbers in the picture that the README shows are those of its files, reckoned here from
// nothing but the text of the layout, the sizes in the pack and the outline in the frame: the face
// that looks up says which size stands upright, the one that looks forward which lies along. Every
// label is one of its box, and every box has its four.
func TestPictureOfExampleIsOfItsFiles(t *testing.T) {
	drawn, err := os.ReadFile(examples + "courier/layout.svg")
	require.NoError(t, err)
	want := map[string][]string{"top": {"250"}, "front end": {"470"}, "edge": {"125 right", "125 left"}}
	sizes := map[string][3]float64{"cell block": {150, 112, 102}, "charger": {168, 84, 62}, "controller": {140, 90, 52}}
	text, err := os.ReadFile(examples + "courier/layout.yaml")
	require.NoError(t, err)
	placed := regexp.MustCompile(`box: "([^"]+)", number: (\d+), up: (\w+), front: (\w+), tilt_deg: 0, centre_mm: \[(\S+), (\S+), (\S+)\]`)
	axis := map[string]int{"front": 0, "back": 0, "left": 1, "right": 1, "top": 2, "bottom": 2}
	shown := func(mm float64) string { return strconv.FormatFloat(math.Round(mm*10)/10, 'f', -1, 64) }
	boxes := 0
	for _, m := range placed.FindAllStringSubmatch(string(text), -1) {
		boxes++
		size, up, along := sizes[m[1]], axis[m[3]], axis[m[4]]
		var at [3]float64
		for i := range at {
			at[i], err = strconv.ParseFloat(m[5+i], 64)
			require.NoError(t, err)
		}
		across := size[3-up-along] / 2
		side := func(y float64) string {
			if y < 0 {
				return shown(-y) + " right"
			}
			return shown(y) + " left"
		}
		want[m[1]+" "+m[2]] = []string{shown(at[0] - size[along]/2), shown(at[2] - size[up]/2), side(at[1] - across), side(at[1] + across)}
	}
	require.Equal(t, 6, boxes)
	seen := map[string]bool{}
	for _, m := range regexp.MustCompile(`>([\d.]+(?: right| left)?) · ([^<,]+)`).FindAllStringSubmatch(string(drawn), -1) {
		require.Contains(t, want[m[2]], m[1], "the label of %s", m[2])
		seen[m[1]] = true
	}
	for name, numbers := range want {
		for _, n := range numbers {
			require.True(t, seen[n], "%s of %s is not told", n, name)
		}
	}
}

// shelf is an opening 300 long, 100 across and 200 high whose corner is not at the
// origin, with two boxes and a rail before them.
func shelf(t *testing.T) (pack.Problem, export.Judged) {
	t.Helper()
	const files = `format: 1
frame: shelf
opening: {outline: [[50, 30], [350, 30], [350, 230], [50, 230]], across: [-40, 60]}
rails: [{name: bar, path: [[40, -60, 120], [360, -60, 120]], diameter: 20}]
`
	f, err := frame.Read(strings.NewReader(files), "frame.yaml")
	require.NoError(t, err)
	p, err := pack.Read(strings.NewReader(`format: 1
pack: two
boxes:
  - {name: low, size: [100, 80, 60], posts: [{name: plus, face: front, at: [40, 30], diameter: 10, height: 12, polarity: "+"}]}
  - {name: high, size: [50, 40, 30]}
`), "pack.yaml")
	require.NoError(t, err)
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	l := pack.Layout{Placements: []pack.Placement{
		{Box: "low", Number: 1, Orientation: pack.Orientation{Up: pack.Top}, Centre: r3.Vector{X: 110, Y: 10, Z: 70}},
		{Box: "high", Number: 1, Orientation: pack.Orientation{Up: pack.Top}, Centre: r3.Vector{X: 200, Y: 0, Z: 160}},
	}}
	return problem, export.Judged{Layout: l, Report: pack.Check(problem, l)}
}

// The dimensions of the shelf, worked out by hand: low reaches from 60 to 160 along, −30
// to 50 across and 40 to 100 up; the opening begins at 50 along and 30 up.
func TestDimensionsByHand(t *testing.T) {
	problem, judged := shelf(t)
	for d, want := range map[Direction][]string{
		FromRight: {"10 · low 1", "115 · high 1", "10 · low 1", "125 · high 1", "floor 0", "rear 0", "200 · top", "300 · front end"},
		FromFront: {"30 right · low 1", "50 left · low 1", "20 right · high 1", "20 left · high 1", "middle 0", "40 right · edge", "60 left · edge"},
		FromTop:   {"30 right · low 1", "50 left · low 1", "10 · low 1", "125 · high 1", "middle 0", "rear 0"},
	} {
		text := drawn(t, problem, judged, Options{}, d)
		for _, line := range want {
			require.Contains(t, text, ">"+line+"<", "%v", d)
		}
	}
	both := drawn(t, problem, judged, Options{Units: []geom.Unit{geom.Millimetre, geom.Inch}}, FromRight)
	require.Contains(t, both, `rw-mm" x=`)
	require.Contains(t, both, ">4 1/2 · high 1<", "115 mm is 4.53 in")
}

// Low stands 3 below the floor and 4 behind the rear: the rulers say so in words.
func TestWhatReachesOutOfTheOpeningIsSaid(t *testing.T) {
	problem, judged := shelf(t)
	judged.Layout.Placements[0].Centre.X -= 14
	judged.Layout.Placements[0].Centre.Z -= 13
	text := drawn(t, problem, judged, Options{}, FromRight)
	require.Contains(t, text, ">3 below · low 1<")
	require.Contains(t, text, ">4 behind · low 1<")
}

func drawn(t *testing.T, problem pack.Problem, judged export.Judged, options Options, d Direction) string {
	t.Helper()
	s, err := NewScene(problem, judged, options)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, s.WriteView(&b, d))
	return b.String()
}

// A level cut through low alone shows low alone.
func TestCut(t *testing.T) {
	problem, judged := shelf(t)
	s, err := NewScene(problem, judged, Options{})
	require.NoError(t, err)
	require.Equal(t, []float64{70, 160}, s.Heights())
	var b bytes.Buffer
	require.NoError(t, s.WriteSection(&b, 70, "a-"))
	require.Contains(t, b.String(), "Cut level at 40 mm above the floor")
	require.Contains(t, b.String(), "10 · low 1")
	require.NotContains(t, b.String(), "high")
	require.NotContains(t, b.String(), ">bar<")
}

// A measure is as long as the clearance and ends on both faces.
func TestMeasures(t *testing.T) {
	problem, judged := shelf(t)
	all := Measures(problem, judged)
	require.NotEmpty(t, all)
	for _, m := range all {
		require.InDelta(t, math.Abs(m.Relation.Gap), m.To.Sub(m.From).Norm(), 1e-6, "%v %v", m.Relation.A, m.Relation.B)
	}
	judged.Layout.Placements[1].Centre.Z = 110 // into low by 5
	judged.Layout.Placements[1].Centre.X = 140
	judged.Report = pack.Check(problem, judged.Layout)
	worst := Measures(problem, judged)[0]
	require.Equal(t, "5 mm overlap", worst.Words(geom.Millimetre))
	require.InDelta(t, 5, math.Abs(worst.From.Z-worst.To.Z), 1e-9)
}

// The drawings of the examples hold up in rsvg and poppler: all words are there, and no
// word lies on another.
func TestNoWordOnAnother(t *testing.T) {
	for _, tool := range []string{"rsvg-convert", "pdftotext"} {
		if _, err := exec.LookPath(tool); err != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
			t.Skip(tool + " is missing")
		}
	}
	problem, judged := example(t, "courier")
	s, err := NewScene(problem, judged, Options{})
	require.NoError(t, err)
	dir := t.TempDir()
	for _, d := range Directions {
		var b bytes.Buffer
		require.NoError(t, s.WriteView(&b, d))
		svg, pdf := filepath.Join(dir, "a.svg"), filepath.Join(dir, "a.pdf")
		require.NoError(t, os.WriteFile(svg, b.Bytes(), 0o600))
		out, err := exec.Command("rsvg-convert", "-f", "pdf", "-o", pdf, svg).CombinedOutput()
		require.NoError(t, err, string(out))
		words := wordsOf(t, pdf)
		require.Greater(t, len(words), 30)
		for i, a := range words {
			for _, o := range words[:i] {
				const touch = 1.5 // points: the boxes of letters reach beyond their ink
				require.False(t, a.area.ExpandedByMargin(-touch).Intersects(o.area.ExpandedByMargin(-touch)), "%v: %s on %s", d, a.text, o.text)
			}
		}
	}
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

func TestHostileNamesAreText(t *testing.T) {
	problem, judged := shelf(t)
	problem.Pack.Kinds[0].Name = `</text><script>alert(1)</script>`
	judged.Layout.Placements[0].Box = problem.Pack.Kinds[0].Name
	judged.Report = pack.Check(problem, judged.Layout)
	for _, d := range Directions {
		text := drawn(t, problem, judged, Options{}, d)
		require.NotContains(t, text, "<script")
		require.NoError(t, xml.Unmarshal([]byte(text), new(struct{})))
	}
}
