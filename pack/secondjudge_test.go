package pack

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
)

// Input of internal/secondjudge/core.py; see there.
type (
	judgeCase struct {
		Gaps       map[string]float64  `json:"gaps"`
		Worst      bool                `json:"worst"`
		Accuracy   float64             `json:"accuracy"`
		Outline    [][2]float64        `json:"outline"`
		Sides      []float64           `json:"sides"` // how much nearer each side may be
		Metal      bool                `json:"metal"`
		Across     []float64           `json:"across"`
		Planes     []judgePlane        `json:"planes"`
		Boxes      map[string]judgeBox `json:"boxes"`
		Placements []judgePlacement    `json:"placements"`
		Rails      []judgeThing        `json:"rails"`
		KeepOuts   []judgeThing        `json:"keepouts"`
		Prisms     []judgeThing        `json:"prisms"`
	}
	judgeBox struct {
		Size  [3]float64  `json:"size"`
		More  float64     `json:"more"`
		Off   float64     `json:"off"`
		Posts []judgePost `json:"posts"`
	}
	judgePost struct {
		Name     string     `json:"name"`
		Face     string     `json:"face"`
		At       [2]float64 `json:"at"`
		Diameter float64    `json:"diameter"`
		Height   float64    `json:"height"`
	}
	judgePlacement struct {
		Box    string     `json:"box"`
		Number int        `json:"number"`
		Up     string     `json:"up"`
		Front  string     `json:"front"`
		Tilt   float64    `json:"tilt"`
		Centre [3]float64 `json:"centre"`
	}
	judgePlane struct {
		Normal [3]float64 `json:"normal"`
		Offset float64    `json:"offset"`
	}
	judgeThing struct {
		Name     string       `json:"name"`
		Kind     string       `json:"kind"`
		Metal    bool         `json:"metal"`
		Gap      *float64     `json:"gap"`
		Accuracy *float64     `json:"accuracy"` // of its own
		Path     [][3]float64 `json:"path,omitempty"`
		Diameter float64      `json:"diameter,omitempty"`
		Box      [][3]float64 `json:"box,omitempty"`
		Round    []any        `json:"round,omitempty"`
		Profile  [][2]float64 `json:"profile,omitempty"`
		Axis     string       `json:"axis,omitempty"`
		Depth    []float64    `json:"depth"`
	}
)

func triple(v r3.Vector) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

func pairs(corners []r2.Point) (list [][2]float64) {
	for _, c := range corners {
		list = append(list, [2]float64{c.X, c.Y})
	}
	return list
}

// forSecondJudge writes a problem and a layout in the second judge's terms. What has
// to be cut into convex pieces is handed over cut.
func forSecondJudge(p Problem, layout Layout) judgeCase {
	g, o := p.Pack.Gaps, p.Frame.Opening
	c := judgeCase{
		Gaps:  map[string]float64{"beside": g.Beside, "above": g.Above, "wall": g.Wall, "rail": g.Rail, "keepout": g.KeepOut, "post": g.Post, "boot": g.Boot},
		Worst: p.Worst, Accuracy: p.Frame.Accuracy, Outline: pairs(o.Outline.Corners), Metal: o.Metal, Sides: o.Accuracies,
		Boxes: map[string]judgeBox{},
	}
	if len(o.Stations) == 1 {
		c.Across = []float64{o.Stations[0].Across.Lo, o.Stations[0].Across.Hi}
	}
	for _, k := range p.Pack.Kinds {
		box := judgeBox{Size: triple(k.Size), More: k.Accuracy + k.Swell, Off: k.Accuracy, Posts: []judgePost{}}
		for _, t := range k.Posts {
			box.Posts = append(box.Posts, judgePost{t.Name, t.Face.String(), [2]float64{t.At.X, t.At.Y}, t.Diameter, t.Height})
		}
		c.Boxes[k.Name] = box
	}
	for _, pl := range layout.Placements {
		c.Placements = append(c.Placements, judgePlacement{pl.Box, pl.Number, pl.Up.String(), pl.Front.String(), pl.Tilt.Radians(), triple(pl.Centre)})
	}
	for _, r := range p.Frame.Rails {
		t := judgeThing{Name: r.Name, Gap: r.Gap, Diameter: r.Diameter, Accuracy: r.Accuracy}
		for _, v := range r.Path {
			t.Path = append(t.Path, triple(v))
		}
		c.Rails = append(c.Rails, t)
	}
	for _, k := range p.Frame.KeepOuts {
		t := judgeThing{Name: k.Name, Metal: k.Metal, Gap: k.Gap, Accuracy: k.Accuracy}
		switch {
		case k.Box != nil:
			t.Box = [][3]float64{triple(k.Box.Low), triple(k.Box.High)}
		case k.Round != nil:
			t.Round = []any{triple(k.Round.From), triple(k.Round.To), k.Round.Diameter}
		default:
			continue
		}
		c.KeepOuts = append(c.KeepOuts, t)
	}
	for _, o := range p.Obstacles() {
		switch solid := o.Solid.(type) {
		case geom.HalfSpace:
			if o.Kind == frame.Width && len(p.Frame.Opening.Stations) > 1 {
				c.Planes = append(c.Planes, judgePlane{triple(solid.Normal), solid.Offset})
			}
		case geom.Prism:
			if o.Kind != frame.KeptOut || p.Frame.KeepOuts[o.Source].Profile != nil {
				c.Prisms = append(c.Prisms, prismForSecondJudge(o, solid))
			}
		}
	}
	return c
}

func prismForSecondJudge(o frame.Obstacle, s geom.Prism) judgeThing {
	t := judgeThing{
		Name: o.Name, Metal: o.Metal, Gap: o.Gap, Profile: pairs(s.Profile.Corners),
		Kind: map[frame.ObstacleKind]string{frame.Side: "side", frame.Width: "width", frame.KeptOut: "keepout"}[o.Kind],
		Axis: map[geom.View]string{geom.SideView: "y", geom.FrontView: "x"}[s.View],
	}
	if !math.IsInf(s.Depth.Lo, 0) {
		t.Depth = []float64{s.Depth.Lo, s.Depth.Hi}
	}
	return t
}

// second asks the second judge what is left of every relation.
func second(t *testing.T, cases []judgeCase) []map[string]*float64 {
	t.Helper()
	const python = "/usr/bin/python3"
	_, err := os.Stat(python)
	if err == nil {
		err = exec.Command(python, "-c", "import scipy.optimize").Run()
	}
	if err != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "1" {
		t.Fatalf("%s with scipy is needed and missing: %v", python, err)
	} else if err != nil {
		t.Skipf("%s with scipy is missing: %v", python, err)
	}
	input, err := json.Marshal(map[string]any{"cases": cases})
	require.NoError(t, err)
	cmd := exec.Command(python, "internal/secondjudge/core.py")
	cmd.Stdin = bytes.NewReader(input)
	out, err := cmd.Output()
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		t.Fatalf("the second judge failed: %s", exit.Stderr)
	}
	require.NoError(t, err)
	var answer struct {
		Cases []map[string]*float64 `json:"cases"`
	}
	require.NoError(t, json.Unmarshal(out, &answer))
	require.Len(t, answer.Cases, len(cases))
	return answer.Cases
}

// keyOf names a relation as the second judge does: all sides of the opening are the
// outline, all limits of the width the width.
func keyOf(n Relation, kinds map[string]frame.ObstacleKind) string {
	b := n.B.String()
	switch {
	case n.B.Obstacle == "":
	case kinds[b] == frame.Side:
		b = "outline"
	case kinds[b] == frame.Width:
		b = "width"
	}
	return n.A.String() + "|" + b
}

// requireAgreement compares every relation of a report with the second judge's.
func requireAgreement(t *testing.T, p Problem, layout Layout, want map[string]*float64, tolerance float64) {
	t.Helper()
	kinds := map[string]frame.ObstacleKind{}
	for _, o := range p.Obstacles() {
		kinds[o.Name] = o.Kind
	}
	r := Check(p, layout)
	require.Empty(t, r.Faults)
	got, gap := map[string]float64{}, map[string]float64{}
	for _, n := range r.Relations {
		key := keyOf(n, kinds)
		if _, ok := got[key]; !ok {
			got[key], gap[key] = n.Left, n.Gap // worst first
		}
	}
	require.Equal(t, len(want), len(got), "number of relations")
	spare := math.Inf(1)
	for key, left := range want {
		if _, ok := got[key]; !ok { // the kinds came to it by their names
			a, b, _ := strings.Cut(key, "|")
			key = b + "|" + a
		}
		require.Contains(t, got, key)
		if left == nil { // a round bar that the box meets
			require.Less(t, gap[key], 2e-3, key)
			spare = math.Min(spare, got[key])
			continue
		}
		spare = math.Min(spare, *left)
		if tolerance == 0 {
			require.Equal(t, *left, got[key], key)
		}
		require.InDelta(t, *left, got[key], tolerance, key)
	}
	require.InDelta(t, spare, r.Spare, math.Max(tolerance, 1e-6))
}

// scenes draws random problems and layouts in eighths of a millimetre.
type scenes struct{ *rand.Rand }

func (s scenes) eighth(lo, hi int) float64 { return float64(8*lo+s.IntN(8*(hi-lo)+1)) / 8 }

func (s scenes) point(lo, hi int) r3.Vector {
	return r3.Vector{X: s.eighth(lo, hi), Y: s.eighth(lo, hi), Z: s.eighth(lo, hi)}
}

func (s scenes) gap() *float64 {
	if s.IntN(2) == 0 {
		return nil
	}
	g := s.eighth(0, 40)
	return &g
}

func (s scenes) kind(name string, tilts []s1.Angle) Kind {
	size := s.point(60, 200)
	k := kindOf(name, 1+s.IntN(2), size.X, size.Y, size.Z)
	k.Tilts = tilts
	k.Accuracy, k.Swell = s.eighth(0, 3), s.eighth(0, 3)
	for i := range s.IntN(3) {
		k.Posts = append(k.Posts, Post{
			Name: fmt.Sprint("post ", i), Face: allFaces[s.IntN(6)], At: r2.Point{X: s.eighth(10, 50), Y: s.eighth(10, 50)},
			Diameter: s.eighth(4, 18), Height: float64(s.IntN(2)) * s.eighth(0, 20),
		})
	}
	return k
}

// tanks are keep-outs drawn in the side view: an axis-parallel one, a slanted one, and
// one that is not convex.
var tanks = [][]r2.Point{
	{{X: 200, Y: 200}, {X: 350, Y: 200}, {X: 350, Y: 330}, {X: 200, Y: 330}},
	{{X: 80, Y: 320}, {X: 400, Y: 280}, {X: 520, Y: 370}, {X: 80, Y: 420}},
	{{X: 80, Y: 320}, {X: 240, Y: 360}, {X: 400, Y: 280}, {X: 520, Y: 370}, {X: 80, Y: 420}},
}

// problem draws a problem in the given outline: with a width that may change with
// height when sloped, with a rail and a round bar when round.
func (s scenes) problem(outline []r2.Point, tilts []s1.Angle, sloped, round bool) Problem {
	f := openingOf(outline, s.eighth(-200, -100), s.eighth(100, 200))
	f.Accuracy, f.Opening.Metal = s.eighth(0, 3), s.IntN(2) == 0
	for i := range s.IntN(3) {
		low := s.point(0, 400)
		low.Y -= 200
		f.KeepOuts = append(f.KeepOuts, frame.KeepOut{
			Name: fmt.Sprint("crate ", i), Metal: s.IntN(2) == 0, Gap: s.gap(), Box: &frame.Corners{Low: low, High: low.Add(s.point(10, 150))},
		})
	}
	if s.IntN(3) == 0 {
		low, kinds := s.eighth(-150, 100), 1
		if sloped {
			kinds = len(tanks)
		}
		f.KeepOuts = append(f.KeepOuts, frame.KeepOut{Name: "tank", Metal: s.IntN(2) == 0, Gap: s.gap(), Profile: &frame.Profile{
			Outline: openingOf(tanks[s.IntN(kinds)], 0, 0).Opening.Outline, Across: r1.Interval{Lo: low, Hi: low + s.eighth(10, 200)},
		}})
	}
	if sloped && s.IntN(3) == 0 {
		for z := range 1 + s.IntN(3) {
			f.Opening.Stations = append(f.Opening.Stations, frame.Station{
				Z: 120 * float64(z+1), Across: r1.Interval{Lo: s.eighth(-200, -100), Hi: s.eighth(100, 200)},
			})
		}
	}
	if round {
		f.Rails = append(f.Rails, frame.Rail{
			Name: "rail", Path: []r3.Vector{s.point(-100, 600), s.point(-100, 600), s.point(-100, 600)}, Diameter: s.eighth(10, 50), Gap: s.gap(),
		})
		from := s.point(0, 500)
		f.KeepOuts = append(f.KeepOuts, frame.KeepOut{
			Name: "motor", Metal: s.IntN(2) == 0, Gap: s.gap(),
			Round: &frame.Round{From: from, To: from.Add(r3.Vector{Y: s.eighth(20, 200)}), Diameter: s.eighth(40, 150)},
		})
	}
	s.accuracies(f)
	p := problemOf(f, s.kind("battery", tilts), s.kind("charger", tilts))
	p.Pack.Gaps = Gaps{Beside: s.eighth(0, 8), Above: s.eighth(0, 8), Wall: s.eighth(0, 8), Rail: s.eighth(0, 8), KeepOut: s.eighth(0, 8), Post: s.eighth(0, 30), Boot: s.eighth(0, 8)}
	p.Worst = s.IntN(2) == 0
	return p
}

// accuracies gives some things an accuracy of their own.
func (s scenes) accuracies(f *frame.Frame) {
	own := func() *float64 {
		if s.IntN(2) == 0 {
			return nil
		}
		v := s.eighth(0, 6)
		return &v
	}
	if s.IntN(2) == 0 {
		for range f.Opening.Outline.Corners {
			f.Opening.Accuracies = append(f.Opening.Accuracies, s.eighth(0, 6))
		}
	}
	for i := range f.Rails {
		f.Rails[i].Accuracy = own()
	}
	for i := range f.KeepOuts {
		f.KeepOuts[i].Accuracy = own()
	}
}

func (s scenes) layout(p Problem) Layout {
	var layout Layout
	for _, k := range p.Pack.Kinds {
		for n := range k.Count {
			o := orientations()[s.IntN(24)]
			o.Tilt = k.Tilts[s.IntN(len(k.Tilts))]
			c := s.point(0, 500)
			c.Y -= 250
			layout.Placements = append(layout.Placements, Placement{Box: k.Name, Number: n + 1, Orientation: o, Centre: c})
		}
	}
	return layout
}

// The second judge (decimal arithmetic of 45 digits, the python3 of Debian) agrees on
// every relation of random layouts: to the last bit where all is axis-parallel, and
// to 1e-6 mm for slanted, tilted and round solids. The published packings are judged
// twice as well: see checkTwice.
func TestSecondJudgeAgrees(t *testing.T) {
	level, tilts := []s1.Angle{0}, []s1.Angle{0, 12 * s1.Degree, -20 * s1.Degree, 33.3 * s1.Degree, 71 * s1.Degree}
	for name, c := range map[string]struct {
		outlines  [][]r2.Point
		tilts     []s1.Angle
		sloped    bool
		round     bool
		tolerance float64
		count     int
	}{
		"axis-parallel": {[][]r2.Point{outlines[0], outlines[4]}, level, false, false, 0, 250},
		"slanted":       {outlines, level, true, false, 1e-6, 150},
		"tilted":        {outlines, tilts, true, false, 1e-6, 250},
		"round":         {outlines, tilts, true, true, 1e-6, 350},
	} {
		t.Run(name, func(t *testing.T) {
			s := scenes{rand.New(rand.NewPCG(2, uint64(len(name))))}
			var problems []Problem
			var layouts []Layout
			var cases []judgeCase
			for i := range c.count {
				p := s.problem(c.outlines[i%len(c.outlines)], c.tilts, c.sloped, c.round)
				l := s.layout(p)
				problems, layouts, cases = append(problems, p), append(layouts, l), append(cases, forSecondJudge(p, l))
			}
			for i, want := range second(t, cases) {
				requireAgreement(t, problems[i], layouts[i], want, c.tolerance)
			}
		})
	}
}

// checkTwice is Check; the second judge, where there is one, has to agree.
func checkTwice(t *testing.T, p Problem, layout Layout) Report {
	t.Helper()
	t.Run("second judge", func(t *testing.T) {
		requireAgreement(t, p, layout, second(t, []judgeCase{forSecondJudge(p, layout)})[0], 1e-6)
	})
	return Check(p, layout)
}
