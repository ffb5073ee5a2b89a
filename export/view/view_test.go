package view

import (
	"bytes"
	"encoding/xml"
	"flag"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

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
		path := examples + name + "/" + file
		if elsewhere := map[string]string{"trail": "../page/testdata/trail-layout.yaml", "cargo": "../page/testdata/cargo-layout.yaml", "lane": "testdata/lane-layout.yaml"}[name]; file == "layout.yaml" && elsewhere != "" {
			path = elsewhere
		}
		f, err := os.Open(path)
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
// box has its four, and nothing else is told beside the views.
func TestPictureOfExampleIsOfItsFiles(t *testing.T) {
	drawn, err := os.ReadFile(examples + "courier/layout.svg")
	require.NoError(t, err)
	want := map[string]bool{"250 top": true, "470 front": true, "125 right": true, "125 left": true, "floor 0": true, "rear 0": true, "middle 0": true}
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
		for _, value := range []string{shown(at[0] - size[along]/2), shown(at[2] - size[up]/2), side(at[1] - across), side(at[1] + across)} {
			want[value] = true
		}
	}
	require.Equal(t, 6, boxes)
	told := map[string]bool{}
	for _, m := range regexp.MustCompile(`class="rw-t rw-e[^>]*>([^<]+)<`).FindAllStringSubmatch(string(drawn), -1) {
		require.True(t, want[m[1]], m[1])
		told[m[1]] = true
	}
	require.Len(t, told, len(want))
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
		FromRight: {"10", "115", "125", "floor 0", "rear 0", "200 top", "300 front", "100×60", "50×30"},
		FromLeft:  {"10", "115", "125", "floor 0", "rear 0", "200 top", "300 front", "100×60", "50×30"},
		FromFront: {"30 right", "50 left", "20 right", "20 left", "middle 0", "40 right", "60 left", "80×60", "40×30"},
		FromRear:  {"30 right", "50 left", "20 right", "20 left", "middle 0", "40 right", "60 left", "80×60", "40×30"},
		FromTop:   {"30 right", "50 left", "10", "125", "middle 0", "rear 0", "100×80", "50×40"},
		FromBelow: {"30 right", "50 left", "10", "125", "middle 0", "rear 0", "100×80", "50×40"},
	} {
		text := regexp.MustCompile(`×</text>\n<text[^>]*>`).ReplaceAllString(drawn(t, problem, judged, Options{}, d), "×") // sizes on two lines
		for _, line := range want {
			require.Regexp(t, "(>|· )"+line+"<", text, "%v", d)
		}
	}
	both := drawn(t, problem, judged, Options{Units: []geom.Unit{geom.Millimetre, geom.Inch}}, FromRight)
	require.Contains(t, both, `rw-mm" x=`)
	require.Contains(t, both, ">4 1/2<", "115 mm is 4.53 in")
}

// Low stands 3 below the floor and 4 behind the rear: the rulers say so in words.
func TestWhatReachesOutOfTheOpeningIsSaid(t *testing.T) {
	problem, judged := shelf(t)
	judged.Layout.Placements[0].Centre.X -= 14
	judged.Layout.Placements[0].Centre.Z -= 13
	text := drawn(t, problem, judged, Options{}, FromRight)
	require.Contains(t, text, ">3 below<")
	require.Contains(t, text, ">4 behind<")
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
	require.Contains(t, b.String(), ">low 1<")
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
