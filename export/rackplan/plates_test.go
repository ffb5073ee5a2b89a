package rackplan

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"

	"rackwright/export/drawing"
	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
	"rackwright/pack/rack/rackkit"
)

// plated is the example with a plate among its bars.
func plated(t *testing.T) Answer {
	t.Helper()
	a := example(t)
	a.Rack = rackkit.Plated(a.Rack)
	var err error
	a.Report, err = judge.Judge(a.Problem, a.Layout, a.Rack, judge.Settings{NoLoads: true})
	require.NoError(t, err)
	return a
}

func plateOf(t *testing.T, a Answer) Part {
	t.Helper()
	parts := Parts(a.Rack)
	i := slices.IndexFunc(parts, Part.Plate)
	require.GreaterOrEqual(t, i, 0)
	return parts[i]
}

// A plate is named and counted wherever bars are: files, cut list, parts list, drilling, order of
// building; it is on no bought bar.
func TestPlatesAreToldAsBarsAre(t *testing.T) {
	a := plated(t)
	p := plateOf(t, a)
	require.Equal(t, []string{"upper plate 2"}, p.Names)
	require.Len(t, p.Holes, 8)
	require.Equal(t, "25 bars, 1 plate", barsAndPlates(a.Rack))
	paper, err := drawing.ParsePaper("a4")
	require.NoError(t, err)
	files, err := Files(a, paper, DefaultScale)
	require.NoError(t, err)
	var names []string
	for _, f := range files {
		names = append(names, f.Name)
	}
	card := "plate-" + strings.ToLower(p.Letter)
	require.Subset(t, names, []string{card + ".svg", card + ".dxf", "sheet-4-mm-1.svg", "sheet-4-mm-1.dxf"})
	var b bytes.Buffer
	require.NoError(t, WritePlan(&b, a))
	plan := b.String()
	for _, line := range []string{
		"plate 4 mm thick: 1 of 500 × 250 mm, 90 % of the last left over (no fewer would do)", // 161.7 × 77 of 500 × 250
		"plate 4 mm thick, sheet 1: " + p.Letter + ", as sheet-4-mm-1.svg shows",
		"1 × plate 77x4, 161.7 mm",
		"upper plate 2: left end down, upper edge to the left",
		"Plates: glue each card onto the sheet",
		"Place upper plate 2 (" + p.Letter + ")",
	} {
		require.Contains(t, plan, line)
	}
	for _, c := range CutList(a.Rack) {
		require.NotContains(t, c.What, "plate")
	}
	b.Reset()
	require.NoError(t, WriteJSON(&b, a))
	require.Contains(t, b.String(), `"section": "plate 77x4"`)
}

// Sheets of plates pass the audit of ezdxf, with every plate and hole on them, and no two over each
// other by shapely, nor nearer than the saw takes.
func TestSheetsOfPlatesAgainstEzdxfAndShapely(t *testing.T) {
	path := python(t, "ezdxf, shapely")
	a := plated(t)
	plate, _ := a.Rack.Bar("upper plate 2")
	for i := range 9 {
		plate.Name = fmt.Sprintf("spare plate %d", i)
		plate.To = plate.From.Add(plate.Along().Mul(40 + 31*float64(i)))
		a.Rack.Bars = append(a.Rack.Bars, plate)
	}
	a.Rack.Bought.Sheet = r2.Point{X: 320, Y: 200}
	sheets := Plates(a.Rack)
	require.Len(t, sheets, 1)
	area, n := 0.0, 0
	for _, b := range a.Rack.Bars {
		if b.Section.Form == rack.Plate {
			area, n = area+b.Length()*b.Section.Width, n+1
		}
	}
	args := []string{"-c", `
import sys, ezdxf
from shapely.geometry import Polygon, box
plates, holes = [], 0
for name in sys.argv[1:]:
    d = ezdxf.readfile(name)
    a = d.audit()
    assert not a.errors and not a.fixes
    here = [Polygon([(p.x, p.y) for p in e.points()]) for e in d.modelspace().query('POLYLINE[layer=="CUT"]')]
    assert all(box(0, 0, 320, 200).buffer(1e-6).contains(p) for p in here)
    assert all(p.distance(q) > 1.5 - 1e-6 for i, p in enumerate(here) for q in here[:i])
    plates += here
    holes += sum(1 for e in d.modelspace().query('CIRCLE[layer=="CUT"]'))
print(len(plates), round(sum(p.area for p in plates)), holes)`}
	for i, d := range sheets[0].Sheets {
		var b bytes.Buffer
		require.NoError(t, d.WriteDXF(&b))
		file := filepath.Join(t.TempDir(), fmt.Sprint(i, ".dxf"))
		require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
		args = append(args, file)
	}
	out, err := exec.Command(path, args...).CombinedOutput()
	require.NoError(t, err, "%s", out)
	require.Equal(t, fmt.Sprintf("%d %.0f %d\n", n, area, 8), string(out))
}

// What is larger than any sheet is said, and a card that is higher than the paper comes in tiles.
func TestPlatesThatAreTooLarge(t *testing.T) {
	a := plated(t)
	for i := range a.Rack.Bars {
		if b := &a.Rack.Bars[i]; b.Section.Form == rack.Plate {
			b.Section.Width = 240
		}
	}
	a.Rack.Bought.Sheet = r2.Point{X: 200, Y: 200}
	p := plateOf(t, a)
	require.Contains(t, strings.Join(CutLines(a), "\n"), "plate "+p.Letter+" goes onto no sheet of 200 × 200 mm")
	paper, err := drawing.ParsePaper("a4")
	require.NoError(t, err)
	require.False(t, onPage(p, paper))
	cards := largeCards(Parts(a.Rack), paper)
	require.Len(t, cards, 1)
	require.Equal(t, p.file()+"-a4.pdf", cards[0].Name)
	var b bytes.Buffer
	require.NoError(t, cards[0].Write(&b))
	require.NotZero(t, b.Len())
}

// Mirror images are told apart: side members of the example are each other's.
func TestMirrorTwins(t *testing.T) {
	twins := map[string]string{}
	for _, p := range Parts(example(t).Rack) {
		if p.Twin != "" {
			twins[p.Letter] = p.Twin
		}
		if p.Bar.Section.Form != rack.Angle {
			require.Empty(t, p.Twin, "a flat turned over is its mirror image")
		}
	}
	require.NotEmpty(t, twins)
	for a, b := range twins {
		require.Equal(t, a, twins[b])
	}
}

// Washers: one under each nut, and one under the head of each bolt into a mount, which stands that
// much off the metal.
func TestWashersUnderHeadsAreCounted(t *testing.T) {
	a := example(t)
	for _, i := range List(a) {
		if i.What == "washer M10" {
			require.Equal(t, 8, i.Count, "four bolts, each with a nut and a head")
		}
	}
	words := ""
	for _, s := range Building(a) {
		words += s.Words
	}
	require.Equal(t, 4, strings.Count(words, "a washer under its head too"))
}
