package compared

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/compare"
)

// sample are entries with an outcome of each kind.
func sample() (Header, []compare.Entry, []compare.Row) {
	var entries []compare.Entry
	for i, name := range []string{"a", `b "<&`, "c", "d"} {
		entries = append(entries, compare.Entry{Row: i, Battery: pack.Battery{Kind: pack.Kind{Name: name, Volts: 12, AmpHours: 7}, Price: -1}, Count: i + 1})
	}
	layout := pack.Layout{FrameHash: strings.Repeat("a", 64), PackHash: strings.Repeat("b", 64), Placements: []pack.Placement{
		{Box: "a", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: r3.Vector{X: 1.0 / 3, Y: -2, Z: 1e-7}},
	}}
	outcomes := []compare.Outcome{
		{Verdict: compare.Sure, Spare: 1.0 / 3, Bound: math.Inf(1), Best: true, Layout: layout},
		{Verdict: compare.ProvenNo, Spare: math.Inf(-1), Bound: -0.5, Reason: "too <long>", Proof: []byte(`{"format":1,"claim":"\u003c"}` + "\n")},
		{Verdict: compare.NotKnown, Spare: -4.25, Bound: 7},
		{Verdict: compare.No, Spare: math.Inf(-1), Bound: -1e-3},
	}
	var rows []compare.Row
	for i, o := range outcomes {
		rows = append(rows, compare.Row{Entry: entries[i], Outcome: o})
	}
	return Header{Format: 1, Frame: "f", Catalogue: "c", Want: "72 V", Rows: 4, Part: 1, Of: 1}, entries, rows
}

// What is written reads back as it was, and writes the same bytes again.
func TestRowsReadBack(t *testing.T) {
	h, entries, rows := sample()
	var text bytes.Buffer
	require.NoError(t, WritePart(&text, h, rows))
	p, err := ReadPart(bytes.NewReader(text.Bytes()), "rows", h, entries)
	require.NoError(t, err)
	require.Equal(t, h, p.Header)
	require.EqualValues(t, text.Len(), p.Good)
	require.Equal(t, rows, Finished(entries, p.Outcomes))
	var again bytes.Buffer
	require.NoError(t, WritePart(&again, h, Finished(entries, p.Outcomes)))
	require.Equal(t, text.String(), again.String())
}

// A file that was cut off anywhere gives its whole lines, or says that there is none.
func TestCutOffAnywhere(t *testing.T) {
	h, entries, rows := sample()
	var text bytes.Buffer
	require.NoError(t, WritePart(&text, h, rows))
	for n := range text.Len() {
		p, err := ReadPart(bytes.NewReader(text.Bytes()[:n]), "rows", h, entries)
		whole := bytes.Count(text.Bytes()[:n], []byte("\n"))
		if whole == 0 {
			require.ErrorIs(t, err, ErrEmpty)
			continue
		}
		require.NoError(t, err)
		require.Len(t, p.Outcomes, whole-1)
		require.EqualValues(t, bytes.LastIndexByte(text.Bytes()[:n], '\n')+1, p.Good)
	}
}

// What is of another comparison, or no row, is refused with its line.
func TestForeignRows(t *testing.T) {
	h, entries, rows := sample()
	var text bytes.Buffer
	require.NoError(t, WritePart(&text, h, rows))
	for change, words := range map[[2]string]string{
		{`"count":3`, `"count":4`}:               "rows:4: row 2 is not c × 4 in this comparison",
		{`"not known"`, `"perhaps"`}:             `rows:4: "perhaps" is no verdict`,
		{`"row":2`, `"rows":2`}:                  "rows:4: this is no row",
		{`"format":1,"rack`, `"format":9,"rack`}: "rows:1: this is no file of rows",
		{`up: top`, `up: tap`}:                   "tap",
	} {
		changed := strings.Replace(text.String(), change[0], change[1], 1)
		require.NotEqual(t, text.String(), changed)
		_, err := ReadPart(strings.NewReader(changed), "rows", h, entries)
		require.ErrorContains(t, err, words)
	}
	for words, change := range map[string]func(*Header){
		"rows is of another frame file":             func(h *Header) { h.Frame = "g" },
		"rows is of another catalogue":              func(h *Header) { h.Catalogue = "g" },
		"rows is of another wish, or other options": func(h *Header) { h.Seed = 7 },
	} {
		other := h
		change(&other)
		_, err := ReadPart(bytes.NewReader(text.Bytes()), "rows", other, nil)
		require.ErrorContains(t, err, words)
	}
	part := h
	part.Part, part.Of = 2, 3
	_, err := ReadPart(bytes.NewReader(text.Bytes()), "rows", part, entries)
	require.NoError(t, err, "a part is of the same comparison")
}
