package rackplan

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/hpinc/go3mf"
	"github.com/hschendel/stl"
	"github.com/stretchr/testify/require"

	"rackwright/export/drawing"
	"rackwright/geom"
	"rackwright/pack/rack"
)

// python is Debian's, which has Debian's packages; the test is skipped where it lacks one.
func python(t *testing.T, module string) string {
	t.Helper()
	const path = "/usr/bin/python3"
	if exec.Command(path, "-c", "import "+module).Run() != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
		t.Skip("python3 has no " + module)
	}
	return path
}

// milp is scipy's mixed-integer solver (HiGHS) asked for the fewest bought lengths: bin packing
// with a variable for each cut on each length.
const milp = `
import json, sys
import numpy as np
from scipy.optimize import milp, LinearConstraint, Bounds
for case in json.load(sys.stdin):
    cuts, length, kerf, n = case["cuts"], case["length"], case["kerf"], len(case["cuts"])
    m = n
    cost = np.concatenate([np.zeros(n * m), np.ones(m)])
    rows, low, high = [], [], []
    for i in range(n):
        row = np.zeros(n * m + m); row[i * m:(i + 1) * m] = 1
        rows.append(row); low.append(1); high.append(1)
    for j in range(m):
        row = np.zeros(n * m + m)
        for i in range(n): row[i * m + j] = cuts[i] + kerf
        row[n * m + j] = -(length + kerf)
        rows.append(row); low.append(-np.inf); high.append(0)
    for j in range(m - 1):
        row = np.zeros(n * m + m); row[n * m + j] = -1; row[n * m + j + 1] = 1
        rows.append(row); low.append(-np.inf); high.append(0)
    r = milp(cost, constraints=LinearConstraint(np.array(rows), low, high), integrality=np.ones(n * m + m), bounds=Bounds(0, 1))
    print(round(r.fun))
`

// Random cut lists take as many bought lengths as scipy's exact solver finds.
func TestNestingAgainstScipy(t *testing.T) {
	path := python(t, "scipy.optimize")
	type problem struct {
		Cuts   []float64 `json:"cuts"`
		Length float64   `json:"length"`
		Kerf   float64   `json:"kerf"`
	}
	r := rand.New(rand.NewPCG(7, 27))
	var all []problem
	for range 40 {
		p := problem{Length: 1000, Kerf: []float64{0, 1.5, 3}[r.IntN(3)]}
		for range 3 + r.IntN(7) {
			p.Cuts = append(p.Cuts, float64(150+r.IntN(500)))
		}
		all = append(all, p)
	}
	in, err := json.Marshal(all)
	require.NoError(t, err)
	run := exec.Command(path, "-c", milp)
	run.Stdin = bytes.NewReader(in)
	out, err := run.CombinedOutput()
	require.NoError(t, err, "%s", out)
	better := 0
	for i, line := range strings.Fields(string(out)) {
		want, err := strconv.Atoi(line)
		require.NoError(t, err)
		var cuts []Cut
		for _, c := range all[i].Cuts {
			cuts = append(cuts, Cut{"", c})
		}
		bars, fewest := nest(cuts, all[i].Length, all[i].Kerf)
		require.Len(t, bars, want, "%v", all[i])
		require.True(t, fewest)
		for _, bar := range bars {
			require.LessOrEqual(t, used(bar, all[i].Kerf)-all[i].Kerf, all[i].Length)
		}
		if len(firstFit(cuts, all[i].Length, all[i].Kerf)) > want {
			better++
		}
	}
	require.Positive(t, better, "some cases need more than first fit")
}

// Every drawing of a bar passes the audit of ezdxf, and has its outline and its holes.
func TestSheetsPassAnAudit(t *testing.T) {
	path := python(t, "ezdxf")
	dir, want := t.TempDir(), ""
	args := []string{"-c", `
import sys, ezdxf
for name in sys.argv[1:]:
    d = ezdxf.readfile(name)
    a = d.audit()
    print(len(a.errors), len(a.fixes), sum(e.dxftype() == "CIRCLE" for e in d.modelspace()))`}
	for _, p := range Parts(example(t).Rack) {
		file := filepath.Join(dir, p.Letter+".dxf")
		var b bytes.Buffer
		require.NoError(t, p.Sheet().WriteDXF(&b))
		require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
		args, want = append(args, file), want+fmt.Sprintf("0 0 %d\n", len(p.Holes))
	}
	out, err := exec.Command(path, args...).CombinedOutput()
	require.NoError(t, err, "%s", out)
	require.Equal(t, want, string(out))
}

// printed is the first or the second file of what is printed at a scale, with its name.
func printed(t *testing.T, a Answer, scale float64, n int) (name string, data []byte) {
	t.Helper()
	files, err := solids(a, scale)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, files[n].Write(&b))
	return files[n].Name, b.Bytes()
}

// The printed rack is closed everywhere by admesh, and a fifth as large as the rack.
func TestPrintedRackAgainstAdmesh(t *testing.T) {
	a := example(t)
	const scale = 0.2
	name, data := printed(t, a, scale, 0)
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, data, 0o600))
	out, err := exec.Command("admesh", path).CombinedOutput()
	if err != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
		t.Skip("admesh is missing")
	}
	require.NoError(t, err, "%s", out)
	require.Equal(t, "rack-1-to-5.stl", name)
	require.Regexp(t, `Total disconnected facets +: +0 `, string(out))
	low, high := bounds(a)
	for i, axis := range []string{"X", "Y", "Z"} {
		m := regexp.MustCompile(`Min ` + axis + ` = *(-?[\d.]+), Max ` + axis + ` = *(-?[\d.]+)`).FindStringSubmatch(string(out))
		require.NotNil(t, m, "%s", out)
		from, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		to, err := strconv.ParseFloat(m[2], 64)
		require.NoError(t, err)
		size := high.Sub(low)
		require.InDelta(t, scale*[]float64{size.X, size.Y, size.Z}[i], to-from, 0.05, axis)
	}
}

// The parts to print, read back from the 3MF file: a bar by its letter, as often as the rack has it,
// of the bar's volume at the scale (its legs share their corner); and the boxes.
func TestPrintedPartsReadBack(t *testing.T) {
	for _, file := range []string{"trail-rack.yaml", "trail-welded.yaml"} {
		a := exampleWith(t, file)
		const scale = 0.25
		name, data := printed(t, a, scale, 1)
		require.Equal(t, "rack-1-to-4.3mf", name)
		var model go3mf.Model
		require.NoError(t, go3mf.NewDecoder(bytes.NewReader(data), int64(len(data))).Decode(&model))
		require.NoError(t, model.Validate())
		items := map[uint32]int{}
		for _, item := range model.Build.Items {
			items[item.ObjectID]++
		}
		objects := map[string]*go3mf.Object{}
		for _, o := range model.Resources.Objects {
			objects[o.Name] = o
		}
		for _, p := range Parts(a.Rack) {
			o := objects[p.Letter]
			require.NotNil(t, o, p.Letter)
			require.Equal(t, len(p.Names), items[o.ID], p.Letter)
			require.InEpsilon(t, p.Bar.Length()*p.Bar.Section.Area()*scale*scale*scale, volume(o.Mesh), 1e-3, p.Letter)
		}
		require.Greater(t, len(objects), len(Parts(a.Rack)), "boxes too")
	}
}

// volume of a closed mesh.
func volume(m *go3mf.Mesh) float64 {
	at := func(i uint32) r3.Vector {
		v := m.Vertices.Vertex[i]
		return r3.Vector{X: float64(v.X()), Y: float64(v.Y()), Z: float64(v.Z())}
	}
	sum := 0.0
	for _, f := range m.Triangles.Triangle {
		sum += at(f.V1).Dot(at(f.V2).Cross(at(f.V3))) / 6
	}
	return sum
}

// The rack as one solid, read back from the STL file by a library, is as large as it is, at the
// scale.
func TestPrintedRackReadBack(t *testing.T) {
	a := example(t)
	const scale = 0.25
	_, data := printed(t, a, scale, 0)
	solid, err := stl.ReadAll(bytes.NewReader(data))
	require.NoError(t, err)
	require.NotEmpty(t, solid.Triangles)
	low, high := bounds(a)
	size := high.Sub(low).Mul(scale)
	measured := solid.Measure()
	for i, want := range []float64{size.X, size.Y, size.Z} {
		require.InDelta(t, want, float64(measured.Len[i]), 0.05)
	}
}

// bounds are the corners of the block around bars, shanks and boxes.
func bounds(a Answer) (low, high r3.Vector) {
	var all []geom.Solid
	for _, b := range a.Rack.Bars {
		all = append(all, b.Solids()...)
	}
	for _, f := range a.Rack.Fasteners {
		all = append(all, f.Shank())
	}
	for _, p := range a.Layout.Placements {
		all = append(all, a.solidsOf(p.Part().String())[:1]...)
	}
	for i, s := range all {
		l, h := geom.Bounds(s)
		if i == 0 {
			low, high = l, h
		}
		low, high = least(low, l), most(high, h)
	}
	return low, high
}

// Each drawing, folded along the heel away from the reader and laid into the vehicle as the words
// beside each name say, has every hole on the axis of one of that bar's bolts.
func TestSheetsFoldIntoTheRack(t *testing.T) {
	for _, file := range []string{"trail-rack.yaml", "trail-welded.yaml"} {
		sheetsFold(t, exampleWith(t, file))
	}
}

func sheetsFold(t *testing.T, a Answer) {
	t.Helper()
	side := map[string]r3.Vector{"front": {X: 1}, "back": {X: -1}, "left": {Y: 1}, "right": {Y: -1}, "up": {Z: 1}, "down": {Z: -1}}
	words := regexp.MustCompile(`^left end (?:to the )?(\w+), (leg 1|upper edge) (?:to the )?(\w+)$`)
	for _, p := range Parts(a.Rack) {
		require.Len(t, p.Ways, len(p.Names), p.Letter)
		width, angle := p.Bar.Section.Width, p.Bar.Section.Form == rack.Angle
		d := p.Sheet()
		outline := d.Paths[0].Points
		origin := outline[0] // lower left
		for name, text := range p.Ways {
			m := words.FindStringSubmatch(text)
			require.NotNil(t, m, text)
			b, _ := a.Rack.Bar(name)
			left := side[m[1]]
			start, along := b.From, b.Along()
			if along.Dot(left) > 0 {
				start, along = b.To, along.Mul(-1)
			}
			first := side[m[3]] // where leg 1, or the upper edge, points
			second := b.A.Add(b.B).Sub(first)
			if angle { // leg 2 upright before the reader, leg 1 folds away
				require.InDelta(t, 0, along.Cross(second).Add(first).Norm(), 1e-9, "%s is drawn as its mirror image", name)
			} else {
				start = start.Add(b.A.Mul(width / 2)).Sub(first.Mul(width / 2)) // its lower edge
			}
			for _, c := range d.Circles {
				at, up := c.Centre.X-origin.X, c.Centre.Y-origin.Y
				point, normal := start.Add(along.Mul(at)), b.B
				switch {
				case !angle:
					point = point.Add(first.Mul(up))
				case up < width: // leg 1, below the heel
					point, normal = point.Add(first.Mul(width-up)), second
				default:
					point, normal = point.Add(second.Mul(up-width)), first
				}
				onAxis := false
				for _, f := range a.Rack.Fasteners {
					off := point.Sub(f.From)
					off = off.Sub(f.Along().Mul(off.Dot(f.Along())))
					onAxis = onAxis || len(f.Through(b)) > 0 && off.Norm() < 0.06 && f.Along().Cross(normal).Norm() < 1e-6
				}
				require.True(t, onAxis, "%s %s: hole at %.1f, %.1f", p.Letter, name, at, up)
			}
		}
	}
}

// On pages no part crosses an edge, and all holes of all parts are there once.
func TestPagesHoldAllParts(t *testing.T) {
	parts := Parts(example(t).Rack)
	for _, name := range []string{"a4", "letter"} {
		paper, err := drawing.ParsePaper(name)
		require.NoError(t, err)
		holes, want := 0, 0
		for _, page := range Pages(parts, paper, "bars") {
			b := page.Bounds()
			require.True(t, b.X.Lo > 4 && b.Y.Lo > 4 && b.X.Hi < page.Size.X-4 && b.Y.Hi < page.Size.Y-4, "%s %v", name, b)
			holes += len(page.Circles)
		}
		for _, p := range parts {
			want += len(p.Holes)
		}
		require.Equal(t, want, holes, name)
	}
}

// T = K D F by the table of proof loads of ISO 898-1: 11 600, 21 200, 33 700 and 48 900 N for
// M6, M8, M10 and M12 of class 8.8 (second-hand tables), to 0.5 N·m downward.
func TestTorqueByTheTable(t *testing.T) {
	for size, proof := range map[string]float64{"M6": 11600, "M8": 21200, "M10": 33700, "M12": 48900} {
		thread, err := rack.ThreadOf(size)
		require.NoError(t, err)
		want := 0.2 * thread.D / 1000 * 0.75 * proof
		require.InDelta(t, want-0.25, Torque(size, "8.8"), 0.25+0.01*want, size)
	}
	require.Zero(t, Torque("M8", ""), "a thread of unknown class")
}
