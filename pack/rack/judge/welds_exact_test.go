package judge

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack/rack"
)

// welded are two bars of a tray, of 3 mm and 5 mm, one on the other, with 100 mm of fillet of 2 mm
// between them.
func welded(change func(a, b *rack.Bar, w *rack.Weld)) (*scene, *rack.Weld) {
	flat := func(name string, thick float64, z float64) rack.Bar {
		return rack.Bar{Name: name, Tray: "tray", Section: rack.Section{Form: rack.Flat, Width: 30, Thick: thick}, From: r3.Vector{Z: z}, To: r3.Vector{X: 100, Z: z}, A: r3.Vector{Y: 1}, B: above}
	}
	a, b := flat("a", 3, -3), flat("b", 5, 0)
	w := &rack.Weld{Name: "weld", Joins: [2]string{"a", "b"}, Throat: 2, Runs: []rack.Run{{Of: "a", To: r3.Vector{X: 100}}}}
	change(&a, &b, w)
	return sceneOf(part{name: "a", bar: &a, solids: solidsOf(a.Solids())}, part{name: "b", bar: &b, solids: solidsOf(b.Solids())}), w
}

func filletOf(change func(a, b *rack.Bar, w *rack.Weld)) *scene {
	j, w := welded(change)
	j.fillets(w)
	return j
}

// Only bars of one tray are welded to each other, none that goes on after the boxes.
func TestWeldedBars(t *testing.T) {
	for name, c := range map[string]struct {
		change func(a, b *rack.Bar)
		may    bool
	}{
		"one tray":    {func(_, _ *rack.Bar) {}, true},
		"another":     {func(_, b *rack.Bar) { b.Tray = "upper tray" }, false},
		"none":        {func(a, b *rack.Bar) { a.Tray, b.Tray = "", "" }, false},
		"late":        {func(a, _ *rack.Bar) { a.Late = true }, false},
		"second late": {func(_, b *rack.Bar) { b.Late = true }, false},
	} {
		j, w := welded(func(a, b *rack.Bar, _ *rack.Weld) { c.change(a, b) })
		require.Equal(t, c.may, j.weldedBars(w), name)
		for _, v := range j.found {
			require.Zero(t, v.By)
			require.Equal(t, Assembly, v.Rule)
		}
	}
	j, w := welded(func(_, _ *rack.Bar, w *rack.Weld) { w.Joins[1] = "down-tube" })
	require.False(t, j.weldedBars(w))
	require.Equal(t, FrameUntouched, j.found[0].Rule)
	require.Zero(t, j.found[0].By)
}

// A fillet's throat is 1.5 mm at least, and t/√2 of the thinner bar at most: 2.12 mm of 3 mm.
func TestThroatExactly(t *testing.T) {
	thick := func(throat float64) *scene {
		return filletOf(func(_, _ *rack.Bar, w *rack.Weld) { w.Throat = throat })
	}
	most := 3 / math.Sqrt2
	for _, throat := range []float64{1.5, 2, most, most + 0.01} {
		require.Empty(t, thick(throat).found)
	}
	require.InDelta(t, 2.2-most, thick(2.2).found[0].By, 1e-9)
	require.Len(t, thick(next(most+0.01)).found, 1)
	require.InDelta(t, 0.25, thick(1.25).found[0].By, 1e-9)
	require.Len(t, filletOf(func(a, b *rack.Bar, w *rack.Weld) { a.Section.Thick, b.Section.Thick, w.Throat = 5, 3, 2.2 }).saying("along the edge of a bar of 3.0 mm"), 1)
	require.Zero(t, filletOf(func(_, _ *rack.Bar, w *rack.Weld) { w.Runs[0].To.X = 33 }).saying("too short to carry")[0].By)
	require.Empty(t, filletOf(func(_, _ *rack.Bar, w *rack.Weld) { w.Runs[0].To.X = 34 }).found) // 30 mm and two throats
}

// A fillet runs where both bars are, to 0.3 mm at each end.
func TestFilletRunsExactly(t *testing.T) {
	for past, wrong := range map[float64]int{touch: 0, next(touch): 1} {
		j := filletOf(func(_, _ *rack.Bar, w *rack.Weld) { w.Runs[0].From.X = -past })
		require.Len(t, j.found, wrong)
	}
	for _, end := range []r3.Vector{{X: 101}, {X: 100, Y: -1}, {X: 100, Z: 1}, {X: 100, Z: -1}} {
		j := filletOf(func(_, _ *rack.Bar, w *rack.Weld) { w.Runs[0].To = end })
		require.Len(t, j.found, 1)
		require.InDelta(t, 1, j.found[0].By, 1e-9)
	}
}

// No head, nut or washer of a bolt through the bars is nearer to a fillet than its leg, √2 throats,
// less 0.3 mm; the shank is in its hole, and other bolts are looked at elsewhere.
func TestWashersExactly(t *testing.T) {
	w := &rack.Weld{Name: "weld", Joins: [2]string{"a", "b"}, Throat: 2}
	gap := w.Leg() - touch
	at := func(by float64, joined string, n int) *scene {
		below, _ := apartBy(by)
		bolt := part{name: "bolt", fastener: &rack.Fastener{Name: "bolt", Size: "M6", Joins: []string{joined}}}
		for range n {
			bolt.solids = append(bolt.solids, topAt(-500))
		}
		bolt.solids = append(bolt.solids, below, topAt(-500))
		j := sceneOf(barOf("a", topAt(0)), barOf("b", topAt(0)), bolt)
		j.washers(w, rack.Run{Of: "a", From: r3.Vector{Z: by}, To: r3.Vector{Z: -by}})
		return j
	}
	for _, joined := range []string{"a", "b"} {
		for _, n := range []int{1, 2} { // its head, or what follows
			require.Empty(t, at(gap, joined, n).found)
			near := at(1, joined, n)
			require.Len(t, near.found, 1)
			require.InDelta(t, 2*math.Sqrt2-1, near.found[0].By, 1e-9)
			require.Contains(t, near.found[0].Text, "1.8 mm too little")
		}
		require.Empty(t, at(1, joined, 0).found, "the shank")
	}
	require.Empty(t, at(1, "c", 1).found)
}

// The block around a fillet is between its ends, whichever way it runs.
func TestBlockAroundARun(t *testing.T) {
	a, b := r3.Vector{X: 1, Y: 5, Z: 3}, r3.Vector{X: 4, Y: 2, Z: 6}
	require.Equal(t, r3.Vector{X: 1, Y: 2, Z: 3}, least3(a, b))
	require.Equal(t, r3.Vector{X: 1, Y: 2, Z: 3}, least3(b, a))
	require.Equal(t, r3.Vector{X: 4, Y: 5, Z: 6}, most3(a, b))
	require.Equal(t, r3.Vector{X: 4, Y: 5, Z: 6}, most3(b, a))
}

// Bars that hang together by welds come as one piece; what is welded to no bar is by itself.
func TestPieces(t *testing.T) {
	pieces := func(welds ...[2]string) [][]string {
		j := sceneOf(barOf("a"), barOf("b"), barOf("c"), boltOf(m6("bolt")), barOf("d"))
		for _, w := range welds {
			j.rack.Welds = append(j.rack.Welds, rack.Weld{Joins: w})
		}
		var list [][]string
		for _, p := range j.pieces() {
			var names []string
			for _, b := range p {
				names = append(names, b.name)
			}
			list = append(list, names)
		}
		return list
	}
	require.Equal(t, [][]string{{"a"}, {"b"}, {"c"}, {"d"}}, pieces())
	require.Equal(t, [][]string{{"a"}, {"b"}, {"c", "d"}}, pieces([2]string{"c", "d"}))
	require.Equal(t, [][]string{{"a"}, {"b", "c", "d"}}, pieces([2]string{"c", "d"}, [2]string{"b", "d"}, [2]string{"c", "b"})[:2])
	require.Equal(t, [][]string{{"a"}, {"b"}, {"c"}, {"d"}}, pieces([2]string{"c", "mount"}, [2]string{"mount", "d"}))
}
