package answer

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/outcome"
)

// The layout that is sure need not be the one with most to spare; the headline says which
// is which.
func TestWhichLayoutIsSure(t *testing.T) {
	in := inputOf(t, "boxes: [{name: box, size: [100, 70, 50], accuracy: 0.1}]")
	in.Result.Layouts = append(in.Result.Layouts, in.Result.Layouts[0])
	for _, stands := range []bool{true, false} {
		in.Result.Sure = &outcome.Sureness{Layout: 1, Stands: stands}
		text := words(t, in)
		require.Contains(t, text, "It fits, for sure as layout 2, which still fits")
		require.Contains(t, text, "Layout 1 has more to spare as measured, 1.00 mm, but")
		require.Contains(t, text, "What follows is about layout 1")
		require.Equal(t, !stands, strings.Contains(text, "its boxes moved a little then"))
	}
}

func TestPlacesInColumns(t *testing.T) {
	p := printer{nil, geom.Millimetre}
	require.Equal(t, "10 up\t25 from rear\t95 right to 25 right", Place{10, 25, r1.Interval{Lo: -95, Hi: -25}}.columns(p))
	require.Equal(t, "10 up\t25 from rear\tmiddle to 70 left", Place{10, 25, r1.Interval{Lo: 0, Hi: 70}}.columns(p))
	require.Equal(t, "4.1 below\t0.3 behind rear\t95 right to 25 right", Place{-4.1, -0.3, r1.Interval{Lo: -95, Hi: -25}}.columns(p))
	p.unit = geom.Inch
	require.Equal(t, "0 up\t1/2 from rear\t1 right to 1 left", Place{0, 12.7, r1.Interval{Lo: -25.4, Hi: 25.4}}.columns(p))
}

// What has only to be connected before a box is told with that box; the rest by what has
// to be off, those with the same together.
func TestPostsOfOneMomentAreToldTogether(t *testing.T) {
	reach := func(box int, post string, before int, things ...string) entry.Reach {
		return entry.Reach{Post: pack.Part{Box: "b", Number: box, Post: post}, When: entry.Before, Things: things, Boxes: []pack.Part{{Box: "b", Number: before}}}
	}
	all := []entry.Reach{reach(1, "plus", 3, "tank"), reach(1, "minus", 4, "tank"), reach(2, "plus", 3, "tank"), reach(2, "minus", 3)}
	require.Equal(t, []string{"Connect b 1 plus, b 2 plus with tank off, before b 3 goes in", "Connect b 1 minus with tank off, before b 4 goes in"}, connections(all))
	require.Equal(t, map[pack.Part][]string{{Box: "b", Number: 3}: {"b 2 minus"}}, connectFirst(entry.Answer{Reach: all}))
}

func TestFilesAreListedByFolder(t *testing.T) {
	require.Equal(t, []string{`"out/": a.yaml, b.yaml`}, Listed(`"out/": `, []string{"a.yaml", "b.yaml"}))
	require.Equal(t, []string{`proof\n.json`}, Listed("", []string{"proof\n.json"}), "nothing that a terminal acts on")
	long := Listed(`"out/": `, slices.Repeat([]string{"silhouette-of-layout.svg"}, 5))
	require.Len(t, long, 2)
	require.LessOrEqual(t, len(long[0]), wide)
	require.Contains(t, long[1], "    silhouette-of-layout.svg, "[2:])
}

func TestCheckEndsInShort(t *testing.T) {
	in := inputOf(t, "boxes: [{name: box, size: [100, 70, 50]}]")
	short := func(g outcome.Given, e Entry) string {
		var b bytes.Buffer
		require.NoError(t, WriteInShort(&b, in.Problem, g, e))
		return b.String()
	}
	fine := outcome.Judge(in.Problem, in.Result.Layouts[0].Layout)
	require.Contains(t, short(fine, Entry{Unknown: true}), "In short: the layout holds, as measured, 1.00 mm to spare.")
	require.Contains(t, short(fine, Entry{Faults: []entry.Fault{{Text: "x"}}}), "cannot be put in")
	near := fine
	near.Report.Spare = -2
	require.Contains(t, short(near, Entry{Unknown: true}), "does not hold, 2.00 mm short")
	require.Contains(t, short(outcome.Judge(in.Problem, pack.Layout{}), Entry{Unknown: true}), "faults stand at the top")
}

// A battery of 6.1 kg whose size is written in cm and read in mm fits anywhere.
func TestSizesInTheWrongUnitAreNoticed(t *testing.T) {
	of := func(size r3.Vector) string {
		return Cautions(&pack.Pack{Kinds: []pack.Kind{{Name: "battery", Count: 1, Size: size, Mass: 6.1}}})[0]
	}
	require.Contains(t, of(r3.Vector{X: 18.1, Y: 7.7, Z: 16.7}), "battery would be heavier than solid lead")
	require.NotContains(t, of(r3.Vector{X: 181, Y: 77, Z: 167}), "lead of its size")
}

// Layouts that tie are told with the same spare, what settling has cost aside; what is less
// is less.
func TestWhatSettlingCostsIsNotTold(t *testing.T) {
	for mm, want := range map[float64]string{9: "9.00 mm", 9 - 3e-7: "9.00 mm", 8.9999: "8.99 mm", 0.0099: "0.00 mm"} {
		require.Equal(t, want, LeftWords(mm, geom.Millimetre))
	}
}

// Where no rack is found the answer names what lacks, where, by how much, and the key to change.
func TestRoomThatLacksForARack(t *testing.T) {
	in := inputOf(t, "boxes: [{name: box, size: [100, 70, 50]}]")
	in.Rack = &RackRoom{Lack: 3, Rows: "9 boxes on one level", Wants: []RackWant{{At: "pump", Short: 33.66, Key: "keepouts in the frame file"}}}
	text := words(t, in)
	require.Contains(t, text, "The nearest such, 9 boxes on one level, want more room: 33.66 mm at pump (keepouts in the frame file).")
	require.Contains(t, text, "What to do: make that room on the vehicle and change the file there")
	in.Rack = &RackRoom{Lack: 3, Why: []string{"upper upright has no room beside seat post: 1.4 mm too little"}}
	require.Contains(t, words(t, in), "the rack that comes nearest: upper upright has no room beside seat post: 1.4 mm too little.")
}
