package wiring

import (
	"strings"

	"github.com/golang/geo/r2"

	"rackwright/export/answer"
	"rackwright/export/drawing"
)

// letters are words of a size, in mm.
type letters float64

// high is how far lines are below each other.
func (l letters) high() float64 { return 1.33 * float64(l) }

// Places of words on a sheet in mm.
const (
	columns = 2
	between = 6.0
	hang    = 3.5 // how far lines that go on, and boxes to tick, move what follows to the right
)

// row is a line of the words as it is set.
type row struct {
	text  string
	title bool
	tick  bool // begins with a box to tick
	right float64
}

// rowsOf sets parts in lines of a width.
func (l letters) rowsOf(parts []answer.Part, wide float64) []row {
	var rows []row
	for _, p := range parts {
		if len(rows) > 0 {
			rows = append(rows, row{})
		}
		rows = append(rows, row{text: p.Title, title: true})
		for _, line := range p.Lines {
			tick := step(line.Text)
			for i, text := range drawing.Wrapped(line.Text, float64(l), wide-hang) {
				r := row{text: text, tick: tick && i == 0}
				if i > 0 || tick {
					r.right = hang
				}
				rows = append(rows, r)
			}
		}
	}
	return rows
}

// step tells whether a line is a numbered step, to be ticked off.
func step(text string) bool {
	number, _, found := strings.Cut(text, ". ")
	return found && number != "" && strings.Trim(number, "0123456789") == ""
}

// columnWide is how wide a column of words is on a page.
func columnWide(d *drawing.Drawing) float64 {
	return (d.Size.X - 2*margin - (columns-1)*between) / columns
}

// flow sets as many rows as have room in the columns from top down, and returns the rest. Where
// all have room the columns are as high as each other.
func (l letters) flow(d *drawing.Drawing, rows []row, top float64) []row {
	high := int((top - margin - footHigh) / l.high())
	if high <= 0 {
		return rows
	}
	each := min(high, (len(rows)+columns-1)/columns)
	for c := range columns {
		n := min(len(rows), each)
		for n < len(rows) && n > 1 && rows[n-1].title { // a title stays with what it is over
			n--
		}
		if c == columns-1 && len(rows) <= high {
			n = len(rows)
		}
		l.set(d, rows[:n], r2.Point{X: margin + float64(c)*(columnWide(d)+between), Y: top})
		rows = rows[n:]
		for len(rows) > 0 && rows[0].text == "" {
			rows = rows[1:]
		}
	}
	return rows
}

func (l letters) set(d *drawing.Drawing, rows []row, at r2.Point) {
	for i, r := range rows {
		y := at.Y - l.high()*(float64(i)+0.5)
		start := r2.Point{X: at.X + r.right, Y: y}
		if r.tick {
			d.Rect(drawing.Mark, r2.RectFromCenterSize(r2.Point{X: at.X + 1.2, Y: y}, r2.Point{X: 2.2, Y: 2.2}))
		}
		d.TextFrom(start, float64(l), columnWide(d)-r.right, r.text)
		if r.title {
			d.Line(drawing.Mark, r2.Point{X: at.X, Y: y - l.high()/2 + 0.3}, r2.Point{X: at.X + columnWide(d), Y: y - l.high()/2 + 0.3})
		}
	}
}
