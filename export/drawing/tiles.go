package drawing

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

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
	number     int             // among the drawings of a set that are cut up
	alone      bool            // there is no other
	corner     bool            // the drawing lies in a corner of the tiles
	cut        int             // lines of words that no tile shows in full
}

// name is that of a tile, after the number of its drawing where several are cut up.
func (t tiling) name(col, row int) string {
	if t.alone {
		return tileName(col, row)
	}
	return fmt.Sprintf("%d-%s", t.number, tileName(col, row))
}

// WriteTiles writes the drawing at full size on as few pages as are found: upright or turned
// by a quarter, and shifted. Tiles overlap by 10 mm, with crosses that come to lie on one
// another; pages without anything on them are left out. Every page has bars to check the size,
// the name of the tile, a map of all, and how large they are put together.
func (d Drawing) WriteTiles(w io.Writer, paper Paper) error {
	sheets, err := Set{Title: d.Title, Pieces: []Drawing{d}}.Sheets(paper)
	if err != nil {
		return err
	}
	return sheets.Write(w)
}

// window is how large a part of a drawing a page shows.
func (p Paper) window() r2.Point {
	return p.Size.Sub(r2.Point{X: 2*pageMargin + stripLeft, Y: 2*pageMargin + stripBelow})
}

// newTiling cuts the drawing up the best way by itself.
func newTiling(d Drawing, paper Paper) (tiling, error) {
	all, err := tilings(d, paper)
	if err != nil {
		return tiling{}, err
	}
	return all[0], nil
}

// tilings are ways to cut a drawing up into the fewest tiles, as it lies or turned by a quarter:
// first the one that cuts the fewest lines of words, then those that leave one corner of the
// tiles free, for what else goes there.
func tilings(d Drawing, paper Paper) ([]tiling, error) {
	level, err := tilingsOf(d, paper)
	turned, turnedErr := tilingsOf(d.turned(), paper)
	switch {
	case err != nil && turnedErr != nil:
		return nil, err
	case err != nil || turnedErr == nil && len(turned[0].full) < len(level[0].full):
		return turned, nil
	case turnedErr != nil || len(level[0].full) < len(turned[0].full):
		return level, nil
	}
	return append(level, turned...), nil
}

// turned is the drawing turned by a quarter clockwise, so that words that read upwards
// read to the right then, and none is upside down.
func (d Drawing) turned() Drawing {
	out := Drawing{Title: d.Title, Size: r2.Point{X: d.Size.Y, Y: d.Size.X}}
	out.Add(d, 3, r2.Point{Y: d.Size.X})
	return out
}

// tilingsOf are tilings of a drawing as it lies, shifted to where the fewest tiles have something
// on them.
func tilingsOf(d Drawing, paper Paper) ([]tiling, error) {
	step := paper.window().Sub(r2.Point{X: overlap, Y: overlap})
	content := d.Bounds().ExpandedByMargin(air)
	cols := max(1, int(math.Ceil((content.X.Length()-overlap)/step.X)))
	rows := max(1, int(math.Ceil((content.Y.Length()-overlap)/step.Y)))
	if cols*rows > maxTiles || content.IsEmpty() {
		return nil, fmt.Errorf("%w for %s: it would take %d pages, of at most %d; take larger paper, or a smaller drawing", ErrTooLarge, paper.Name, cols*rows, maxTiles)
	}
	whole := r2.Point{X: float64(cols)*step.X + overlap, Y: float64(rows)*step.Y + overlap}
	slack := whole.Sub(content.Size())
	steps := shifts
	if cols*rows > manyTiles {
		steps = 1
	}
	var all []tiling
	for i := range (steps + 1) * (steps + 1) {
		part := r2.Point{X: float64(i%(steps+1)) / float64(steps), Y: float64(i/(steps+1)) / float64(steps)}
		t := tiling{drawing: Drawing{Title: d.Title, Size: whole}, paper: paper, step: step, cols: cols, rows: rows, full: map[[2]int]bool{}}
		t.drawing.Add(d, 0, r2.Point{X: slack.X * part.X, Y: slack.Y * part.Y}.Sub(content.Lo()))
		t.fill()
		t.corner = math.Abs(part.X-0.5) == 0.5 && math.Abs(part.Y-0.5) == 0.5
		t.cut = t.cutWords()
		all = append(all, t)
	}
	return bestOf(all), nil
}

// bestOf are the tilings with the fewest tiles: that with the fewest lines of words cut, and those
// in a corner.
func bestOf(all []tiling) []tiling {
	slices.SortStableFunc(all, func(a, b tiling) int {
		return cmp.Or(cmp.Compare(len(a.full), len(b.full)), cmp.Compare(a.cut, b.cut))
	})
	var kept []tiling
	for i, t := range all {
		if i == 0 || t.corner && len(t.full) == len(all[0].full) {
			t.shiftWords()
			kept = append(kept, t)
		}
	}
	return kept
}

// How far from the edge of the outer tiles a drawing stays, how many places a drawing is
// shifted to each way, and from how many tiles on it is not.
const (
	air       = 1.0
	shifts    = 6
	manyTiles = 40
)

// fill notes which tiles have something on them that is not on their neighbours as well: up to
// the middle of where they overlap.
func (t *tiling) fill() {
	for col := range t.cols {
		for row := range t.rows {
			core := t.shown(col, row)
			core.X = r1.Interval{Lo: core.X.Lo + shrink(col > 0), Hi: core.X.Hi - shrink(col < t.cols-1)}
			core.Y = r1.Interval{Lo: core.Y.Lo + shrink(row < t.rows-1), Hi: core.Y.Hi - shrink(row > 0)}
			if t.drawing.Touches(core) {
				t.full[[2]int{col, row}] = true
			}
		}
	}
}

func shrink(neighbour bool) float64 {
	if neighbour {
		return overlap / 2
	}
	return 0
}

// onOne tells whether a page shows all of an area.
func (t tiling) onOne(area r2.Rect) bool {
	for at := range t.full {
		if t.shown(at[0], at[1]).Contains(area) {
			return true
		}
	}
	return false
}

// cutWords counts the lines of words that no page shows in full.
func (t tiling) cutWords() int {
	n := 0
	for _, text := range t.drawing.Texts {
		if !t.onOne(text.Area()) {
			n++
		}
	}
	return n
}

// shiftWords moves lines of words that no page shows in full a little, where there is room.
func (t *tiling) shiftWords() {
	for i, text := range t.drawing.Texts {
		if t.onOne(text.Area()) {
			continue
		}
		others := t.drawing
		others.Texts = slices.Delete(slices.Clone(others.Texts), i, i+1)
		for away := 2.0; away < farthest && !t.onOne(t.drawing.Texts[i].Area()); away += 2 {
			for _, by := range []r2.Point{{X: away}, {X: -away}, {Y: away}, {Y: -away}} {
				moved := text
				moved.At = text.At.Add(by)
				if area := moved.Area(); t.onOne(area) && !others.Touches(area.ExpandedByMargin(air)) {
					t.drawing.Texts[i] = moved
					break
				}
			}
		}
	}
}

// farthest is how far words are moved off the edge of a page, in millimetres.
const farthest = 60.0

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

// crosses are the marks at the corners of a tile.
func crosses(shown r2.Rect) Drawing {
	var d Drawing
	in := shown.ExpandedByMargin(-overlap / 2)
	for _, v := range in.Vertices() {
		d.Cross(Mark, v, crossArm)
	}
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
