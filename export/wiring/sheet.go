package wiring

import (
	"fmt"

	"github.com/golang/geo/r2"

	"rackwright/export"
	"rackwright/export/answer"
	"rackwright/export/drawing"
	"rackwright/pack"
	"rackwright/pack/wire"
)

// Places on a sheet in mm. Home printers print all but 10 mm at the edges (common practice).
const (
	margin   = 12.0
	headHigh = 9.0
	footHigh = 5.0
	rowHigh  = 4.3
	cell     = 2.8 // letters of the table
)

// Papers are those that the plan is made for, upright (ISO 216, ANSI/ASME Y14.1).
var Papers = []string{"a4", "letter"}

// Files are the plan of a layout's wiring on every paper, as SVG and PDF. What has no room on
// one sheet goes on to more.
func Files(problem pack.Problem, layout pack.Layout, plan wire.Plan, name string) ([]export.File, error) {
	var files []export.File
	for _, word := range Papers {
		paper, err := drawing.ParsePaper(word)
		if err != nil {
			return nil, err
		}
		pages, err := Sheets(problem, layout, plan, name, paper)
		if err != nil {
			return nil, err
		}
		for i, page := range pages {
			file := "wiring-" + paper.Name
			if i > 0 {
				file += fmt.Sprintf("-%d", i+1)
			}
			files = append(files, export.File{Name: file + ".svg", Write: page.WriteSVG}, export.File{Name: file + ".pdf", Write: page.WritePDF})
		}
	}
	return files, nil
}

// Sheets are the pages of a plan on one paper; name is that of the layout. The error is that of
// Problem.Bodies.
func Sheets(problem pack.Problem, layout pack.Layout, plan wire.Plan, name string, paper drawing.Paper) ([]drawing.Drawing, error) {
	seen, err := newPictures(problem, layout, plan)
	if err != nil {
		return nil, err
	}
	s := sheet{
		seen, answer.CableRows(problem, plan, problem.Pack.Unit), answer.WiringParts(problem, plan, problem.Pack.Unit), paper,
		fmt.Sprintf("Wiring of %s in %s, %s", problem.Pack.Name, problem.Frame.Name, name),
	}
	for _, set := range settings {
		if pages := s.pages(set); len(pages) == 1 {
			return pages, nil
		}
	}
	return s.pages(settings[0]), nil
}

// setting is how large pictures and words are.
type setting struct {
	pictured float64 // of a page, for the pictures at most
	letters  letters
}

// settings are those that are tried for all to be on one sheet, from the best to read to 7
// points. What takes more than the last is set by the first, on several.
var settings = []setting{{0.42, 2.9}, {0.4, 2.7}, {0.36, 2.6}, {0.32, 2.5}, {0.28, 2.5}}

// sheet is what goes on it.
type sheet struct {
	seen  *pictures
	rows  []answer.CableRow
	words []answer.Part
	paper drawing.Paper
	title string
}

func (s sheet) pages(set setting) []drawing.Drawing {
	first := blank(s.title, s.paper, 1)
	top := s.seen.draw(&first, first.Size.Y-margin-headHigh, set.pictured*s.paper.Size.Y)
	top = table(&first, s.rows, top-2)
	rows := set.letters.flow(&first, set.letters.rowsOf(s.words, columnWide(&first)), top-2)
	pages := []drawing.Drawing{first}
	for len(rows) > 0 {
		page := blank(s.title, s.paper, len(pages)+1)
		rows = set.letters.flow(&page, rows, page.Size.Y-margin-headHigh)
		pages = append(pages, page)
	}
	return pages
}

// blank is a page with its heading and its foot.
func blank(title string, paper drawing.Paper, number int) drawing.Drawing {
	d := drawing.Drawing{Title: title, Size: paper.Size}
	room := d.Size.X - 2*margin
	if number > 1 {
		title += fmt.Sprintf(", page %d", number)
	}
	d.TextFrom(r2.Point{X: margin, Y: d.Size.Y - margin - headHigh/2}, 5, room, title)
	d.TextFrom(r2.Point{X: margin, Y: margin}, 2.6, room,
		"Thick: cables, broken where a box is before them. Dotted: the opening. Not to scale for cutting: cut to the table, and hold each cable on before you crimp.")
	return d
}

// stops are where the columns of the table begin, over its width.
var stops = [...]float64{0, 0.11, 0.30, 0.49, 0.585, 0.68, 0.79, 0.915, 1}

// table draws the cables to cut, and returns where it ends.
func table(d *drawing.Drawing, rows []answer.CableRow, top float64) float64 {
	wide := d.Size.X - 2*margin
	line := func(y, width float64) {
		d.Paths = append(d.Paths, drawing.Path{Layer: drawing.Mark, Points: []r2.Point{{X: margin, Y: y}, {X: margin + wide, Y: y}}, Width: width})
	}
	cells := func(words []string, y float64) {
		for i, word := range words {
			d.TextFrom(r2.Point{X: margin + stops[i]*wide + 0.8, Y: y}, cell, (stops[i+1]-stops[i])*wide-1.6, word)
		}
	}
	line(top, 0.4)
	cells(answer.CableHead(), top-rowHigh/2)
	line(top-rowHigh, 0.4)
	for _, r := range rows {
		top -= rowHigh
		cells(r.Cells(), top-rowHigh/2)
		line(top-rowHigh, 0.15)
	}
	return top - rowHigh
}
