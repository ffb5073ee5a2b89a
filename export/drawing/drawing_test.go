package drawing

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"
)

// example has every kind of element, near the edges too, and names in several scripts.
func example() Drawing {
	d := Drawing{Title: "Card template: Łódź 電池 b\x1b[31m", Size: r2.Point{X: 230, Y: 320}}
	d.Rect(Cut, r2.RectFromPoints(r2.Point{X: 10, Y: 10}, r2.Point{X: 220, Y: 310}))
	d.Polygon(Cut, []r2.Point{{X: 40, Y: 40}, {X: 190, Y: 90}, {X: 100, Y: 280}})
	d.Line(Fold, r2.Point{X: 115, Y: 10}, r2.Point{X: 115, Y: 310})
	d.Line(Fold, r2.Point{X: 10, Y: 160}, r2.Point{X: 220, Y: 160})
	d.Circle(Mark, r2.Point{X: 70, Y: 160}, 35)
	d.Paths = append(d.Paths, Path{Layer: Mark, Points: Arc(r2.Point{X: 150, Y: 200}, 60, 0, 2*math.Pi), Dotted: true})
	for turns := range 4 {
		at := r2.Point{X: 115, Y: 160}.Add(Turned(r2.Point{X: 0, Y: 70}, turns))
		d.Text(at, 9, 200, turns, fmt.Sprintf("turned by %d", turns))
		d.Arrow(at.Add(Turned(r2.Point{Y: 8}, turns)), at.Add(Turned(r2.Point{Y: 28}, turns)))
	}
	d.TextFrom(r2.Point{X: 20, Y: 20}, 6, 180, "begins here: Łódź 電池 é <b>&amp;")
	return d.WithLegend("A line of words.", "And one more.")
}

func judge(t *testing.T, name string) {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
		t.Skip(name + " is missing")
	}
}

// raster has 10 pixels a millimetre.
const raster = 254

// pages are the pages of a PDF file as pictures, by pdftoppm.
func pages(t *testing.T, pdf []byte) []image.Image {
	t.Helper()
	judge(t, "pdftoppm")
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "x.pdf"), pdf, 0o600))
	out, err := exec.Command("pdftoppm", "-r", fmt.Sprint(raster), "-gray", filepath.Join(dir, "x.pdf"), filepath.Join(dir, "p")).CombinedOutput()
	require.NoError(t, err, string(out))
	names, err := filepath.Glob(filepath.Join(dir, "p-*.pgm"))
	require.NoError(t, err)
	var all []image.Image
	for _, name := range names {
		b, err := os.ReadFile(name)
		require.NoError(t, err)
		var w, h, depth int
		_, err = fmt.Sscanf(string(b[:40]), "P5\n%d %d\n%d\n", &w, &h, &depth)
		require.NoError(t, err)
		all = append(all, &image.Gray{Pix: b[len(b)-w*h:], Stride: w, Rect: image.Rect(0, 0, w, h)})
	}
	return all
}

func dark(p image.Image, x, y int) bool {
	if g, ok := p.(*image.Gray); ok {
		return image.Pt(x, y).In(g.Rect) && g.Pix[g.PixOffset(x, y)] < 0xb0
	}
	r, _, _, _ := p.At(x, y).RGBA()
	return r < 0xb000
}

// run is the length in pixels of the longest dark stretch along a row or a column,
// near a place in millimetres from the lower left.
func run(p image.Image, at r2.Point, up bool) int {
	best := 0
	for off := -3; off <= 3; off++ {
		now := 0
		for i := range 1200 {
			x, y := int(at.X*10)+i-50, p.Bounds().Dy()-int(at.Y*10)+off
			if up {
				x, y = int(at.X*10)+off, p.Bounds().Dy()-int(at.Y*10)-i+50
			}
			if dark(p, x, y) {
				now++
				best = max(best, now)
			} else {
				now = 0
			}
		}
	}
	return best
}

func TestFullSizePage(t *testing.T) {
	d := example()
	var b, again bytes.Buffer
	require.NoError(t, d.WritePDF(&b))
	require.NoError(t, d.WritePDF(&again))
	require.Equal(t, b.Bytes(), again.Bytes(), "the same drawing gives the same bytes")
	all := pages(t, b.Bytes())
	require.Len(t, all, 1)
	p := all[0]
	require.InDelta(t, d.Size.X*10, p.Bounds().Dx(), 2)
	require.InDelta(t, d.Size.Y*10, p.Bounds().Dy(), 2)
	require.InDelta(t, 1000, run(p, r2.Point{X: legendLeft, Y: barStart}, false), 5)
	require.InDelta(t, 1016, run(p, r2.Point{X: legendLeft + 110, Y: barStart}, false), 5)
	require.InDelta(t, 1000, run(p, r2.Point{X: barStart, Y: barStart}, true), 5)
}

// Put together by their crosses the tiles are the drawing on one page: nothing is
// missing, and nothing is there but the crosses. Every page has its bars.
func TestTilesPutTogether(t *testing.T) {
	d := example()
	for _, paper := range Papers {
		var b, again bytes.Buffer
		require.NoError(t, d.WriteTiles(&b, paper))
		require.NoError(t, d.WriteTiles(&again, paper))
		require.Equal(t, b.Bytes(), again.Bytes())
		tiles := pages(t, b.Bytes())
		grid, err := newTiling(d, paper)
		require.NoError(t, err)
		require.Len(t, tiles, len(grid.full))
		if len(tiles) == 1 { // whole, with nothing to lay over one another
			requireBars(t, tiles[0], paper)
			continue
		}
		var one bytes.Buffer
		require.NoError(t, grid.drawing.WritePDF(&one))
		whole := pages(t, one.Bytes())[0]
		together := image.NewGray(whole.Bounds())
		for i := range together.Pix {
			together.Pix[i] = 255
		}
		next := 0
		for row := range grid.rows {
			for col := range grid.cols {
				if !grid.full[[2]int{col, row}] {
					continue
				}
				requireBars(t, tiles[next], paper)
				requireCrosses(t, tiles[next], paper)
				paste(together, tiles[next], grid, col, row)
				next++
			}
		}
		requireSame(t, whole, together, grid)
	}
}

func requireBars(t *testing.T, p image.Image, paper Paper) {
	require.InDelta(t, paper.Size.X*10, p.Bounds().Dx(), 2)
	require.InDelta(t, paper.Size.Y*10, p.Bounds().Dy(), 2)
	left := pageMargin + stripLeft
	require.InDelta(t, 1000, run(p, r2.Point{X: left, Y: pageMargin + 10}, false), 5)
	require.InDelta(t, 1016, run(p, r2.Point{X: left, Y: pageMargin + 2.5}, false), 5)
	require.InDelta(t, 1000, run(p, r2.Point{X: pageMargin + 2.5, Y: pageMargin + stripBelow + 4}, true), 5)
}

// requireCrosses looks for the crosses at the four corners of a tile.
func requireCrosses(t *testing.T, p image.Image, paper Paper) {
	size := paper.window()
	for _, x := range []float64{overlap / 2, size.X - overlap/2} {
		for _, y := range []float64{overlap / 2, size.Y - overlap/2} {
			px, py := int(10*(pageMargin+stripLeft+x)), int(10*(pageMargin+y))
			for _, arm := range []int{-30, -15, 15, 30} {
				require.True(t, near(p, px+arm, py) && near(p, px, py+arm), "%s: cross at %g, %g", paper.Name, x, y)
			}
		}
	}
}

// paste puts the part of a page that shows the drawing where it belongs.
func paste(to *image.Gray, p image.Image, grid tiling, col, row int) {
	size := grid.paper.window()
	for y := range int(size.Y * 10) {
		for x := range int(size.X * 10) {
			if dark(p, x+int((pageMargin+stripLeft)*10), y+int(pageMargin*10)) {
				to.SetGray(x+int(math.Round(float64(col)*grid.step.X*10)), y+int(math.Round(float64(row)*grid.step.Y*10)), color.Gray{})
			}
		}
	}
}

// requireSame compares two pictures, allowing a shift of two pixels.
func requireSame(t *testing.T, whole, together image.Image, grid tiling) {
	lost, added := 0, 0
	for y := 3; y < whole.Bounds().Dy()-3; y++ {
		for x := 3; x < whole.Bounds().Dx()-3; x++ {
			a, b := dark(whole, x, y), dark(together, x, y)
			if a && !b && !near(together, x, y) {
				lost++
			}
			if b && !a && !near(whole, x, y) && !atCross(x, y, grid) {
				added++
			}
		}
	}
	require.Zero(t, lost, "%s: pixels lost", grid.paper.Name)
	require.Zero(t, added, "%s: pixels added", grid.paper.Name)
}

func near(p image.Image, x, y int) bool {
	for dy := -2; dy <= 2; dy++ {
		for dx := -2; dx <= 2; dx++ {
			if dark(p, x+dx, y+dy) {
				return true
			}
		}
	}
	return false
}

// atCross tells whether a pixel belongs to a cross at the corner of a tile.
func atCross(x, y int, grid tiling) bool {
	off := func(v, step float64) float64 { return math.Abs(math.Remainder(v/10-overlap/2, step)) }
	return off(float64(x), grid.step.X) <= crossArm+0.3 && off(float64(y), grid.step.Y) <= crossArm+0.3
}

// A long drawing lies along the paper where that takes fewer pages.
func TestLongDrawingsAreTurned(t *testing.T) {
	d := Drawing{Size: r2.Point{X: 250, Y: 150}}
	d.Rect(Cut, r2.RectFromPoints(r2.Point{X: 5, Y: 5}, r2.Point{X: 245, Y: 145}))
	grid, err := newTiling(d, Papers[0])
	require.NoError(t, err)
	require.Len(t, grid.full, 1)
	require.Equal(t, Papers[0].window(), grid.drawing.Size)
	require.InDelta(t, 140, grid.drawing.Bounds().X.Length(), 1e-9)
	require.InDelta(t, 240, grid.drawing.Bounds().Y.Length(), 1e-9)
	d.Text(r2.Point{X: 100, Y: 100}, 5, 50, 1, "upwards")
	d.Text(r2.Point{X: 50, Y: 100}, 5, 50, 0, "level")
	grid, err = newTiling(d, Papers[0])
	require.NoError(t, err)
	for _, text := range grid.drawing.Texts {
		require.NotEqual(t, 2, text.Turns, "%q is upside down", text.Line)
	}
}

func TestTileNames(t *testing.T) {
	require.Equal(t, "A1", tileName(0, 0))
	require.Equal(t, "B3", tileName(1, 2))
	require.Equal(t, "Z1", tileName(25, 0))
	require.Equal(t, "AA12", tileName(26, 11))
}

func TestWhatIsTooLargeForPaper(t *testing.T) {
	d := Drawing{Size: r2.Point{X: 9000, Y: 9000}}
	require.ErrorIs(t, d.WritePDF(&bytes.Buffer{}), ErrTooLarge)
	d.Rect(Cut, r2.RectFromPoints(r2.Point{}, d.Size))
	_, err := Set{Pieces: []Drawing{d}}.Sheets(Papers[0])
	require.ErrorIs(t, err, ErrTooLarge)
	_, err = ParsePaper("A5 please")
	require.ErrorContains(t, err, "a4, a3, letter, tabloid")
	p, err := ParsePaper("A3")
	require.NoError(t, err)
	require.Equal(t, "a3", p.Name)
}

// The SVG rendered by another program has the size of the drawing and its bar.
func TestSVG(t *testing.T) {
	judge(t, "rsvg-convert")
	d := example()
	var b bytes.Buffer
	require.NoError(t, d.WriteSVG(&b))
	require.NotContains(t, b.String(), "\x1b")
	cmd := exec.Command("rsvg-convert", "--dpi-x", fmt.Sprint(raster), "--dpi-y", fmt.Sprint(raster), "--background-color", "white")
	cmd.Stdin = &b
	out, err := cmd.Output()
	require.NoError(t, err)
	p, err := png.Decode(bytes.NewReader(out))
	require.NoError(t, err)
	require.InDelta(t, d.Size.X*10, p.Bounds().Dx(), 2)
	require.InDelta(t, d.Size.Y*10, p.Bounds().Dy(), 2)
	require.InDelta(t, 1000, run(p, r2.Point{X: legendLeft, Y: barStart}, false), 5)
	require.InDelta(t, 1016, run(p, r2.Point{X: legendLeft + 110, Y: barStart}, false), 5)
	require.InDelta(t, 1000, run(p, r2.Point{X: barStart, Y: barStart}, true), 5)
}
