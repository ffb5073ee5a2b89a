package rackplan

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"rackwright/export"
	"rackwright/export/drawing"
	"rackwright/pack/rack"
)

// Files are the rack file, the plan in words, each part at true size as SVG and DXF, with all
// of them on sheets of a paper in one PDF, and the rack as solids.
func Files(a Answer, paper drawing.Paper) ([]export.File, error) {
	list := []export.File{
		{Name: "rack.yaml", Write: func(w io.Writer) error { return rack.Write(w, a.Rack) }},
		{Name: "rack.txt", Write: func(w io.Writer) error { return WritePlan(w, a) }},
	}
	parts := Parts(a.Rack)
	for _, p := range parts {
		d := p.Sheet()
		name := "bar-" + strings.ToLower(p.Letter)
		list = append(list,
			export.File{Name: name + ".svg", Write: d.WriteSVG},
			export.File{Name: name + ".dxf", Write: d.WriteDXF},
		)
	}
	list = append(list, export.File{Name: "bars-" + paper.Name + ".pdf", Write: func(w io.Writer) error {
		title := "Bars of the rack for " + a.Problem.Pack.Name
		return drawing.WritePages(w, title, Pages(parts, paper, title))
	}})
	printed, err := solids(a)
	return append(list, printed...), err
}

// WritePlan writes the cut list, the parts list and the order of building.
func WritePlan(w io.Writer, a Answer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Rack for %s in %s\n\n", a.Problem.Pack.Name, a.Problem.Frame.Name)
	for _, line := range Below(a.Report.Loads) {
		fmt.Fprintln(&b, line)
	}
	for _, line := range Cautions(a) {
		fmt.Fprintf(&b, "! %s\n", line)
	}
	fmt.Fprintf(&b, "\nCUT LIST\n")
	for _, line := range CutLines(a) {
		fmt.Fprintf(&b, "  %s\n", line)
	}
	fmt.Fprintf(&b, "  All ends are square. Deburr every hole and edge.\n\nDRILLING (mm from the left end of the drawing / from the heel)\n")
	for _, p := range Parts(a.Rack) {
		fmt.Fprintf(&b, "  %s  %d × %s, %.1f mm\n", p.Letter, len(p.Names), p.Bar.Section, p.Bar.Length())
		for _, n := range p.Names {
			fmt.Fprintf(&b, "       %s: %s\n", n, p.Ways[n])
		}
		for _, h := range p.Holes {
			fmt.Fprintf(&b, "       leg %d  %6.1f / %4.1f  Ø%g\n", slices.Index(p.legs(), h.Leg)+1, h.At, h.Across, h.Diameter)
		}
	}
	fmt.Fprintf(&b, "\nPARTS LIST (rack %.2f kg)\n", a.Rack.Mass())
	for _, i := range List(a) {
		fmt.Fprintf(&b, "  %3d × %s", i.Count, i.What)
		if i.Note != "" {
			fmt.Fprintf(&b, " – %s", i.Note)
		}
		b.WriteByte('\n')
	}
	fmt.Fprintf(&b, "\nORDER OF BUILDING\n")
	for _, line := range Tightening(a) {
		fmt.Fprintf(&b, "  %s\n", line)
	}
	for i, s := range Building(a) {
		fmt.Fprintf(&b, "  %2d. %s\n", i+1, s.Words)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
