package secondjudge_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/pack"
	"rackwright/pack/internal/secondjudge"
)

// Frames measured with a tape, with heights and slopes, dented outlines, tubes and keep-outs
// on marks and numbers mixed: the second judge works out the marks and what they may be off
// by for itself, and finds the same left of every relation. RACKWRIGHT_SURVEY=all takes 100.
func TestTapedFrames(t *testing.T) {
	judge := secondjudge.Start(t)
	count := 6
	if os.Getenv("RACKWRIGHT_SURVEY") == "all" {
		count = 100
	}
	g := rand.New(rand.NewPCG(31, 31))
	packFile := []byte(`{"format": 1, "pack": "two", "boxes": [{"name": "block", "count": 2, "size": [150, 120, 110], "accuracy": 1, "stand": ["upright", "on-side"]}]}`)
	for range count {
		frameFile := tapedFrame(g)
		problem := secondjudge.Problem(t, frameFile, packFile)
		layout := pack.Layout{}
		for n := range 2 {
			layout.Placements = append(layout.Placements, pack.Placement{
				Box: "block", Number: n + 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front},
				Centre: r3.Vector{X: 100 + 250*g.Float64(), Y: 20 * g.Float64(), Z: 80 + 200*g.Float64()},
			})
		}
		for _, p := range []pack.Problem{problem, problem.AtWorst()} {
			judge.Agree(t, frameFile, packFile, p, layout)
		}
	}
}

// tapedFrame is a frame file of one measuring of a dented opening.
func tapedFrame(g *rand.Rand) []byte {
	names := "ABCDEFGH"
	at := []r2.Point{{X: 0, Y: 0}, {X: 480, Y: 0}, {X: 600, Y: 330}, {X: 330, Y: 300}, {X: 280, Y: 420}, {X: -40, Y: 380}, {X: 540, Y: -30}, {X: 680, Y: 390}}
	for i := range at[2:] {
		at[i+2] = at[i+2].Add(r2.Point{X: g.NormFloat64() * 10, Y: g.NormFloat64() * 10})
	}
	y := make([]float64, len(at))
	y[6], y[7] = 40, 55
	var marks, taped []string
	for i := range at {
		marks = append(marks, fmt.Sprintf(`{"name": "%c", "near": [%.0f, %.0f], "y": %v}`, names[i], at[i].X, at[i].Y, y[i]))
		for k := range i {
			if d := at[i].Sub(at[k]); g.IntN(4) > 0 || i-k < 3 {
				taped = append(taped, fmt.Sprintf(`{"from": "%c", "to": "%c", "length": %.1f, "accuracy": %d}`, names[k], names[i], math.Hypot(d.Norm(), y[i]-y[k])+g.NormFloat64()*0.8, 1+g.IntN(3)))
			}
		}
	}
	more := ""
	if g.IntN(2) == 0 {
		more += fmt.Sprintf(`, "heights": [{"mark": "A", "length": 300}, {"mark": "E", "length": %.0f}]`, 300+at[4].Y)
	}
	if g.IntN(2) == 0 {
		d := at[7].Sub(at[6])
		more += fmt.Sprintf(`, "slopes": [{"from": "G", "to": "H", "degrees": %.1f}]`, math.Atan2(d.Y, d.X)*180/math.Pi)
	}
	outline := `["A", "B", "C", "D", "E", "F"]`
	if g.IntN(2) == 0 {
		outline = `["A", "F", "E", "D", "C", [480, 5]]`
	}
	return []byte(fmt.Sprintf(`{"format": 1, "frame": "bay", "accuracy": 2, "marks": [%s], "level": {"origin": "A", "along": "A-B", "slope": %d}, "taped": [%s]%s,
 "opening": {"outline": %s, "across": 300, "sides": ["a", "b", {"name": "c", "accuracy": 3}, "d", "e", "f"]},
 "rails": [{"name": "tube", "path": ["G", "H", [700, 0, 500]], "diameter": 30, "mirror": true}, {"name": "bar", "path": [[0, 0, 500], [600, 0, 500]], "diameter": 20}],
 "keepouts": [{"name": "drum", "round": {"from": "G", "to": [540, 120, -30], "diameter": 60}}, {"name": "tank", "outline": ["F", "E", [200, 500]], "across": 90},
  {"name": "foot", "box": {"low": [-30, -60, -40], "high": "H"}, "accuracy": 0}]}`,
		strings.Join(marks, ", "), g.IntN(3), strings.Join(taped, ", "), more, outline))
}
