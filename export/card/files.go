package card

import (
	"fmt"
	"io"

	"github.com/golang/geo/r2"

	"rackwright/export"
	"rackwright/geom"
	"rackwright/pack"
)

// Files returns a net for every kind of box as SVG at true size, for thinner card where
// a box is too small.
func Files(p pack.Pack, board float64) ([]export.File, error) {
	var names []string
	for _, k := range p.Kinds {
		names = append(names, k.Name)
	}
	var files []export.File
	for i, name := range export.FileNames(names) {
		n, err := Best(p.Kinds[i], Thickest(p.Kinds[i], board), r2.Point{})
		if err != nil {
			return nil, err
		}
		d := n.Pieces(Label{Name: p.Kinds[i].Name, Unit: p.Unit, Clear: p.Gaps.Post})[0].Drawing
		d = d.WithLegend(n.Instructions(p.Unit)...)
		files = append(files, export.File{Name: "card-" + name + ".svg", Write: func(w io.Writer) error { return d.WriteSVG(w) }})
	}
	return files, nil
}

// Instructions say how to make the box and how to check the print.
func (n *Net) Instructions(unit geom.Unit) []string {
	size := n.Kind.Size
	return []string{
		fmt.Sprintf("%s measures %s × %s × %s outside when folded from %s.",
			n.Kind.Name, geom.FormatLength(size.X, unit), geom.FormatLength(size.Y, unit), geom.FormatLength(size.Z, unit), Called(n.Board)),
		"Solid: cut. Dashed: score and fold away from you. Dotted: keep metal out of here. Tape the ends.",
		"Print at 100 %, never fitted to the page, and check the bars with a ruler.",
	}
}
