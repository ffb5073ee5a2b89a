package drawing

import (
	"fmt"
	"io"

	"codeberg.org/go-pdf/fpdf"
	"github.com/golang/geo/r2"
)

// WritePages writes drawings at full size, each on a page as large as itself.
func WritePages(w io.Writer, title string, pages []Drawing) error {
	doc := newDocument(title, r2.Point{X: maxPage, Y: maxPage})
	for i, d := range pages {
		if !d.FitsOnePage() {
			return fmt.Errorf("%w for page %d of PDF: %.0f × %.0f mm, of at most %.0f", ErrTooLarge, i+1, d.Size.X, d.Size.Y, maxPage)
		}
		doc.AddPageFormat("P", fpdf.SizeType{Wd: d.Size.X, Ht: d.Size.Y})
		page{doc, r2.Point{Y: d.Size.Y}}.draw(d)
	}
	return doc.Output(w)
}
