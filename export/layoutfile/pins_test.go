package layoutfile

import (
	"strings"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/frame/strict"
	"rackwright/geom"
	"rackwright/pack"
)

// bench is a metre-wide opening, and two cubes of 100 mm.
func bench() pack.Problem {
	square := []r2.Point{{}, {X: 1000}, {X: 1000, Y: 1000}, {Y: 1000}}
	return pack.Problem{
		Frame: &frame.Frame{Opening: frame.Opening{
			Outline: geom.Polygon{Corners: square}, Sides: []string{"floor", "front", "top", "rear"}, Open: make([]bool, 4),
			Stations: []frame.Station{{Across: r1.Interval{Lo: -500, Hi: 500}}},
		}},
		Pack: &pack.Pack{Gaps: pack.DefaultGaps(), Kinds: []pack.Kind{{
			Name: "cube", Count: 3, Size: r3.Vector{X: 100, Y: 100, Z: 100}, Stands: []pack.Stand{pack.Upright}, Tilts: []s1.Angle{0}, Mass: 5,
		}}},
	}
}

const pinned = `format: 1
placements:
  - {box: cube, number: 1, up: top, front: front, centre_mm: [100, 0, 60], pinned: true}
  - {box: cube, number: 2, up: top, front: front, centre_mm: [300, 0, 60]}
  - {box: cube, number: 3, up: top, front: front, centre_mm: [500, 0, 60], pinned: true}
`

// Only what is pinned counts: the second cube is nobody's business.
func TestReadPins(t *testing.T) {
	pins, err := ReadPins(strings.NewReader(pinned), "l.yaml", bench())
	require.NoError(t, err)
	require.Len(t, pins, 2)
	require.Equal(t, []int{1, 3}, []int{pins[0].Number, pins[1].Number})
	pins, err = ReadPins(strings.NewReader(strings.Replace(pinned, "[300, 0, 60]", "[101, 0, 60]", 1)), "l.yaml", bench())
	require.NoError(t, err)
	require.Len(t, pins, 2)
}

// Every pin that breaks a rule is told with its line and column.
func TestPinsThatBreakARule(t *testing.T) {
	for name, c := range map[string]struct {
		old, new     string
		line, column int
		text         string
	}{
		"too near to another": {"[500, 0, 60]", "[202, 0, 60]", 5, 5, "cube 1 – cube 3: 1 mm short of the required gap"},
		"in the floor":        {"[100, 0, 60]", "[100, 0, 49]", 3, 5, "1 mm short"},
		"a stand not allowed": {"number: 1, up: top", "number: 1, up: left", 3, 5, "it stands on-side; the pack allows upright"},
		"no such box":         {"box: cube, number: 3", "box: brick, number: 3", 5, 5, "the pack has no box"},
		"the same twice":      {"number: 3", "number: 1", 5, 5, "pinned twice"},
		"none at all":         {"pinned: true", "pinned: false", 3, 3, "no box is pinned"},
		"a file that is bad":  {"number: 3", "number: 0", 5, 25, "numbered from 1"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := ReadPins(strings.NewReader(strings.ReplaceAll(pinned, c.old, c.new)), "l.yaml", bench())
			var errs strict.Errors
			require.ErrorAs(t, err, &errs)
			require.Len(t, errs, 1)
			require.Equal(t, []int{c.line, c.column}, []int{errs[0].Line, errs[0].Column})
			require.Contains(t, errs[0].Text, c.text)
		})
	}
}
