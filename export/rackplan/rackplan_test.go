package rackplan

import (
	"bytes"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/export/drawing"
	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
	"rackwright/pack/rack/rackkit"
)

func example(t testing.TB) Answer {
	t.Helper()
	return exampleWith(t, "trail-rack.yaml")
}

// exampleWith is the trail bike with one of the judge's two sound racks.
func exampleWith(t testing.TB, file string) Answer {
	t.Helper()
	open := func(path string) *os.File {
		f, err := os.Open(path)
		require.NoError(t, err)
		t.Cleanup(func() { f.Close() })
		return f
	}
	f, err := frame.Read(open("../../testdata/trail/frame.yaml"), "frame")
	require.NoError(t, err)
	k, err := pack.Read(open("../../testdata/trail/pack.yaml"), "pack")
	require.NoError(t, err)
	p, err := pack.NewProblem(f, k)
	require.NoError(t, err)
	r, err := rack.Read(open("../../pack/rack/judge/testdata/"+file), "rack")
	require.NoError(t, err)
	a := Answer{Problem: p, Layout: rackkit.Layout(t, "../../testdata/trail/rack-layout.yaml"), Rack: r}
	a.Report, err = judge.Judge(p, a.Layout, r, judge.Settings{NoLoads: true})
	require.NoError(t, err)
	return a
}

// Every bar is cut once, no bought length is used beyond its end with the saw's kerf, and no
// fewer would do by their sum.
func TestCutListIsWhole(t *testing.T) {
	a := example(t)
	cut := map[string]int{}
	for _, b := range CutList(a.Rack) {
		sum := 0.0
		for _, bar := range b.Bars {
			require.LessOrEqual(t, used(bar, b.Kerf), b.Length+b.Kerf)
			sum += used(bar, b.Kerf)
			for _, c := range bar {
				cut[c.Name]++
			}
		}
		require.Equal(t, int(math.Ceil(sum/b.Length)), len(b.Bars), b.What)
	}
	for _, b := range a.Rack.Bars {
		require.Equal(t, 1, cut[b.Name], b.Name)
	}
}

// Longest first puts these on three lengths; two do (58+24+18, 55+27+18).
func TestNestingIsExact(t *testing.T) {
	var cuts []Cut
	for _, l := range []float64{27, 55, 18, 18, 24, 58} {
		cuts = append(cuts, Cut{"", l})
	}
	require.Len(t, firstFit([]Cut{cuts[5], cuts[1], cuts[0], cuts[4], cuts[2], cuts[3]}, 100, 0), 3)
	for n, want := range map[int]int{6: 2, 1: 1, 0: 0} {
		bars, fewest := nest(cuts[:n], 100, 0)
		require.Len(t, bars, want)
		require.True(t, fewest)
	}
}

// Each bar is in one part; a bar turned end for end is the same part, its mirror image is not.
func TestPartsAlike(t *testing.T) {
	a := example(t)
	n := 0
	for _, p := range Parts(a.Rack) {
		n += len(p.Names)
	}
	require.Equal(t, len(a.Rack.Bars), n)
	s := rack.Section{Form: rack.Angle, Width: 25, Thick: 3}
	b := rack.Bar{Section: s, To: r3.Vector{X: 100}, A: r3.Vector{Y: 1}, B: r3.Vector{Z: 1}}
	holes := []rack.Hole{{Leg: rack.LegA, At: 20, Across: 14, Diameter: 6.6}}
	turned := b
	turned.From, turned.To = b.To, b.From
	require.Equal(t, pattern(b, holes, nil), pattern(turned, []rack.Hole{{Leg: rack.LegA, At: 80, Across: 14, Diameter: 6.6}}, nil))
	require.NotEqual(t, pattern(b, holes, nil), pattern(b, []rack.Hole{{Leg: rack.LegA, At: 80, Across: 14, Diameter: 6.6}}, nil))
}

// The drawing is at true size: its outline is as long as the bar, each hole where it is.
func TestSheetIsAtTrueSize(t *testing.T) {
	for _, p := range Parts(example(t).Rack) {
		d := p.Sheet()
		require.Len(t, d.Circles, len(p.Holes), p.Letter)
		bounds := d.Paths[0].Points
		require.InDelta(t, p.Bar.Length(), bounds[2].X-bounds[0].X, 1e-9)
		legs := float64(len(p.Bar.Legs())) // unfolded
		require.InDelta(t, legs*p.Bar.Section.Width, bounds[2].Y-bounds[0].Y, 1e-9)
		for _, c := range d.Circles {
			require.True(t, d.Bounds().ContainsPoint(c.Centre))
		}
	}
}

func TestFilesAreWritten(t *testing.T) {
	a := example(t)
	paper, err := drawing.ParsePaper("a4")
	require.NoError(t, err)
	files, err := Files(a, paper, DefaultScale)
	require.NoError(t, err)
	for _, f := range files {
		var b bytes.Buffer
		require.NoError(t, f.Write(&b), f.Name)
		require.NotZero(t, b.Len(), f.Name)
		if strings.HasSuffix(f.Name, ".stl") {
			require.Zero(t, (b.Len()-84)%50) // 84 bytes and 50 a facet (Burns, Automated Fabrication 1993)
		}
		if f.Name == "rack.txt" {
			for _, bar := range a.Rack.Bars {
				require.Contains(t, b.String(), bar.Name)
			}
			require.Contains(t, b.String(), "ORDER OF BUILDING")
		}
	}
}

// Every bar, box, bolt and rod comes once, in a bolted rack and in a welded one; no bolt before all
// that it joins. What comes off the frame is off from the first bar on until it is put back.
func TestBuildingIsWhole(t *testing.T) {
	for _, file := range []string{"trail-rack.yaml", "trail-welded.yaml"} {
		a := exampleWith(t, file)
		r := a.Rack
		steps := Building(a)
		came, at := map[string]int{}, map[string]int{}
		for i, s := range steps {
			for _, c := range s.Comes {
				came[c.Name]++
				at[c.Name] = i
				require.Contains(t, s.With, c.Name)
				require.Equal(t, []string{"tank"}, s.Off)
			}
			for _, name := range s.With {
				if at[name] = i; came[name] == 0 {
					came[name]++
				}
			}
		}
		for _, b := range r.Bars {
			require.Equal(t, 1, came[b.Name], b.Name)
		}
		for _, p := range a.Layout.Placements {
			require.Equal(t, 1, came[p.Part().String()])
		}
		for _, f := range r.Fasteners {
			require.Equal(t, 1, came[f.Name], f.Name)
			for _, b := range f.Joins {
				if _, isBar := r.Bar(b); isBar && !f.Rod {
					require.GreaterOrEqual(t, at[f.Name], at[b], "%s of %s", f.Name, b)
				}
			}
		}
		for _, s := range a.Report.Order {
			if len(s.Bars) > 0 { // on the bench before anything comes to the vehicle
				require.Less(t, slices.IndexFunc(steps, func(x Step) bool { return strings.Contains(x.Words, "where the "+s.Name+" is welded") }), at[s.Bars[0]])
			}
		}
		require.Empty(t, steps[len(steps)-1].Off)
		require.Contains(t, steps[len(steps)-2].Words, "Put back tank")
	}
}

// A welded rack has no bolts where it is welded, but welds in the parts list, on the drawings of
// both bars and in the order of building, and cautions about welding.
func TestWeldedRackInWords(t *testing.T) {
	a, bolted := exampleWith(t, "trail-welded.yaml"), example(t)
	require.Less(t, len(a.Rack.Fasteners), len(bolted.Rack.Fasteners))
	var b bytes.Buffer
	require.NoError(t, WritePlan(&b, a))
	for _, words := range []string{"fillet welds a2.1", "disconnect every battery", "never on the vehicle", "someone qualified", "weld on L inside, fillet a2.1 (throat; leg 3 mm)", "tack every joint"} {
		require.Contains(t, b.String(), words)
	}
	b.Reset()
	require.NoError(t, WritePlan(&b, bolted))
	require.NotContains(t, b.String(), "weld on")
	marks := map[string]int{}
	for _, p := range Parts(a.Rack) {
		d := p.Sheet()
		for _, x := range p.spots {
			require.NotEmpty(t, x.with, p.Letter)
			require.Contains(t, texts(d), x.on(p.Bar.Section.Form))
			for range p.Names {
				marks[x.weld.Name]++
			}
		}
		require.Len(t, d.Circles, len(p.Holes))
	}
	sum := 0
	for _, n := range marks {
		sum += n
	}
	require.Equal(t, 2*len(a.Rack.Welds), sum, "each weld is on the drawings of two bars")
}

func texts(d drawing.Drawing) []string {
	var all []string
	for _, x := range d.Texts {
		all = append(all, x.Line)
	}
	return all
}
