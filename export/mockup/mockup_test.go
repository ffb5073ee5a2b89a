package mockup

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/export/block"
	"rackwright/export/card"
	"rackwright/export/drawing"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

var all = []Form{PDF, SVG, DXF, STL, ThreeMF}

// odd is a problem of boxes that no one would have: they have to give right files or an
// error, and never a file that cannot be read.
func odd(t *testing.T) pack.Problem {
	t.Helper()
	outline, err := geom.PolygonFromCorners([]r2.Point{{}, {X: 900}, {X: 900, Y: 300}, {X: 400, Y: 300}, {X: 300, Y: 200}, {Y: 300}})
	require.NoError(t, err)
	post := pack.Post{Name: "plus", Face: pack.Top, At: r2.Point{X: 5, Y: 5}, Diameter: 30, Height: 20, Polarity: "+"}
	return pack.Problem{
		Frame: &frame.Frame{
			Name:    "Ünicode \u202e\x1b[31m",
			Opening: frame.Opening{Outline: outline, Sides: []string{"a", "b", "c", "d", "e", "f"}, Stations: []frame.Station{{Z: -50, Across: r1.Interval{Lo: -90, Hi: 90}}, {Z: 900, Across: r1.Interval{Lo: -10, Hi: 90}}}},
			KeepOuts: []frame.KeepOut{
				{Name: "<tank>", Box: &frame.Corners{Low: r3.Vector{X: 1, Y: -5, Z: 1}, High: r3.Vector{X: 9, Y: 5, Z: 9}}},
				{Name: "", Round: &frame.Round{To: r3.Vector{X: 3, Y: 4, Z: 5}, Diameter: 1}},
			},
			Rails: []frame.Rail{{Name: "r", Path: []r3.Vector{{X: 1}, {X: 2, Y: 8}, {X: 80, Y: 9}}, Diameter: 12}},
		},
		Pack: &pack.Pack{Kinds: []pack.Kind{
			{Name: "speck", Count: 1, Size: r3.Vector{X: 1, Y: 1, Z: 1}},
			{Name: "speck a4", Count: 2, Size: r3.Vector{X: 60, Y: 1, Z: 200}},
			{Name: "beam", Count: 1, Size: r3.Vector{X: 2000, Y: 300, Z: 300}, Mass: 60},
			{Name: "post wider than its face", Count: 1, Size: r3.Vector{X: 20, Y: 20, Z: 20}, Posts: []pack.Post{post}},
			{Name: "電池 \U0001F50B \u0301\u200d e\u0301 שלום %%c \\U+0041", Count: 1, Size: r3.Vector{X: 90, Y: 80, Z: 70}},
			{Name: strings.Repeat("long ", 60), Count: 1, Size: r3.Vector{X: 90, Y: 80, Z: 70}},
		}},
	}
}

func TestOddBoxesGiveFilesThatCanBeRead(t *testing.T) {
	p := odd(t)
	paper := drawing.Papers[0]
	r, err := Make(p, Settings{Forms: all, Board: card.DefaultBoard, Paper: &paper})
	require.NoError(t, err)
	seen := map[string]bool{}
	dir := t.TempDir()
	for _, f := range r.Files {
		require.False(t, seen[f.Name], "%s is there twice", f.Name)
		seen[f.Name] = true
		var b bytes.Buffer
		require.NoError(t, f.Write(&b), f.Name)
		require.NotContains(t, b.String(), "NaN", f.Name)
		if filepath.Ext(f.Name) == ".svg" {
			require.NotContains(t, b.String(), "\x1b")
			require.NotContains(t, b.String(), "\u202e")
		}
		require.NoError(t, os.WriteFile(filepath.Join(dir, f.Name), b.Bytes(), 0o600))
	}
	require.Contains(t, strings.Join(r.Notes, "\n"), "PDF shows boxes for some letters of \"電池")
	require.True(t, seen["card-speck-a4-2.pdf"], "beside the tiles of speck")
	requireReadable(t, dir)
}

// requireReadable has other programs read the files.
func requireReadable(t *testing.T, dir string) {
	for end, program := range map[string][]string{".pdf": {"pdfinfo"}, ".svg": {"rsvg-convert", "-o", filepath.Join(dir, "picture.png")}} {
		if _, err := exec.LookPath(program[0]); err != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
			t.Skip(program[0] + " is missing")
		}
		files, err := filepath.Glob(filepath.Join(dir, "card-*"+end))
		require.NoError(t, err)
		require.NotEmpty(t, files)
		for _, f := range files {
			out, err := exec.Command(program[0], append(program[1:], f)...).CombinedOutput()
			require.NoError(t, err, "%s: %s", f, out)
			require.NotContains(t, string(out), "rror", f)
		}
	}
}

func TestWhatIsTooLargeIsSaid(t *testing.T) {
	p := odd(t)
	_, err := Make(p, Settings{Forms: []Form{SVG}, Board: 4, Sheet: r2.Point{X: 80, Y: 70}})
	require.ErrorIs(t, err, card.ErrBoard)
	require.ErrorContains(t, err, "a face of beam is larger than the sheet")
	r, err := Make(p, Settings{Forms: []Form{SVG}, Board: 4, Sheet: r2.Point{X: 1200, Y: 800}})
	require.NoError(t, err, "the beam is cut along seams")
	require.Contains(t, strings.Join(r.Notes, "\n"), "sheets of card")
	_, err = Make(p, Settings{Forms: []Form{STL}, Print: block.Print{Bed: r3.Vector{X: 20, Y: 20, Z: 20}}})
	require.ErrorIs(t, err, block.ErrPrint)
	p.Pack.Kinds = p.Pack.Kinds[2:3]
	p.Pack.Kinds[0].Size = r3.Vector{X: 2000, Y: 2000, Z: 2000}
	paper := drawing.Papers[0]
	r, err = Make(p, Settings{Forms: []Form{PDF}, Board: 4, Paper: &paper})
	require.NoError(t, err)
	require.Contains(t, strings.Join(r.Notes, "\n"), "card-beam is not tiled: the drawing is too large for a4: it would take")
	for _, f := range r.Files {
		require.NoError(t, f.Write(io.Discard), f.Name)
	}
	require.Contains(t, strings.Join(r.Notes, "\n"), "card-beam is too large for one page of PDF")
}

func TestForms(t *testing.T) {
	f, err := ParseForms("STL, 3mf,stl")
	require.NoError(t, err)
	require.Equal(t, []Form{STL, ThreeMF}, f)
	_, err = ParseForms("")
	require.Error(t, err)
}

func TestNumbersInWords(t *testing.T) {
	for want, numbers := range map[string][]int{"2": {2}, "1 and 2": {2, 1}, "1 to 3": {1, 2, 3}, "1, 3 and 5": {1, 3, 5}, "2 and 4": {2, 4}} {
		require.Equal(t, want, listed(numbers))
	}
}

// Two boxes upright and one on its side print as two shells, each open at its bottom; one
// that lies on its posts is open at its own bottom, and that is said.
func TestShellsFollowTheLayout(t *testing.T) {
	p := odd(t)
	post := pack.Post{Name: "plus", Face: pack.Left, At: r2.Point{X: 30, Y: 30}, Diameter: 10, Height: 8}
	p.Pack.Kinds = []pack.Kind{{Name: "block", Count: 4, Size: r3.Vector{X: 90, Y: 80, Z: 70}, Posts: []pack.Post{post}}}
	var l pack.Layout
	for i, up := range []pack.Face{pack.Top, pack.Left, pack.Top, pack.Right} {
		l.Placements = append(l.Placements, pack.Placement{Box: "block", Number: i + 1, Orientation: pack.Orientation{Up: up, Front: pack.Front}, Centre: r3.Vector{X: 100 * float64(i)}})
	}
	r, err := Make(p, Settings{Forms: []Form{STL}, Layout: &l, Print: block.Print{Shell: 2}})
	require.NoError(t, err)
	var files []string
	for _, f := range r.Files {
		files = append(files, f.Name)
	}
	require.Equal(t, []string{"block-block-1-3-and-4.stl", "block-block-2.stl"}, files)
	notes := strings.Join(r.Notes, "\n")
	require.Contains(t, notes, "The shell of block 1, 3 and 4 is open at its bottom: a post is on its left, which is down.")
	require.Contains(t, notes, "open at the bottom as the boxes stand in the layout")
}

// What is no shell though shells are asked for is said: too thin for two walls, or with no
// face to leave out.
func TestWhatIsPrintedSolidIsSaid(t *testing.T) {
	p := odd(t)
	var all []pack.Post
	for face := pack.Front; face <= pack.Bottom; face++ {
		all = append(all, pack.Post{Name: "p", Face: face, At: r2.Point{X: 20, Y: 20}, Diameter: 8, Height: 5})
	}
	size := r3.Vector{X: 60, Y: 50, Z: 40}
	p.Pack.Kinds = []pack.Kind{{Name: "plain", Count: 1, Size: size}, {Name: "thin", Count: 1, Size: r3.Vector{X: 60, Y: 50, Z: 4}}, {Name: "posted", Count: 1, Size: size, Posts: all}}
	r, err := Make(p, Settings{Forms: []Form{STL}, Print: block.Print{Shell: 2}})
	require.NoError(t, err)
	require.Contains(t, strings.Join(r.Notes, "\n"), "on all faces: posted, thin.")
	r, err = Make(p, Settings{Forms: []Form{STL}})
	require.NoError(t, err)
	require.NotContains(t, strings.Join(r.Notes, "\n"), "Solid, wholly")
}
