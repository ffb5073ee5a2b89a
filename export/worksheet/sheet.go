package worksheet

import (
	"fmt"
	"math"

	"github.com/golang/geo/r2"

	"rackwright/export/drawing"
	"rackwright/frame"
	"rackwright/frame/survey"
	"rackwright/geom"
)

// Paper is a size of paper, upright.
type Paper struct {
	Name string
	Size r2.Point
}

// Papers are those that worksheets are made for (ISO 216, ANSI/ASME Y14.1).
var Papers = []Paper{{"a4", r2.Point{X: 210, Y: 297}}, {"letter", r2.Point{X: 215.9, Y: 279.4}}}

// Places on a sheet in millimetres. Home printers print all but 10 mm at the edges (common
// practice).
const (
	margin   = 12.0
	rowHigh  = 8.5
	headHigh = 7.0
	between  = 6.0
)

// blank is a row of a sheet: what to measure, and about what it is.
type blank struct {
	name, about string
	pair        survey.Pair
	taped       bool // a distance, with a line of its own in the sketch
}

// Sheets returns the pages of a worksheet: a sketch, and blanks for the distances of a plan,
// or, where there is none, for all that was measured and for what would check it.
func Sheets(f *frame.Frame, plan *survey.Plan, paper Paper) []drawing.Drawing {
	rows := blanks(f, plan)
	grid := gridOf(rows, paper)
	var pages []drawing.Drawing
	for first := 0; first < len(rows) || first == 0; {
		page := drawing.Drawing{Title: "Worksheet: " + f.Name, Size: paper.Size}
		top := heading(&page, f, len(pages)+1)
		if first == 0 {
			top = drawSketch(&page, f, rows, top)
		}
		first += grid.table(&page, rows[first:], first, top)
		footing(&page)
		pages = append(pages, page)
	}
	return pages
}

// blanks are the rows of all pages.
func blanks(f *frame.Frame, plan *survey.Plan) []blank {
	s, n := f.Survey, f.Survey.Network
	var rows []blank
	tape := func(p survey.Pair) {
		rows = append(rows, blank{name: n.PairName(p), about: both(distance(s, p)), pair: p, taped: true})
	}
	if plan != nil {
		for _, p := range plan.Pairs {
			tape(p)
		}
		return rows
	}
	for i, m := range n.Measurements {
		switch m.Sort {
		case survey.Distance:
			tape(survey.Pair{From: m.From, To: m.To})
		case survey.Height:
			rows = append(rows, blank{name: n.MeasurementName(i), about: both(m.Value)})
		case survey.Slope:
			rows = append(rows, blank{name: n.MeasurementName(i), about: fmt.Sprintf("%.0f°", m.Value*180/math.Pi)})
		}
	}
	if s.Adjusted != nil {
		if more, ok := s.Adjusted.Completing(); ok {
			for _, p := range more.Pairs {
				tape(p)
			}
		}
	}
	return rows
}

// distance is how long the distance of two marks is by their places.
func distance(s *frame.Survey, p survey.Pair) float64 {
	d := s.Places[p.To].Sub(s.Places[p.From])
	return math.Hypot(d.Norm(), s.Network.Marks[p.To].Y-s.Network.Marks[p.From].Y)
}

// both is a rough length in millimetres and in eighths of an inch.
func both(mm float64) string {
	eighth := geom.MillimetresPerInch / 8
	return fmt.Sprintf("%.0f mm · %s", mm, geom.FormatLength(math.Round(mm/eighth)*eighth, geom.Inch))
}

// heading writes the title, and on the first page what to do; it returns where that ends.
func heading(d *drawing.Drawing, f *frame.Frame, page int) float64 {
	room := d.Size.X - 2*margin
	y := d.Size.Y - margin - 3
	title := "Worksheet for measuring " + f.Name
	if page > 1 {
		title += fmt.Sprintf(", page %d", page)
	}
	d.TextFrom(r2.Point{X: margin, Y: y}, 6, room, title)
	if page > 1 {
		return y - 8
	}
	y -= 7
	for _, line := range []string{
		"Make a dot for each mark: on the side of the tube, at its middle line, where a tape lies straight from dot to dot.",
		"Tape every distance from the middle of one dot to the middle of the other, pulled tight, not around anything.",
		"Take each reading twice, the second time without looking at the first. Write what you read, in mm or in inches and 16ths.",
		"Block the vehicle first, so that it cannot roll or fall while you lean over it.",
	} {
		d.TextFrom(r2.Point{X: margin, Y: y}, 3.1, room, line)
		y -= 5
	}
	return y
}

// drawSketch draws the marks with numbered lines, and returns where that ends.
func drawSketch(d *drawing.Drawing, f *frame.Frame, rows []blank, top float64) float64 {
	width := d.Size.X - 2*margin
	high := min(0.62*width, top-margin-headHigh-7*rowHigh)
	area := r2.RectFromPoints(r2.Point{X: margin, Y: top - high}, r2.Point{X: margin + width, Y: top})
	s := newSketch(d, f, area, 10)
	s.outline()
	for _, row := range rows {
		if row.taped {
			s.lineBetween(row.pair, drawing.Mark, false)
		}
	}
	s.marks()
	s.names()
	for i, row := range rows {
		if row.taped {
			d.TextNear(s.third(row.pair), small, 0, fmt.Sprint(i+1))
		}
	}
	d.TextFrom(r2.Point{X: margin, Y: top - high - 1}, 3, width, "Seen from the right: front to the right. Dotted: the opening. Lines: what to tape, by number. About: what to expect.")
	return top - high - 5
}

// grid is how rows are laid out: in two columns, or in one where names are long.
type grid struct {
	columns int
	// stops are where the cells of a row begin, over its width: number, name, about, two readings.
	stops [6]float64
}

var grids = []grid{
	{2, [6]float64{0, 0.08, 0.26, 0.56, 0.78, 1}},
	{1, [6]float64{0, 0.05, 0.44, 0.62, 0.81, 1}},
}

// gridOf is the first grid in which all names have room at the size of small letters.
func gridOf(rows []blank, paper Paper) grid {
	for _, g := range grids {
		_, room := g.cell(r2.Point{}, g.wide(paper.Size.X), 1)
		fits := true
		for _, row := range rows {
			fits = fits && drawing.Width(row.name, small) <= room
		}
		if fits {
			return g
		}
	}
	return grids[len(grids)-1]
}

// wide is the width of a row on paper of a width.
func (g grid) wide(paper float64) float64 {
	return (paper - 2*margin - float64(g.columns-1)*between) / float64(g.columns)
}

// table draws as many rows as have room, and returns how many.
func (g grid) table(d *drawing.Drawing, rows []blank, first int, top float64) int {
	high := int((top - margin - headHigh - 6) / rowHigh)
	wide := g.wide(d.Size.X)
	drawn := min(len(rows), g.columns*high)
	perColumn := min(high, max(1, (drawn+g.columns-1)/g.columns))
	for c := range g.columns {
		from := c * perColumn
		if from >= drawn {
			break
		}
		x := margin + float64(c)*(wide+between)
		g.head(d, r2.Point{X: x, Y: top - headHigh/2}, wide)
		for i := from; i < min(from+perColumn, drawn); i++ {
			y := top - headHigh - (float64(i-from)+0.5)*rowHigh
			g.row(d, r2.Point{X: x, Y: y}, wide, first+i+1, rows[i])
		}
	}
	return drawn
}

func (g grid) cell(at r2.Point, wide float64, i int) (middle r2.Point, room float64) {
	a, b := g.stops[i]*wide, g.stops[i+1]*wide
	return at.Add(r2.Point{X: (a + b) / 2}), b - a - 1.5
}

func (g grid) head(d *drawing.Drawing, at r2.Point, wide float64) {
	for i, word := range []string{"no.", "what", "about", "first", "second"} {
		middle, room := g.cell(at, wide, i)
		d.Text(middle, small, room, 0, word)
	}
}

func (g grid) row(d *drawing.Drawing, at r2.Point, wide float64, number int, row blank) {
	for i, word := range []string{fmt.Sprint(number), row.name, row.about} {
		middle, room := g.cell(at, wide, i)
		size := small
		if i == 1 {
			size = letter
		}
		d.Text(middle, size, room, 0, word)
	}
	for i := 3; i < 5; i++ {
		a, b := g.stops[i]*wide+0.8, g.stops[i+1]*wide-0.8
		low := at.Add(r2.Point{X: a, Y: -rowHigh/2 + 0.8})
		d.Rect(drawing.Mark, r2.RectFromPoints(low, r2.Point{X: at.X + b, Y: at.Y + rowHigh/2 - 0.8}))
	}
}

func footing(d *drawing.Drawing) {
	d.TextFrom(r2.Point{X: margin, Y: margin}, 3, d.Size.X-2*margin,
		"Into the frame file, under taped, as - {from: A, to: B, length: 302} or, in inches, length: 11 7/8 in. Where two readings differ by 3 mm (1/8 in), tape a third time.")
}
