package secondjudge

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
)

const tunnelPack = `format: 1
pack: one
boxes:
  - name: battery
    size: [150, 100, 80]
    accuracy: 1
    tilt: [0, 9]
    posts: [{name: plus, face: top, at: [20, 20], diameter: 10, height: 8}]
`

func tunnelFrame(keepOuts string) []byte {
	return []byte("format: 1\nframe: van\naccuracy: 2\nopening: {outline: [[0, 0], [400, 0], [400, 300], [0, 300]], across: [-150, 150]}\nkeepouts:\n" + keepOuts)
}

func inTunnel(at r3.Vector, tilt s1.Angle) pack.Layout {
	return pack.Layout{Placements: []pack.Placement{{
		Box: "battery", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front, Tilt: tilt}, Centre: at,
	}}}
}

// The second judge, which reads sections and cuts bodies between planes by itself, in decimals,
// agrees on every relation: swept along, mirrored, and with an outline; as measured and at the worst.
func TestSectionsAgree(t *testing.T) {
	j := Start(t)
	f := tunnelFrame(`  - {name: tank, section: [[-140, 120], [-80, 120], [-80, 220], [80, 220], [80, 120], [140, 120], [140, 290], [-140, 290]], along: [50, 350]}
  - {name: rail, section: [[100, 0], [140, 0], [120, 30]], along: [0, 400], mirror: true, metal: false, gap: 3}
  - {name: seat, section: [[-60, 240], [0, 225], [60, 240], [60, 290], [-60, 290]], outline: [[20, 250], [200, 225], [380, 260], [360, 300], [200, 260], [40, 300]]}
  - {name: hump, section: [[-90, 0], [90, 0], [0, 60]], outline: [[0, 0], [60, 0], [0, 50]], accuracy: 4}
`)
	p := Problem(t, f, []byte(tunnelPack))
	names := map[string]bool{}
	for _, at := range []r3.Vector{{X: 190, Y: 3, Z: 150}, {X: 190, Y: -10, Z: 90}, {X: 120, Y: 70, Z: 70}, {X: 200, Y: 20, Z: 190}} {
		for _, tilt := range []s1.Angle{0, 9 * s1.Degree} {
			for _, worst := range []bool{false, true} {
				q := p
				q.Worst = worst
				for _, r := range j.Agree(t, f, []byte(tunnelPack), q, inTunnel(at, tilt)).Relations {
					names[r.A.Obstacle], names[r.B.Obstacle] = true, true
				}
			}
		}
	}
	for _, name := range []string{"tank", "rail left", "rail right", "seat", "hump"} {
		require.True(t, names[name], name)
	}
}

// One entry of a tunnel leaves the same as its two walls and its roof by themselves.
func TestATunnelLeavesWhatItsPartsLeave(t *testing.T) {
	whole := Problem(t, tunnelFrame("  - {name: tank, section: [[-140, 120], [-80, 120], [-80, 220], [80, 220], [80, 120], [140, 120], [140, 290], [-140, 290]], along: [50, 350]}\n"), []byte(tunnelPack))
	parts := Problem(t, tunnelFrame(`  - {name: wall, box: {low: [50, 80, 120], high: [350, 140, 290]}, mirror: true}
  - {name: roof, box: {low: [50, -140, 220], high: [350, 140, 290]}}
`), []byte(tunnelPack))
	least := func(p pack.Problem, l pack.Layout) float64 {
		left := math.Inf(1)
		for _, r := range pack.Check(p, l).Relations {
			if r.A.Obstacle == "tank" || r.B.Obstacle == "tank" || len(r.B.Obstacle) > 3 && (r.B.Obstacle[:4] == "wall" || r.B.Obstacle == "roof") {
				left = min(left, r.Left)
			}
		}
		return left
	}
	for y := -20.0; y <= 20; y += 8 {
		for z := 60.0; z <= 170; z += 11 {
			for _, tilt := range []s1.Angle{0, 9 * s1.Degree} {
				l := inTunnel(r3.Vector{X: 190, Y: y, Z: z}, tilt)
				require.InDelta(t, least(parts, l), least(whole, l), 1e-9, "%g %g", y, z)
			}
		}
	}
}
