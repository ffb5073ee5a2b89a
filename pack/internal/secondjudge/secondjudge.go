// Package secondjudge lets a second program judge layouts: files.py beside it, in
// Python with decimal arithmetic of 45 digits, shares no code with the project. It
// reads the two files and the layout and works out all else anew: lengths, pockets of
// outlines, widths, mirrored rails. It is for tests.
package secondjudge

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"sync"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// Tolerance in millimetres is what the two judges may differ by.
const Tolerance = 1e-6

// python is Debian's, for which Debian's scipy is installed.
const python = "/usr/bin/python3"

// Judge is a running second judge.
type Judge struct {
	program
	// sent are the keys of what is swept that the judge has been told.
	sent map[string]bool
}

// Available tells whether there is the Python that the judge needs. With
// RACKWRIGHT_REQUIRE_JUDGES=1 it fails the test where there is none.
func Available(tb testing.TB) bool {
	tb.Helper()
	if installed() {
		return true
	}
	if os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "1" {
		tb.Fatalf("%s with scipy is needed and missing", python)
	}
	return false
}

var installed = sync.OnceValue(func() bool {
	return exec.Command(python, "-c", "import scipy.optimize").Run() == nil
})

// Start starts a judge, which ends with the test. Without Python the test is skipped.
func Start(tb testing.TB) *Judge {
	tb.Helper()
	return &Judge{program: started(tb, "files.py"), sent: map[string]bool{}}
}

func must(tb testing.TB, err error) {
	tb.Helper()
	if err != nil {
		tb.Fatal(err)
	}
}

// Answer is what the second judge says of a layout. Left is by "part|part", where all
// sides of the opening are "outline" and all limits of the width "width"; it is nil
// where a box meets a round bar with flat ends, the depth of which it does not know.
type Answer struct {
	Faults []string
	Left   map[string]*float64
	Spare  *float64
	// Standing is nil where there are faults.
	Standing *Standing
}

// Standing is what the second judge says the boxes stand on, by their names.
type Standing struct {
	Levels    [][]string          `json:"levels"` // sorted
	On        map[string][]string `json:"on"`
	Down      map[string]string   `json:"down"`
	PostBelow []string            `json:"post_below"`
	Room      map[string]*float64 `json:"room"` // what a tray has to spare under a box on a level; nil where that is not known
}

type question struct {
	Frame  json.RawMessage `json:"frame"`
	Pack   json.RawMessage `json:"pack"`
	Layout layoutJSON      `json:"layout"`
	Worst  bool            `json:"worst"`
	Pieces [][][2]float64  `json:"pieces"`
	Pins   []placementJSON `json:"pins"`
	Swept  []sweptJSON     `json:"swept"`
	Key    string          `json:"swept_key"` // of what is swept: it is sent once
	// Measured is what is swept as measured, for what boxes stand on.
	Measured    []sweptJSON `json:"swept_measured"`
	MeasuredKey string      `json:"swept_measured_key"`
}

// sweptJSON is a piece of what a part that moves is swept through: its corners, and of each
// face the numbers of its own.
type sweptJSON struct {
	Name    string       `json:"name"`
	Corners [][3]float64 `json:"corners"`
	Faces   [][]int      `json:"faces"`
}

type layoutJSON struct {
	Placements []placementJSON `json:"placements"`
}

type placementJSON struct {
	Box    string     `json:"box"`
	Number int        `json:"number"`
	Up     string     `json:"up"`
	Front  string     `json:"front"`
	Tilt   float64    `json:"tilt_deg"`
	Centre [3]float64 `json:"centre_mm"`
}

// Ask has a layout judged, given the texts of the two files. Of problem only Worst is
// used, the pins, and how openings and keep-outs are cut into convex pieces, which the judge
// verifies where there is more than one way.
func (j *Judge) Ask(tb testing.TB, frameFile, packFile []byte, problem pack.Problem, layout pack.Layout) Answer {
	tb.Helper()
	q := question{Worst: problem.Worst, Pieces: pieces(problem), Key: fmt.Sprint(problem.Worst, string(frameFile)), MeasuredKey: fmt.Sprint(false, string(frameFile))}
	if !j.sent[q.Key] {
		j.sent[q.Key], q.Swept = true, swept(problem)
	}
	if !j.sent[q.MeasuredKey] {
		measured := problem
		measured.Worst = false
		j.sent[q.MeasuredKey], q.Measured = true, swept(measured)
	}
	var err error
	q.Frame, err = yaml.YAMLToJSON(frameFile)
	must(tb, err)
	q.Pack, err = yaml.YAMLToJSON(packFile)
	must(tb, err)
	q.Layout.Placements, q.Pins = placements(layout.Placements), placements(problem.Pins)
	var a Answer
	j.answer(tb, q, &a)
	return a
}

func placements(list []pack.Placement) (all []placementJSON) {
	for _, p := range list {
		all = append(all, placementJSON{
			p.Box, p.Number, p.Up.String(), p.Front.String(), p.Tilt.Degrees(), [3]float64{p.Centre.X, p.Centre.Y, p.Centre.Z},
		})
	}
	return all
}

// swept are the pieces of what moves.
func swept(problem pack.Problem) (list []sweptJSON) {
	for _, o := range problem.Obstacles() {
		if o.Kind != frame.Moves {
			continue
		}
		piece, at := sweptJSON{Name: o.Name}, map[r3.Vector]int{}
		for _, f := range geom.Surface(o.Solid, 0) {
			var loop []int
			for _, c := range f.Corners {
				k, known := at[c]
				if !known {
					k = len(piece.Corners)
					at[c] = k
					piece.Corners = append(piece.Corners, [3]float64{c.X, c.Y, c.Z})
				}
				loop = append(loop, k)
			}
			piece.Faces = append(piece.Faces, loop)
		}
		list = append(list, piece)
	}
	return list
}

// pieces are the profiles of all prisms of the frame as measured.
func pieces(problem pack.Problem) (list [][][2]float64) {
	for _, o := range problem.Frame.Obstacles(0) {
		if prism, ok := o.Solid.(geom.Prism); ok && o.Kind != frame.Moves {
			var piece [][2]float64
			for _, c := range prism.Profile.Corners {
				piece = append(piece, [2]float64{c.X, c.Y})
			}
			list = append(list, piece)
		}
	}
	for _, k := range problem.Frame.KeepOuts {
		if k.Section == nil || k.Section.Side == nil {
			continue
		}
		for _, p := range append(k.Section.Across.ConvexPieces(), k.Section.Side.ConvexPieces()...) {
			var piece [][2]float64
			for _, c := range p.Corners {
				piece = append(piece, [2]float64{c.X, c.Y})
			}
			list = append(list, piece)
		}
	}
	return list
}

// Agree fails the test where the two judges differ: about faults, about what relations
// there are, or by more than Tolerance about what is left of one. It returns the
// report of pack.Check.
func (j *Judge) Agree(tb testing.TB, frameFile, packFile []byte, problem pack.Problem, layout pack.Layout) pack.Report {
	tb.Helper()
	second, report := j.Ask(tb, frameFile, packFile, problem, layout), pack.Check(problem, layout)
	if err := errors.Join(Compare(problem, report, second), CompareStanding(pack.StandingOf(problem, layout), second)); err != nil {
		tb.Errorf("%v\nframe:\n%s\npack:\n%s\nlayout: %+v", err, frameFile, packFile, layout)
	}
	return report
}

// Compare returns where a report and the second judge's answer differ.
func Compare(problem pack.Problem, report pack.Report, second Answer) error {
	if len(report.Faults) > 0 || len(second.Faults) > 0 {
		if len(report.Faults) > 0 != (len(second.Faults) > 0) {
			return fmt.Errorf("faults %v, and %v by the second judge", report.Faults, second.Faults)
		}
		return nil
	}
	kinds := map[string]frame.ObstacleKind{}
	for _, o := range problem.Obstacles() {
		kinds[o.Name] = o.Kind
	}
	first := map[string]pack.Relation{}
	for _, n := range report.Relations {
		if k := key(n, kinds); first[k] == (pack.Relation{}) {
			first[k] = n // worst first
		}
	}
	if len(first) != len(second.Left) {
		return fmt.Errorf("%d relations, and %d by the second judge", len(first), len(second.Left))
	}
	for k, left := range second.Left {
		n, ok := first[k]
		switch {
		case !ok:
			return fmt.Errorf("%s is a relation of the second judge alone", k)
		case left == nil && n.Gap >= 2e-3:
			return fmt.Errorf("%s are %v mm apart, and meet by the second judge", k, n.Gap)
		case left != nil && !(math.Abs(*left-n.Left) <= Tolerance):
			return fmt.Errorf("%s has %v mm left, and %v by the second judge", k, n.Left, *left)
		}
	}
	if second.Spare != nil && !(math.Abs(*second.Spare-report.Spare) <= Tolerance) {
		return fmt.Errorf("the spare is %v, and %v by the second judge", report.Spare, *second.Spare)
	}
	return nil
}

func key(n pack.Relation, kinds map[string]frame.ObstacleKind) string {
	b := n.B.String()
	switch {
	case n.B.Obstacle == "" || n.Rule == pack.RailGap:
		// A side may be called as the rail along it; the rail is meant.
	case kinds[b] == frame.Side:
		b = "outline"
	case kinds[b] == frame.Width:
		b = "width"
	}
	return n.A.String() + "|" + b
}

// Problem reads the texts of two files as the commands do.
func Problem(tb testing.TB, frameFile, packFile []byte) pack.Problem {
	tb.Helper()
	f, err := frame.Read(bytes.NewReader(frameFile), "frame file")
	must(tb, err)
	p, err := pack.Read(bytes.NewReader(packFile), "pack file")
	must(tb, err)
	problem, err := pack.NewProblem(f, p)
	must(tb, err)
	return problem
}
