package secondjudge_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/internal/secondjudge"
)

const movingFrame = `
format: 1
frame: moving
accuracy: 1.5
opening: {outline: [[-200, -200], [200, -200], [200, 200], [-200, 200]], across: 300}
moving:
  - {name: swingarm, turn: {about: [-210, -60], from: -6, to: 14}, outline: [[-560, -120], [-170, -90], [-170, -30], [-300, -50], [-560, -60]], across: [-90, 110], gap: 12}
  - name: fork
    turn: {about: [260, 0, 250], along: [-0.45, 0.02, 0.89], from: -10, to: 12}
    metal: false
    accuracy: 4
    parts:
      - {box: {low: [180, -30, 70], high: [220, 30, 110]}}
      - {round: {from: [230, 70, 200], to: [300, 70, -100], diameter: 40}}
      - {outline: [[180, -150], [260, -150], [230, -60]], across: 30}
  - {name: strut, slide: {along: [-0.3, 0.1, 0.9], from: -20, to: 60}, round: {from: [0, -140, -190], to: [10, -120, -120], diameter: 36}}
  - {name: chain, chain: {sprockets: [{at: [-150, -95, -60], diameter: 70}, {at: [-560, -95, -110], diameter: 190}], width: 16, slack: 35, with: swingarm}}
ground: {lean: 38, clear: 280}
`

const movingPack = `
format: 1
pack: moving
boxes:
  - name: block
    size: [70, 60, 50]
    accuracy: 1
    stand: [upright, on-side]
    tilt: [0, 12]
    posts: [{name: plus, face: top, at: [20, 30], diameter: 12, height: 9}]
`

// Every relation of blocks anywhere with parts that move and with the road, as measured and at
// worst, is the same for both judges; the second has checked the covers first.
func TestSecondJudgeKnowsWhatMoves(t *testing.T) {
	judge := secondjudge.Start(t)
	problem := secondjudge.Problem(t, []byte(movingFrame), []byte(movingPack))
	rng := rand.New(rand.NewPCG(5, 8))
	nearest := map[string]float64{}
	blocks := 6
	if os.Getenv("RACKWRIGHT_LONG") != "" {
		blocks = 12
	}
	for i := range blocks {
		at := pack.Placement{Box: "block", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Left, Tilt: s1.Angle(i%2*12) * s1.Degree}}
		at.Centre = r3.Vector{X: rng.Float64()*400 - 200, Y: rng.Float64()*300 - 150, Z: rng.Float64()*400 - 200}
		p := problem
		if i%3 == 0 {
			p = problem.AtWorst()
		}
		report := judge.Agree(t, []byte(movingFrame), []byte(movingPack), p, pack.Layout{Placements: []pack.Placement{at}})
		for _, r := range report.Relations {
			if old, seen := nearest[r.B.Obstacle]; r.B.Obstacle != "" && (!seen || r.Left < old) {
				nearest[r.B.Obstacle] = r.Left
			}
		}
	}
	for _, name := range []string{"swingarm", "fork", "strut", "chain", "road", "road, leant to the left", "road, leant to the right"} {
		require.Contains(t, nearest, name)
	}
	require.Less(t, nearest["fork"], 0.0, fmt.Sprint(nearest))
}
