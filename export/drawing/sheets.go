package drawing

import (
	"cmp"
	"fmt"
	"io"
	"slices"

	"codeberg.org/go-pdf/fpdf"
	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"rackwright/geom"
)

// Set is drawings that go onto the same sheets of paper: pieces to cut out one by one, and
// words.
type Set struct {
	Title  string
	Pieces []Drawing
}

// sheet is a page: a tile of a piece that is larger than a page, or none, and whole pieces.
type sheet struct {
	tile     *tiling
	col, row int
	whole    Drawing   // in the page's window
	taken    []r2.Rect // by whole pieces
	scenery  *scenery  // of the tile; nil until it is asked for
}

// Sheets are the pieces of a set on pages.
type Sheets struct {
	title string
	paper Paper
	pages []sheet
}

// Pages is how many there are.
func (s Sheets) Pages() int { return len(s.pages) }

// Write writes them as PDF.
func (s Sheets) Write(w io.Writer) error {
	doc := newDocument(s.title, s.paper.Size)
	for i, one := range s.pages {
		doc.AddPageFormat("P", fpdf.SizeType{Wd: s.paper.Size.X, Ht: s.paper.Size.Y})
		one.draw(doc, s.paper)
		page{doc, r2.Point{Y: s.paper.Size.Y}}.draw(one.border(s.paper, s.title, fmt.Sprintf("sheet %d of %d", i+1, len(s.pages))))
	}
	return doc.Output(w)
}

// Sheets lays the pieces out at full size on as few pages as are found. What fits on a page is never split;
// it goes beside others, and into what tiles of larger pieces leave free. Every page has bars to check
// the size. The error is that of a set that is too large.
func (s Set) Sheets(paper Paper) (Sheets, error) {
	var large [][]tiling
	var whole []piece
	for _, d := range s.Pieces {
		switch {
		case len(d.Paths)+len(d.Circles)+len(d.Texts) == 0:
		case paper.Takes(d):
			whole = append(whole, newPiece(d))
		default:
			ways, err := tilings(d, paper)
			if err != nil {
				return Sheets{}, err
			}
			large = append(large, ways)
		}
	}
	var best []sheet
	for way := range most(large) {
		if all := packedBest(tiled(large, way), whole, paper); best == nil || len(all) < len(best) {
			best = all
		}
	}
	return Sheets{s.Title, paper, best}, nil
}

// piece is a drawing that goes onto a page as a whole, as it is or turned, each with what it takes up:
// worked out once, for it is tried on many pages.
type piece struct {
	turned [2]Drawing
	own    [2]r2.Rect
}

func newPiece(d Drawing) piece {
	var p piece
	for turns := range p.turned {
		p.turned[turns].Add(d, turns, r2.Point{})
		p.own[turns] = content(p.turned[turns])
	}
	return p
}

// most is how many ways the drawing with the most of them can be cut up, at least one.
func most(large [][]tiling) int {
	n := 1
	for _, ways := range large {
		n = max(n, len(ways))
	}
	return n
}

// tiled are the pages of all that is larger than a page, each cut up in one of its ways.
func tiled(large [][]tiling, way int) []sheet {
	var all []sheet
	for i, ways := range large {
		t := ways[min(way, len(ways)-1)]
		t.number, t.alone = i+1, len(large) == 1
		all = append(all, t.sheets()...)
	}
	return all
}

// packedBest puts whole pieces onto pages in the order that takes the fewest.
func packedBest(tiles []sheet, whole []piece, paper Paper) []sheet {
	var best []sheet
	for _, large := range []func(r2.Point) float64{
		func(size r2.Point) float64 { return size.X * size.Y },
		func(size r2.Point) float64 { return max(size.X, size.Y) },
		func(size r2.Point) float64 { return min(size.X, size.Y) },
	} {
		all := packed(slices.Clone(tiles), whole, paper, large)
		if best == nil || len(all) < len(best) {
			best = all
		}
	}
	return best
}

// content is what a drawing takes up, with a little air.
func content(d Drawing) r2.Rect { return d.Bounds().ExpandedByMargin(air) }

// Takes tells whether a drawing goes onto one sheet whole, as it is or turned.
func (p Paper) Takes(d Drawing) bool {
	size := content(d).Size()
	return fits(size, p) || fits(r2.Point{X: size.Y, Y: size.X}, p)
}

func fits(size r2.Point, paper Paper) bool {
	window := paper.window()
	return size.X <= window.X && size.Y <= window.Y
}

// sheets are the pages of a tiling, row by row.
func (t tiling) sheets() []sheet {
	var all []sheet
	for row := range t.rows {
		for col := range t.cols {
			if t.full[[2]int{col, row}] {
				all = append(all, sheet{tile: &t, col: col, row: row})
			}
		}
	}
	return all
}

// packed puts whole pieces onto pages, the largest first, each on the first page where it
// fits, as high as can be and then as far left.
func packed(all []sheet, whole []piece, paper Paper, large func(size r2.Point) float64) []sheet {
	whole = slices.Clone(whole)
	slices.SortStableFunc(whole, func(a, b piece) int {
		return cmp.Compare(large(b.own[0].Size()), large(a.own[0].Size()))
	})
	for i := range all {
		all[i].taken, all[i].whole = nil, Drawing{}
	}
	for _, one := range whole {
		done := false
		for i := 0; !done; i++ {
			if i == len(all) {
				all = append(all, sheet{})
			}
			done = all[i].put(one, paper)
		}
	}
	return all
}

// grain is how finely places on a page are looked at, in millimetres.
const grain = 2.0

// put puts a piece onto a page, as it is or turned, if there is room.
func (s *sheet) put(p piece, paper Paper) bool {
	window := r2.RectFromPoints(r2.Point{}, paper.window())
	if s.tile != nil {
		window = s.tile.free(s.col, s.row)
	}
	for turns, turned := range p.turned {
		own := p.own[turns]
		room := r2.Rect{
			X: r1.Interval{Lo: window.X.Lo, Hi: window.X.Hi - own.X.Length()}, Y: r1.Interval{Lo: window.Y.Lo + own.Y.Length(), Hi: window.Y.Hi},
		}
		for y := room.Y.Hi; y >= room.Y.Lo; y -= grain {
			for x := room.X.Lo; x <= room.X.Hi; x += grain {
				area := r2.RectFromPoints(r2.Point{X: x, Y: y}, r2.Point{X: x + own.X.Length(), Y: y - own.Y.Length()})
				over := slices.IndexFunc(s.taken, area.InteriorIntersects)
				if over >= 0 {
					x = max(x, s.taken[over].X.Hi-grain)
					continue
				}
				if s.tile != nil && s.covers(area) {
					continue
				}
				s.taken = append(s.taken, area)
				s.whole.Add(turned, 0, area.Lo().Sub(own.Lo()))
				return true
			}
		}
	}
	return false
}

// covers tells whether the sheet's tile has something in an area of its window.
func (s *sheet) covers(area r2.Rect) bool {
	if s.scenery == nil {
		s.scenery = s.tile.scenery(s.col, s.row)
	}
	by := s.tile.shown(s.col, s.row).Lo()
	return s.scenery.covers(r2.RectFromPoints(area.Lo().Add(by), area.Hi().Add(by)))
}

// free is the part of a tile's window that no neighbour lies over, nor crosses stand in.
func (t tiling) free(col, row int) r2.Rect {
	size := t.paper.window()
	in := func(neighbour bool) float64 {
		if neighbour {
			return overlap + air
		}
		return overlap/2 + crossArm + air
	}
	return r2.Rect{
		X: r1.Interval{Lo: in(col > 0), Hi: size.X - in(col < t.cols-1)},
		Y: r1.Interval{Lo: in(row < t.rows-1), Hi: size.Y - in(row > 0)},
	}
}

// scenery is what of a drawing lies in one tile's window: taken apart once, for it is asked at
// thousands of places.
type scenery struct {
	lines [][2]r2.Point
	areas []r2.Rect // of circles and words
	rooms []geom.Polygon
}

func (t tiling) scenery(col, row int) *scenery {
	window := t.shown(col, row).ExpandedByMargin(2 * air)
	s := &scenery{}
	for _, p := range t.drawing.Paths {
		for i, q := range p.Points {
			next := p.Points[(i+1)%len(p.Points)]
			if (i+1 < len(p.Points) || p.Closed) && segmentMeets(q, next, window) {
				s.lines = append(s.lines, [2]r2.Point{q, next})
			}
		}
		if p.Closed && r2.RectFromPoints(p.Points...).Intersects(window) {
			s.rooms = append(s.rooms, geom.Polygon{Corners: p.Points})
		}
	}
	for _, c := range t.drawing.Circles {
		s.areas = append(s.areas, r2.RectFromCenterSize(c.Centre, r2.Point{X: 2 * c.Radius, Y: 2 * c.Radius}))
	}
	for _, x := range t.drawing.Texts {
		s.areas = append(s.areas, x.Area())
	}
	s.areas = slices.DeleteFunc(s.areas, func(a r2.Rect) bool { return !a.Intersects(window) })
	return s
}

// covers tells whether there is something in an area of the drawing, or around it.
func (s *scenery) covers(area r2.Rect) bool {
	area = area.ExpandedByMargin(air)
	return slices.ContainsFunc(s.areas, area.Intersects) ||
		slices.ContainsFunc(s.lines, func(l [2]r2.Point) bool { return segmentMeets(l[0], l[1], area) }) ||
		slices.ContainsFunc(s.rooms, func(p geom.Polygon) bool { return p.Contains(area.Center()) })
}

func (s sheet) draw(doc *fpdf.Fpdf, paper Paper) {
	size := paper.window()
	corner := r2.Point{X: pageMargin + stripLeft, Y: pageMargin} // upper left, y down
	doc.ClipRect(corner.X, corner.Y, size.X, size.Y, false)
	page{doc, r2.Point{X: corner.X, Y: corner.Y + size.Y}}.draw(s.whole)
	if t := s.tile; t != nil {
		shown := t.shown(s.col, s.row)
		part := page{doc, r2.Point{X: corner.X - shown.X.Lo, Y: corner.Y + shown.Y.Hi}}
		part.draw(t.drawing)
		part.draw(crosses(shown))
	}
	doc.ClipEnd()
}

// border is what stands on a page beside its part of the drawing: the bars below and at the
// left, above that what it is, and for tiles a name and a map.
func (s sheet) border(paper Paper, title, number string) Drawing {
	var d Drawing
	left, right := pageMargin+stripLeft, paper.Size.X-pageMargin
	foot := pageMargin + stripBelow
	d.CheckBar(r2.Point{X: pageMargin + 2.5, Y: foot + 4}, barMetric, true, "100 mm")
	d.CheckBar(r2.Point{X: left, Y: pageMargin + 10}, barMetric, false, "100 mm")
	d.CheckBar(r2.Point{X: left, Y: pageMargin + 2.5}, barInch, false, "4 in")
	words := left + barInch + 5
	if s.tile == nil {
		d.TextFrom(r2.Point{X: words, Y: foot - 12}, Least, right-words, number)
		d.beside(foot, paper, title)
		return d
	}
	t := s.tile
	mapWidth := t.overview(&d, r2.Rect{X: r1.Interval{Lo: right - 22, Hi: right}, Y: r1.Interval{Lo: pageMargin, Hi: foot - 2}}, s.col, s.row)
	d.TextFrom(r2.Point{X: words, Y: foot - 6}, 9, right-mapWidth-3-words, t.name(s.col, s.row))
	d.TextFrom(r2.Point{X: words, Y: foot - 14}, Least, right-mapWidth-3-words, number)
	size := r2.Point{X: float64(t.cols) * t.step.X, Y: float64(t.rows) * t.step.Y}
	d.beside(foot, paper, fmt.Sprintf("outer crosses: %.1f × %.1f mm. %s", size.X, size.Y, cmp.Or(t.drawing.Title, title)))
	return d
}

// beside writes a line upwards at the left edge, above the bar there.
func (d *Drawing) beside(foot float64, paper Paper, line string) {
	low, high := foot+4+barMetric+5, paper.Size.Y-pageMargin
	line = Short(line, Least, high-low)
	d.Text(r2.Point{X: pageMargin + stripLeft/2, Y: low + Width(line, Least)/2}, Least, high-low, 1, line)
}
