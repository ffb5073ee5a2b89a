package inspection

import (
	"fmt"
	"io"

	"github.com/golang/geo/r2"

	"rackwright/export"
	"rackwright/export/drawing"
	"rackwright/geom"
)

// Papers are those that the sheet is made for, upright (ISO 216, ANSI/ASME Y14.1).
var Papers = []string{"a4", "letter"}

// Files are the sheet on every paper, in lengths of a unit.
func Files(in Input, u geom.Unit) ([]export.File, error) {
	var files []export.File
	for _, word := range Papers {
		paper, err := drawing.ParsePaper(word)
		if err != nil {
			return nil, err
		}
		pages := Pages(in, u, paper)
		files = append(files, export.File{Name: "inspection-" + paper.Name + ".pdf", Write: func(w io.Writer) error {
			return drawing.WritePages(w, in.Title(), pages)
		}})
	}
	return files, nil
}

// Places on a page in mm. Home printers print all but 10 mm at the edges (common practice).
const (
	margin   = 12.0
	headHigh = 10.0
	footHigh = 6.0
	columns  = 2
	between  = 7.0
	hang     = 4.0 // of what follows a box to tick
)

// sizes of letters in mm, tried for all to be on one page, from the best to read to 6½ points.
var sizes = []float64{2.9, 2.75, 2.6, 2.45, 2.3}

// Pages are the sheet on paper; one page where there is room.
func Pages(in Input, u geom.Unit, paper drawing.Paper) []drawing.Drawing {
	sections := Sections(in, u)
	for _, size := range sizes {
		if pages := (setter{size, paper, in.Title()}).pages(sections); len(pages) == 1 {
			return pages
		}
	}
	return setter{sizes[1], paper, in.Title()}.pages(sections)
}

// setter sets sections with letters of a size.
type setter struct {
	size  float64
	paper drawing.Paper
	title string
}

func (s setter) wide() float64 { return (s.paper.Size.X - 2*margin - (columns-1)*between) / columns }

// line is one line of a column: how high it is in mm, and what draws it, from its top left on.
type line struct {
	high float64
	draw func(d *drawing.Drawing, at r2.Point)
}

func (s setter) pages(sections []Section) []drawing.Drawing {
	var pages []drawing.Drawing
	column, y := columns, 0.0
	top := s.paper.Size.Y - margin - headHigh
	for _, section := range sections {
		block := s.block(section)
		for len(block) > 0 {
			if column == columns {
				pages = append(pages, s.blank(len(pages)+1))
				column, y = 0, top
			}
			n := fitting(block, y-margin-footHigh, y == top)
			d := &pages[len(pages)-1]
			for _, l := range block[:n] {
				l.draw(d, r2.Point{X: margin + float64(column)*(s.wide()+between), Y: y})
				y -= l.high
			}
			if block = block[n:]; len(block) > 0 {
				column, y = column+1, top
			}
		}
		y -= s.size
	}
	return pages
}

// fitting is how many lines of a section have room: all or none, but in an empty column as many as
// go in.
func fitting(block []line, room float64, empty bool) int {
	sum := 0.0
	for n, l := range block {
		if sum += l.high; sum > room {
			if empty {
				return max(n, 1)
			}
			return 0
		}
	}
	return len(block)
}

func (s setter) blank(number int) drawing.Drawing {
	d := drawing.Drawing{Title: s.title, Size: s.paper.Size}
	title, room := s.title, d.Size.X-2*margin
	if number > 1 {
		title += fmt.Sprintf(", page %d", number)
	}
	d.TextFrom(r2.Point{X: margin, Y: d.Size.Y - margin - headHigh/2 + 1}, 5, room, title)
	d.TextFrom(r2.Point{X: margin, Y: margin + 1}, 2.6, room, Foot)
	return d
}

// block are the lines of a section.
func (s setter) block(section Section) []line {
	lines := []line{s.heading(section.Title)}
	for _, f := range section.Fields {
		lines = append(lines, s.field(f))
	}
	if section.Table != nil {
		lines = append(lines, s.table(*section.Table)...)
	}
	for _, t := range section.Ticks {
		lines = append(lines, s.tick(t))
	}
	for _, n := range section.Notes {
		lines = append(lines, s.words(n, s.size*0.92, 0))
	}
	return lines
}

func (s setter) lead() float64 { return 1.34 * s.size }

func (s setter) heading(title string) line {
	high := 1.6 * s.size
	return line{high, func(d *drawing.Drawing, at r2.Point) {
		d.TextFrom(r2.Point{X: at.X, Y: at.Y - high/2 + 0.3}, 1.12*s.size, s.wide(), title)
		s.rule(d, r2.Point{X: at.X, Y: at.Y - high + 0.2}, s.wide(), 0.35)
	}}
}

func (s setter) rule(d *drawing.Drawing, at r2.Point, wide, thick float64) {
	d.Paths = append(d.Paths, drawing.Path{Layer: drawing.Mark, Points: []r2.Point{at, {X: at.X + wide, Y: at.Y}}, Width: thick})
}

// words are a text over as many lines as it takes, moved to the right.
func (s setter) words(text string, size, right float64) line {
	rows := drawing.Wrapped(text, size, s.wide()-right)
	lead := 1.34 * size
	return line{lead * float64(len(rows)), func(d *drawing.Drawing, at r2.Point) {
		for i, row := range rows {
			d.TextFrom(r2.Point{X: at.X + right, Y: at.Y - lead*(float64(i)+0.5)}, size, s.wide()-right, row)
		}
	}}
}

func (s setter) tick(text string) line {
	l := s.words(text, s.size, hang)
	words := l.draw
	l.draw = func(d *drawing.Drawing, at r2.Point) {
		side := 0.85 * s.size
		d.Rect(drawing.Mark, r2.RectFromCenterSize(r2.Point{X: at.X + side/2, Y: at.Y - s.lead()/2}, r2.Point{X: side, Y: side}))
		words(d, at)
	}
	return l
}

// labelled is the part of a column that labels take.
const labelled = 0.46

// field is a value beside its name, or a line to write on: that is higher, for a pen.
func (s setter) field(f Field) line {
	left := s.wide() * labelled
	label, value := drawing.Wrapped(f.Label, s.size, left-1), drawing.Wrapped(f.Value, s.size, s.wide()-left)
	high := s.lead() * float64(max(len(label), len(value)))
	if f.Value == "" {
		high = max(high, 1.9*s.size)
	}
	return line{high, func(d *drawing.Drawing, at r2.Point) {
		low := 0.0
		if f.Value == "" {
			low = high - s.lead()*float64(len(label))
			s.rule(d, r2.Point{X: at.X + left, Y: at.Y - high + 0.4}, s.wide()-left, 0.15)
		}
		for i, row := range label {
			d.TextFrom(r2.Point{X: at.X, Y: at.Y - low - s.lead()*(float64(i)+0.5)}, s.size, left-1, row)
		}
		for i, row := range value {
			d.TextFrom(r2.Point{X: at.X + left, Y: at.Y - s.lead()*(float64(i)+0.5)}, s.size, s.wide()-left, row)
		}
	}}
}

// table has heads over two lines and more, and cells with room for a pen where they are empty.
func (s setter) table(t Table) []line {
	stops := s.stops(t)
	lines := []line{s.cells(t.Head, stops, true)}
	for _, row := range t.Rows {
		lines = append(lines, s.cells(row, stops, false))
	}
	return lines
}

// stops are where columns begin: each as wide as its longest word, and what is left shared by
// those that have longer texts.
func (s setter) stops(t Table) []float64 {
	least, most := make([]float64, len(t.Head)), make([]float64, len(t.Head))
	for _, row := range append([][]string{t.Head}, t.Rows...) {
		for i, cell := range row {
			for _, word := range drawing.Wrapped(cell, s.size, 0) {
				least[i] = max(least[i], drawing.Width(word, s.size)+1.6)
			}
			most[i] = max(most[i], drawing.Width(cell, s.size)+1.6)
		}
	}
	sum, wants := 0.0, 0.0
	for i := range least {
		sum, wants = sum+least[i], wants+most[i]-least[i]
	}
	stops := []float64{0}
	for i := range least {
		wide := least[i] * s.wide() / sum
		if sum < s.wide() && wants > 0 {
			wide = least[i] + (s.wide()-sum)*(most[i]-least[i])/wants
		}
		stops = append(stops, stops[i]+wide)
	}
	return stops
}

func (s setter) cells(row []string, stops []float64, head bool) line {
	var texts [][]string
	most, blank := 1, false
	for i, cell := range row {
		texts = append(texts, drawing.Wrapped(cell, s.size, stops[i+1]-stops[i]-1.2))
		most, blank = max(most, len(texts[i])), blank || cell == ""
	}
	high := s.lead()*float64(most) + 0.5
	if blank && !head {
		high = max(high, 2*s.size)
	}
	return line{high, func(d *drawing.Drawing, at r2.Point) {
		for i, text := range texts {
			for k, word := range text {
				y := at.Y - (high-s.lead()*float64(len(text)))/2 - s.lead()*(float64(k)+0.5)
				d.TextFrom(r2.Point{X: at.X + stops[i] + 0.6, Y: y}, s.size, stops[i+1]-stops[i]-1.2, word)
			}
			if i > 0 {
				d.Paths = append(d.Paths, drawing.Path{Layer: drawing.Mark, Points: []r2.Point{{X: at.X + stops[i], Y: at.Y}, {X: at.X + stops[i], Y: at.Y - high}}, Width: 0.1})
			}
		}
		thick := 0.1
		if head {
			thick = 0.3
		}
		s.rule(d, r2.Point{X: at.X, Y: at.Y - high}, s.wide(), thick)
	}}
}
