package drawing

import (
	"errors"
	"fmt"
	"io"
	"time"

	"rackwright/export"

	"codeberg.org/go-pdf/fpdf"
	"github.com/golang/geo/r2"
	"golang.org/x/image/font/gofont/goregular"
)

// ErrTooLarge is wrapped by the errors for drawings that a form cannot hold.
var ErrTooLarge = errors.New("the drawing is too large")

// maxPage is the largest side of a page: 14400 units of 1/72 in, the limit of PDF 1.7
// (ISO 32000-1, annex C) without user units.
const maxPage = 14400 * 25.4 / 72

// FitsOnePage tells whether a page of PDF can be as large as the drawing.
func (d Drawing) FitsOnePage() bool { return max(d.Size.X, d.Size.Y) <= maxPage }

// WritePDF writes the drawing at full size on one page as large as itself.
func (d Drawing) WritePDF(w io.Writer) error {
	if !d.FitsOnePage() {
		return fmt.Errorf("%w for one page of PDF: %.0f × %.0f mm, of at most %.0f; take it in tiles", ErrTooLarge, d.Size.X, d.Size.Y, maxPage)
	}
	doc := newDocument(d.Title, d.Size)
	doc.AddPageFormat("P", fpdf.SizeType{Wd: d.Size.X, Ht: d.Size.Y})
	page{doc, r2.Point{Y: d.Size.Y}}.draw(d)
	return doc.Output(w)
}

// newDocument is a document with the face embedded and nothing in it that changes from
// run to run. fpdf turns pages that are wider than high when told "P", so the default
// size matters only for its unit.
func newDocument(title string, size r2.Point) *fpdf.Fpdf {
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: size.X, Ht: size.Y}})
	doc.SetCatalogSort(true)
	doc.SetCreationDate(time.Unix(0, 0).UTC())
	doc.SetModificationDate(time.Unix(0, 0).UTC())
	doc.SetTitle(export.Printable(title), true)
	doc.SetCreator("rackwright", true)
	doc.SetMargins(0, 0, 0)
	doc.SetAutoPageBreak(false, 0)
	doc.AddUTF8FontFromBytes(faceName, "", goregular.TTF)
	doc.SetDrawColor(0, 0, 0)
	doc.SetLineCapStyle("butt")
	return doc
}

const faceName = "Go"

// page draws onto the current page of a document, whose y runs down; origin is where the
// drawing's origin lies on it.
type page struct {
	doc    *fpdf.Fpdf
	origin r2.Point
}

func (p page) at(q r2.Point) (x, y float64) { return p.origin.X + q.X, p.origin.Y - q.Y }

func (p page) draw(d Drawing) {
	for _, path := range d.Paths {
		p.pen(path.Layer, path.Dotted)
		if path.Width > 0 {
			p.doc.SetLineWidth(path.Width)
		}
		for i, q := range path.Points {
			if x, y := p.at(q); i == 0 {
				p.doc.MoveTo(x, y)
			} else {
				p.doc.LineTo(x, y)
			}
		}
		if path.Closed {
			p.doc.ClosePath()
		}
		p.doc.DrawPath("D")
	}
	for _, c := range d.Circles {
		p.pen(c.Layer, false)
		x, y := p.at(c.Centre)
		p.doc.Circle(x, y, c.Radius, "D")
	}
	for _, t := range d.Texts {
		p.text(t)
	}
}

// pen sets the width and the dashes of lines.
func (p page) pen(layer Layer, dotted bool) {
	dashes := pens[layer].dashes
	if dotted {
		dashes = dots
	}
	p.doc.SetLineWidth(pens[layer].width)
	p.doc.SetDashPattern(dashes, 0)
}

func (p page) text(t Text) {
	line, _ := known(export.Printable(t.Line))
	p.doc.SetFont(faceName, "", 10)
	p.doc.SetFontUnitSize(t.Size)
	x, y := p.at(t.baseline(p.doc.GetStringWidth(line)))
	p.doc.TransformBegin()
	p.doc.TransformRotate(90*float64(t.Turns), x, y)
	p.doc.Text(x, y, line)
	p.doc.TransformEnd()
}
