package pack_test

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/export/layoutfile"
	"rackwright/pack"
	"rackwright/pack/internal/secondjudge"
)

// The second judge (Python, decimal arithmetic of 45 digits, no code of ours) says of random
// stacks what the judge does: levels, what carries what, posts below, and whether trays have
// room. Heights and masses are drawn from few numbers, so that boxes share levels, tops are
// within reach of each other or just not, and loads are just borne or not.
func TestSecondJudgeAgreesWhatBoxesStandOn(t *testing.T) {
	judge := secondjudge.Start(t)
	carried, faults, shared := 0, 0, 0
	for seed := range uint64(80) {
		s := stacks{rand.New(rand.NewPCG(seed, 26))}
		frameText, packText := s.files(t)
		p := secondjudge.Problem(t, frameText, packText)
		l := s.layout(p)
		judge.Agree(t, frameText, packText, p, l)
		standing := pack.StandingOf(p, l)
		faults += len(standing.Faults)
		for _, f := range standing.Boxes {
			carried += len(f.On)
		}
		shared += len(standing.Boxes) - len(standing.Levels)
		if t.Failed() {
			return
		}
	}
	require.Greater(t, carried, 15)
	require.Greater(t, faults, 30)
	require.Greater(t, shared, 30)
}

// stacks draws problems with a frame of slanted sides, a tube, a drum and a crate, and
// layouts in which boxes are put on the floor, on each other, or anywhere.
type stacks struct{ *rand.Rand }

func (s stacks) of(list ...float64) float64 { return list[s.IntN(len(list))] }

type object = map[string]any

func (s stacks) files(t *testing.T) (frameText, packText []byte) {
	f := object{
		"format": 1, "frame": "bay", "opening": object{"outline": [][2]float64{{0, 0}, {500, s.of(0, 40)}, {650, 700}, {0, 700}}, "across": 500},
		"rails":    []object{{"name": "tube", "path": [][3]float64{{-50, 60, 40}, {700, 60, 50}}, "diameter": 30, "mirror": true}},
		"keepouts": []object{{"name": "crate", "box": object{"low": []int{150, -250, 0}, "high": []int{250, 0, 80}}}, {"name": "drum", "round": object{"from": []int{420, -100, 20}, "to": []int{420, 100, 20}, "diameter": 60}}},
	}
	var kinds []object
	for i, name := range []string{"battery", "charger", "shelf"} {
		k := object{
			"name": name, "count": 1 + s.IntN(3), "size": [3]float64{s.of(80, 120, 160), s.of(60, 90), s.of(40, 70)}, "mass": s.of(0, 4, 8),
			"carries": s.of(0, 4, 8, 12), "stand": []string{"upright", "on-side", "inverted"}, "tilt": []float64{0, 10},
		}
		if i == 0 {
			k["posts"] = []object{{"name": "plus", "face": "top", "at": []float64{s.of(12, 30), s.of(12, 45)}, "diameter": 10, "height": s.of(0, 6)}}
		}
		kinds = append(kinds, k)
	}
	p := object{"format": 1, "pack": "stack", "boxes": kinds, "gaps": object{"tray": s.of(0, 6, 10), "above": s.of(0, 6), "boot": s.of(0, 3)}}
	return s.text(t, f), s.text(t, p)
}

func (s stacks) text(t *testing.T, of object) []byte {
	text, err := json.Marshal(of)
	require.NoError(t, err)
	return text
}

// layout puts box after box where it overlaps none before, as far as that is soon found.
func (s stacks) layout(p pack.Problem) pack.Layout {
	var l pack.Layout
	for _, k := range p.Pack.Kinds {
		for n := range k.Count {
			var at pack.Placement
			for range 20 {
				at = s.placement(p, k, n+1, l)
				if r := pack.Check(p, pack.Layout{Placements: append(l.Placements[:len(l.Placements):len(l.Placements)], at)}); clearOf(r, at) {
					break
				}
			}
			l.Placements = append(l.Placements, at)
		}
	}
	return l
}

func clearOf(r pack.Report, at pack.Placement) bool {
	for _, n := range r.ForBox(at.Box, at.Number) {
		if n.Gap < 0 {
			return false
		}
	}
	return true
}

func (s stacks) placement(p pack.Problem, k pack.Kind, number int, below pack.Layout) pack.Placement {
	all := k.Orientations()
	at := pack.Placement{Box: k.Name, Number: number, Orientation: all[s.IntN(len(all))]}
	if s.IntN(3) > 0 {
		at.Tilt = 0
	}
	at.Centre = r3.Vector{X: 60 + 5*float64(s.IntN(90)), Y: 5 * float64(s.IntN(70)-35), Z: s.of(100, 200, 300)}
	base, over := s.of(0, 40, 80, 120), s.of(5.75, 6, 6.25, 6.5)
	if len(below.Placements) > 0 && s.IntN(2) == 0 {
		under := below.Placements[s.IntN(len(below.Placements))]
		at.Tilt = under.Tilt
		at.Centre.X, at.Centre.Y = under.Centre.X+5*float64(s.IntN(25)-12), under.Centre.Y+5*float64(s.IntN(17)-8)
		if b, err := p.Bodies(under); err == nil && at.Tilt == s1.Angle(0) {
			base, over = b.Case.Extent(r3.Vector{Z: 1}).Hi, s.of(0, 6, 6.5, 29.5, 30, 31)
		}
	}
	if b, err := p.Bodies(at); err == nil && s.IntN(5) > 0 {
		at.Centre.Z += base + over - b.Case.Extent(r3.Vector{Z: 1}).Lo
	}
	return at
}

// The layouts of the examples that fit wrote as easiest to build stand, hold and are sure by both
// judges, and stand on one level, which the throw-away trial before this search found for two of them.
func TestExamplesStand(t *testing.T) {
	judge := secondjudge.Start(t)
	for _, name := range []string{"trail", "courier", "cargo"} {
		read := func(file string) []byte {
			text, err := os.ReadFile(filepath.Join("..", "testdata", name, file))
			require.NoError(t, err)
			return text
		}
		frameText, packText := read("frame.yaml"), read("pack.yaml")
		p := secondjudge.Problem(t, frameText, packText)
		f, err := layoutfile.Read(bytes.NewReader(read("standing.yaml")), "standing.yaml")
		require.NoError(t, err)
		report := judge.Agree(t, frameText, packText, p, f.Layout)
		require.True(t, report.Holds(), name)
		require.Empty(t, report.Warnings, "%s: the files have changed since; run fit anew and take layout-2.yaml", name)
		require.True(t, judge.Agree(t, frameText, packText, p.AtWorst(), f.Layout).Holds(), name)
		standing := pack.StandingOf(p, f.Layout)
		require.Empty(t, standing.Faults, name)
		require.Len(t, standing.Levels, 1, name)
	}
}
