// Package mockup puts together the files that mock-ups are built from: card templates,
// gauges, silhouettes and printable blocks, in the forms that are asked for.
//
//	make.go    everything, with names of files that differ
//	cards.go   card templates
//	sheets.go  those laid out on sheets of card, with the nets chosen for that
//	gauges.go  gauges, silhouettes and notches
//	blocks.go  printable blocks, the cage and the table of plastic
package mockup

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/golang/geo/r2"

	"rackwright/export"
	"rackwright/export/block"
	"rackwright/export/drawing"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/whatif"
)

// Form is a form that files come in.
type Form string

// The forms: three of flat drawings, two of solids.
const (
	PDF      Form = "pdf"
	SVG      Form = "svg"
	DXF      Form = "dxf"
	STL      Form = "stl"
	ThreeMF  Form = "3mf"
	allForms      = "pdf, svg, dxf, stl, 3mf"
)

// ParseForms reads forms with commas between them.
func ParseForms(text string) ([]Form, error) {
	var list []Form
	for _, word := range strings.Split(text, ",") {
		f := Form(strings.ToLower(strings.TrimSpace(word)))
		if !slices.Contains([]Form{PDF, SVG, DXF, STL, ThreeMF}, f) {
			return nil, fmt.Errorf("%q is no form of mock-up: take some of %s", word, allForms)
		}
		if !slices.Contains(list, f) {
			list = append(list, f)
		}
	}
	return list, nil
}

// Settings say what to make and of what. Lengths are millimetres.
type Settings struct {
	Forms  []Form
	Board  float64        // thickness of the card, 0 for paper
	Paper  *drawing.Paper // to print tiles on; nil for none
	Sheet  r2.Point       // sheets of card to lay templates out on; zero for none
	Layout *pack.Layout   // nil for none: each kind of box by itself
	Name   string         // of the layout
	Order  entry.Order    // how the layout's boxes go in, when that is known
	// Taken is what of the frame is changed for a layout that does not hold as that is; nil
	// where it holds, or holds with nothing that the frame file allows.
	Taken *whatif.Concession
	Print block.Print // how blocks are printed
}

func (s Settings) has(f Form) bool { return slices.Contains(s.Forms, f) }

// flat tells whether any flat drawings are asked for.
func (s Settings) flat() bool { return s.has(PDF) || s.has(SVG) || s.has(DXF) }

// Result is what was made: files, and lines to tell the builder.
type Result struct {
	Files []export.File
	Notes []string
}

func (r *Result) note(format string, args ...any) {
	r.Notes = append(r.Notes, fmt.Sprintf(format, args...))
}

// counted is a number with its noun: "1 sheet", "2 sheets".
func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// add adds a flat drawing in every form asked for, with words below it.
func (r *Result) add(s Settings, name string, d drawing.Drawing, words []string) {
	r.flat(s, name, d, words)
	r.paper(s, name, drawing.Set{Title: d.Title, Pieces: []drawing.Drawing{d}}, words)
}

// flat adds a flat drawing in every form asked for that shows all of it at once.
func (r *Result) flat(s Settings, name string, d drawing.Drawing, words []string) {
	whole := d.WithLegend(words...)
	write := func(name string, f func(io.Writer) error) {
		r.Files = append(r.Files, export.File{Name: name, Write: f})
	}
	if s.has(PDF) {
		if whole.FitsOnePage() {
			write(name+".pdf", whole.WritePDF)
		} else {
			r.note("%s is too large for one page of PDF: print its tiles, or take the SVG.", name)
		}
	}
	if s.has(SVG) {
		write(name+".svg", whole.WriteSVG)
	}
	if s.has(DXF) {
		write(name+".dxf", whole.WriteDXF)
	}
}

// notesWide are how wide words on paper may be in millimetres, the handiest first; others are
// tried where a page saved is worth it, and packing does not take long.
var notesWide = []float64{120, 75, 170}

// fewPages is the most pages that other widths are tried for.
const fewPages = 4

// paper adds drawings on pages of the paper asked for, with words beside them, or says that they
// take too many.
func (r *Result) paper(s Settings, name string, set drawing.Set, words []string) {
	if !s.has(PDF) || s.Paper == nil {
		return
	}
	paper := *s.Paper
	var best drawing.Sheets
	for _, wide := range notesWide {
		noted := set
		noted.Pieces = append(slices.Clone(set.Pieces), drawing.Notes(wide, words...))
		sheets, err := noted.Sheets(paper)
		if err != nil {
			r.note("%s is not tiled: %v.", name, err)
			return
		}
		if least := best.Pages(); least == 0 || sheets.Pages() < least {
			best = sheets
		}
		if best.Pages() == 1 || best.Pages() > fewPages {
			break
		}
	}
	r.Files = append(r.Files, export.File{
		Name: name + "-" + paper.Name + ".pdf", Write: best.Write,
	})
}
