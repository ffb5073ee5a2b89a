package rackplan

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/golang/geo/r2"

	"rackwright/export"
	"rackwright/export/drawing"
	sheetnest "rackwright/export/nest"
	"rackwright/pack/rack"
)

// Plate tells whether the part is cut from sheet, to its card, and from no bar.
func (p Part) Plate() bool { return p.Bar.Section.Form == rack.Plate }

// what the part is: a bar or a plate.
func (p Part) what() string {
	if p.Plate() {
		return "plate"
	}
	return "bar"
}

// PlateSheets are plates of one thickness, laid out on the sheets that they are cut from.
type PlateSheets struct {
	Thick    float64
	Size     r2.Point
	Sheets   []drawing.Drawing // at true size, as plates lie on each
	Letters  [][]string        // of the plates on each
	Left     float64           // part of the last one's area that is left over, with what the saw takes
	TooLarge []string          // letters of parts that go onto no sheet
	Fewest   bool              // that no fewer would do is known
}

// Plates lays the plates of a rack out, the thinnest first.
func Plates(r *rack.Rack) []PlateSheets {
	by := map[float64][]Part{}
	var thick []float64
	for _, p := range Parts(r) {
		if !p.Plate() {
			continue
		}
		if t := p.Bar.Section.Thick; by[t] == nil {
			thick = append(thick, t)
		}
		by[p.Bar.Section.Thick] = append(by[p.Bar.Section.Thick], p)
	}
	slices.Sort(thick)
	var list []PlateSheets
	for _, t := range thick {
		list = append(list, laidOut(by[t], t, r.Bought))
	}
	return list
}

// laidOut puts plates of one thickness onto sheets, as far apart as the saw takes.
func laidOut(parts []Part, thick float64, bought rack.Lengths) PlateSheets {
	out := PlateSheets{Thick: thick, Size: bought.Sheet}
	set := sheetnest.Settings{Sheet: bought.Sheet, Gap: bought.Kerf}
	var all []sheetnest.Part
	var letters []string
	for _, p := range parts {
		card := sheetnest.Whole(p.blank())
		if _, _, err := sheetnest.Lay([]sheetnest.Part{card}, set); err != nil {
			out.TooLarge = append(out.TooLarge, p.Letter)
			continue
		}
		for range p.Names {
			all, letters = append(all, card), append(letters, p.Letter)
		}
	}
	places, count, err := sheetnest.Lay(all, set)
	if err != nil { // each goes onto a sheet alone
		return out
	}
	out.Fewest = count <= sheetnest.LeastSheets(all, set)
	out.Sheets, out.Letters = make([]drawing.Drawing, count), make([][]string, count)
	for i := range out.Sheets {
		out.Sheets[i] = drawing.Drawing{Title: fmt.Sprintf("plate %g mm, sheet %d", thick, i+1), Size: bought.Sheet}
		out.Sheets[i].Rect(drawing.Mark, r2.RectFromPoints(r2.Point{}, bought.Sheet))
	}
	free := 1.0
	for i, at := range places {
		out.Sheets[at.Sheet].Add(all[i].Drawing, at.Turns, at.By)
		out.Letters[at.Sheet] = append(out.Letters[at.Sheet], letters[i])
		if size := all[i].Drawing.Size; at.Sheet == count-1 {
			free -= size.X * size.Y / (bought.Sheet.X * bought.Sheet.Y)
		}
	}
	out.Left = free
	return out
}

// blank is the plate with its holes and its letter, and nothing around it.
func (p Part) blank() drawing.Drawing {
	size := r2.Point{X: p.Bar.Length(), Y: p.Bar.Section.Width}
	d := drawing.Drawing{Title: p.Letter, Size: size}
	d.Rect(drawing.Cut, r2.RectFromPoints(r2.Point{}, size))
	for _, h := range p.Holes {
		at := r2.Point{X: h.At, Y: h.Across}
		d.Circle(drawing.Cut, at, h.Diameter/2)
		d.Cross(drawing.Mark, at, h.Diameter/2+1.5)
	}
	d.TextNear(size.Mul(0.5), 6, 0, p.Letter)
	return d
}

// Words say how many sheets are bought and what is left.
func (s PlateSheets) Words() string {
	text := fmt.Sprintf("plate %g mm thick: %d of %g × %g mm, %.0f %% of the last left over", s.Thick, len(s.Sheets), s.Size.X, s.Size.Y, 100*s.Left)
	if s.Fewest {
		return text + " (no fewer would do)"
	}
	return text
}

// lines say what is cut from each sheet.
func (s PlateSheets) lines(kerf float64) []string {
	list := []string{fmt.Sprintf("%s; the saw takes %g mm a cut", s.Words(), kerf)}
	for i, letters := range s.Letters {
		slices.Sort(letters)
		list = append(list, fmt.Sprintf("plate %g mm thick, sheet %d: %s, as %s.svg shows", s.Thick, i+1, strings.Join(counted(letters), " | "), s.file(i)))
	}
	for _, l := range s.TooLarge {
		list = append(list, fmt.Sprintf("plate %s goes onto no sheet of %g × %g mm: buy a larger one, and give it as sheet in a stock file", l, s.Size.X, s.Size.Y))
	}
	return list
}

func (s PlateSheets) file(i int) string { return fmt.Sprintf("sheet-%g-mm-%d", s.Thick, i+1) }

// plateFiles are the sheets with plates on them, for saws and for who cuts by DXF.
func plateFiles(r *rack.Rack) []export.File {
	var list []export.File
	for _, s := range Plates(r) {
		for i, d := range s.Sheets {
			list = append(list, export.File{Name: s.file(i) + ".svg", Write: d.WriteSVG}, export.File{Name: s.file(i) + ".dxf", Write: d.WriteDXF})
		}
	}
	return list
}

// largeCards are the cards that are too high for a page of a paper, in tiles to be glued together.
func largeCards(parts []Part, paper drawing.Paper) []export.File {
	var list []export.File
	for _, p := range parts {
		if d := p.Sheet(); !onPage(p, paper) {
			list = append(list, export.File{Name: p.file() + "-" + paper.Name + ".pdf", Write: func(w io.Writer) error { return d.WriteTiles(w, paper) }})
		}
	}
	return list
}
