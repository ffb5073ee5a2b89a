package secondjudge

import (
	"encoding/json"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/pack"
)

// Entering is a running judge of ways in and of the room for tools: entering.py, which looks at the
// layouts of a grid one by one.
type Entering struct{ program }

// Grid is what layouts an Entering looks at: the ends of where a case of its size may be along each axis,
// Steps pieces between them, and places beside another box at either end; of layouts of more than one
// box at most Most that hold. The tool is a cylinder, in millimetres.
type Grid struct {
	Steps, Most      int
	Diameter, Length float64
}

// Entered is what came of a grid.
type Entered struct {
	Alone int // places of single boxes that hold
	Room  int // layouts that hold, of boxes each of which goes in and is reached past the frame alone
	In    int // layouts that go in and are connected
	// Spare is the most that one of these has to spare, in decimals by the second judge of layouts; nil
	// where there is none.
	Spare *float64
	// Layout is that one.
	Layout pack.Layout
}

// StartEntering starts a judge of ways in, which ends with the test. Without Python the test is skipped.
func StartEntering(tb testing.TB) *Entering {
	tb.Helper()
	return &Entering{started(tb, "entering.py")}
}

// Ask has the layouts of a grid looked at, given the texts of the two files.
func (e *Entering) Ask(tb testing.TB, frameFile, packFile []byte, g Grid) Entered {
	tb.Helper()
	asked := doc{"steps": g.Steps, "most": g.Most, "tool": doc{"diameter": g.Diameter, "length": g.Length}}
	for name, text := range map[string][]byte{"frame": frameFile, "pack": packFile} {
		read, err := yaml.YAMLToJSON(text)
		must(tb, err)
		asked[name] = json.RawMessage(read)
	}
	var a struct {
		Alone, Room, In int
		Spare           *float64
		Layout          []placementJSON
	}
	e.answer(tb, asked, &a)
	answer := Entered{Alone: a.Alone, Room: a.Room, In: a.In, Spare: a.Spare}
	for _, p := range a.Layout {
		up, err := pack.ParseFace(p.Up)
		must(tb, err)
		front, err := pack.ParseFace(p.Front)
		must(tb, err)
		answer.Layout.Placements = append(answer.Layout.Placements, pack.Placement{
			Box: p.Box, Number: p.Number,
			Orientation: pack.Orientation{Up: up, Front: front, Tilt: s1.Angle(p.Tilt) * s1.Degree},
			Centre:      r3.Vector{X: p.Centre[0], Y: p.Centre[1], Z: p.Centre[2]},
		})
	}
	return answer
}
