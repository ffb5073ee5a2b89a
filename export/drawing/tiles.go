package drawing

import (
	"fmt"
	"io"
	"math"
	"strings"

	"codeberg.org/go-pdf/fpdf"
	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
)

// Paper is a size of paper in millimetres, upright.
type Paper struct {
	Name string
	Size r2.Point
}

// Papers are the sizes that drawings are tiled on: A4 and A3 of ISO 216, and letter
// (8.5 × 11 in) and tabloid (11 × 17 in), which are A and B of ANSI/ASME Y14.1.
var Papers = []Paper{
	{"a4", r2.Point{X: 210, Y: 297}},
	{"a3", r2.Point{X: 297, Y: 420}},
	{"letter", r2.Point{X: 215.9, Y: 279.4}},
	{"tabloid", r2.Point{X: 279.4, Y: 431.8}},
}

// ParsePaper returns the paper of a name.
func ParsePaper(name string) (Paper, error) {
	var names []string
	for _, p := range Papers {
		if strings.EqualFold(p.Name, name) {
			return p, nil
		}
		names = append(names, p.Name)
	}
	return Paper{}, fmt.Errorf("%q is no paper that is known here: take one of %s", name, strings.Join(names, ", "))
}

// How a page is divided. A margin of 10 mm is safe on home printers (common practice).
const (
	pageMargin = 10.0
	stripLeft  = 8.0  // for the upright bar
	stripBelow = 18.0 // for the other bars, the name and the map
	overlap    = 10.0 // of two tiles; crosses lie in its middle
	crossArm   = 3.5
	maxTiles   = 500
)

// tiling is a drawing cut up for a paper. Tile (0, 0) is at the upper left.
type tiling struct {
	drawing    Drawing
	paper      Paper
	step       r2.Point // from a tile to the next
	cols, rows int
	full       map[[2]int]bool // tiles that have something on them
}

// WriteTiles writes the drawing at full size on as many pages as it needs, upright or
// turned by a quarter, whichever takes fewer. Tiles overlap by 10 mm, with crosses that
// come to lie on one another; pages without anything on them are left out. Every page has
// bars to check the size, the name of the tile, a map of all, and how large they are put
// together.
func (d Drawing) WriteTiles(w io.Writer, paper Paper) error {
	t, err := newTiling(d, paper)
	if err != nil {
		return err
	}
	doc := newDocument(d.Title, paper.Size)
	for row := range t.rows {
		for col := range t.cols {
			if t.full[[2]int{col, row}] {
				doc.AddPageFormat("P", fpdf.SizeType{Wd: paper.Size.X, Ht: paper.Size.Y})
				t.page(doc, col, row)
			}
		}
	}
	return doc.Output(w)
}

// FitsTiles returns the error of WriteTiles for a drawing that is too large for a paper.
func (d Drawing) FitsTiles(paper Paper) error {
	_, err := newTiling(d, paper)
	return err
}

// window is how large a part of a drawing a page shows.
func (p Paper) window() r2.Point {
	return p.Size.Sub(r2.Point{X: 2*pageMargin + stripLeft, Y: 2*pageMargin + stripBelow})
}

// newTiling cuts the drawing up, or the drawing turned by a quarter where that takes
// fewer pages.
func newTiling(d Drawing, paper Paper) (tiling, error) {
	level, err := tilingOf(d, paper)
	turned, turnedErr := tilingOf(d.turned(), paper)
	if turnedErr == nil && (err != nil || len(turned.full) < len(level.full)) {
		return turned, nil
	}
	return level, err
}

// turned is the drawing turned by a quarter clockwise, so that words that read upwards
// read to the right then, and none is upside down.
func (d Drawing) turned() Drawing {
	out := Drawing{Title: d.Title, Size: r2.Point{X: d.Size.Y, Y: d.Size.X}}
	out.Add(d, 3, r2.Point{Y: d.Size.X})
	return out
}

func tilingOf(d Drawing, paper Paper) (tiling, error) {
	t := tiling{drawing: d, paper: paper, full: map[[2]int]bool{}}
	t.step = paper.window().Sub(r2.Point{X: overlap, Y: overlap})
	t.cols = max(1, int(math.Ceil((d.Size.X-overlap)/t.step.X)))
	t.rows = max(1, int(math.Ceil((d.Size.Y-overlap)/t.step.Y)))
	if t.cols*t.rows > maxTiles {
		return t, fmt.Errorf("%w for %s: it would take %d pages, of at most %d; take larger paper, or a smaller drawing", ErrTooLarge, paper.Name, t.cols*t.rows, maxTiles)
	}
	for col := range t.cols {
		for row := range t.rows {
			if d.Touches(t.shown(col, row)) {
				t.full[[2]int{col, row}] = true
			}
		}
	}
	return t, nil
}

// shown is what a tile shows of the drawing.
func (t tiling) shown(col, row int) r2.Rect {
	size := t.paper.window()
	lo := r2.Point{X: float64(col) * t.step.X, Y: t.drawing.Size.Y - size.Y - float64(row)*t.step.Y}
	return r2.RectFromPoints(lo, lo.Add(size))
}

// tileName is a letter for the column and a number for the row: "B3".
func tileName(col, row int) string {
	letters := ""
	for c := col; c >= 0; c = c/26 - 1 {
		letters = string(rune('A'+c%26)) + letters
	}
	return fmt.Sprintf("%s%d", letters, row+1)
}

func (t tiling) page(doc *fpdf.Fpdf, col, row int) {
	shown, size := t.shown(col, row), t.paper.window()
	corner := r2.Point{X: pageMargin + stripLeft, Y: pageMargin} // upper left, y down
	doc.ClipRect(corner.X, corner.Y, size.X, size.Y, false)
	part := page{doc, r2.Point{X: corner.X - shown.X.Lo, Y: corner.Y + shown.Y.Hi}}
	part.draw(t.drawing)
	part.draw(crosses(shown))
	doc.ClipEnd()
	page{doc, r2.Point{Y: t.paper.Size.Y}}.draw(t.border(col, row))
}

// crosses are the marks at the corners of a tile.
func crosses(shown r2.Rect) Drawing {
	var d Drawing
	in := shown.ExpandedByMargin(-overlap / 2)
	for _, v := range in.Vertices() {
		d.Cross(Mark, v, crossArm)
	}
	return d
}

// border is what stands on a page beside its part of the drawing.
func (t tiling) border(col, row int) Drawing {
	var d Drawing
	left, right := pageMargin+stripLeft, t.paper.Size.X-pageMargin
	foot := pageMargin + stripBelow
	d.CheckBar(r2.Point{X: pageMargin + 2.5, Y: foot + 4}, barMetric, true, "100 mm")
	d.CheckBar(r2.Point{X: left, Y: pageMargin + 10}, barMetric, false, "100 mm")
	d.CheckBar(r2.Point{X: left, Y: pageMargin + 2.5}, barInch, false, "4 in")
	mapWidth := t.overview(&d, r2.Rect{X: r1.Interval{Lo: right - 22, Hi: right}, Y: r1.Interval{Lo: pageMargin, Hi: foot - 2}}, col, row)
	words := left + barInch + 5
	room := right - mapWidth - 3 - words
	d.TextFrom(r2.Point{X: words, Y: foot - 6}, 9, room, tileName(col, row))
	d.TextFrom(r2.Point{X: words, Y: foot - 12}, 3, room, t.drawing.Title)
	d.TextFrom(r2.Point{X: words, Y: foot - 16}, 3, room, fmt.Sprintf("outer crosses: %.1f × %.1f mm", float64(t.cols)*t.step.X, float64(t.rows)*t.step.Y))
	return d
}

// overview draws a small map of all tiles, crossed out where there is no page, this one
// with a dot, into the right of an area, and returns how wide it is.
func (t tiling) overview(d *Drawing, area r2.Rect, col, row int) float64 {
	size := area.Size()
	cell := min(size.X/float64(t.cols)/t.step.X, size.Y/float64(t.rows)/t.step.Y)
	w, h := cell*t.step.X, cell*t.step.Y
	start := r2.Point{X: area.X.Hi - w*float64(t.cols), Y: area.Y.Lo + h*float64(t.rows)}
	for c := range t.cols {
		for r := range t.rows {
			low := start.Add(r2.Point{X: w * float64(c), Y: -h * float64(r+1)})
			high := low.Add(r2.Point{X: w, Y: h})
			d.Rect(Mark, r2.RectFromPoints(low, high))
			if !t.full[[2]int{c, r}] {
				d.Line(Mark, low, high)
			}
			if c == col && r == row {
				for _, k := range []float64{0.3, 0.2, 0.1} {
					d.Circle(Mark, low.Add(high).Mul(0.5), k*min(w, h))
				}
			}
		}
	}
	return w * float64(t.cols)
}
