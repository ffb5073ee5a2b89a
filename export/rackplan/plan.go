package rackplan

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"rackwright/export"
	"rackwright/export/drawing"
	"rackwright/export/view"
	"rackwright/pack/rack"
)

// Files are the rack file, the plan in words, each part at true size as SVG and DXF, with all
// of them on sheets of a paper in one PDF, and the rack as solids at a scale.
func Files(a Answer, paper drawing.Paper, scale float64) ([]export.File, error) {
	list := []export.File{
		{Name: "rack.yaml", Write: func(w io.Writer) error { return rack.Write(w, a.Rack) }},
		{Name: "rack.txt", Write: func(w io.Writer) error { return WritePlan(w, a) }},
	}
	parts := Parts(a.Rack)
	for _, p := range parts {
		d, name := p.Sheet(), p.file()
		list = append(list,
			export.File{Name: name + ".svg", Write: d.WriteSVG},
			export.File{Name: name + ".dxf", Write: d.WriteDXF},
		)
	}
	list = slices.Concat(list, plateFiles(a.Rack), largeCards(parts, paper))
	list = append(list, export.File{Name: "bars-" + paper.Name + ".pdf", Write: func(w io.Writer) error {
		title := "Bars of the rack for " + a.Problem.Pack.Name
		return drawing.WritePages(w, title, Pages(parts, paper, title))
	}})
	pictures, err := Pictures(a, view.Options{})
	if err != nil {
		return nil, err
	}
	for _, d := range view.Directions {
		list = append(list, export.File{Name: "rack-" + d.String() + ".svg", Write: func(w io.Writer) error { return pictures.WriteView(w, d) }})
	}
	for i, tray := range Trays(a.Rack) {
		alone, err := TrayAlone(a, i, view.Options{})
		if err != nil {
			return nil, err
		}
		name := export.FileNames([]string{tray})[0] + ".svg"
		list = append(list, export.File{Name: name, Write: func(w io.Writer) error { return alone.WriteView(w, view.FromTop) }})
	}
	list = append(list, templates(a.Removals, paper)...)
	printed, err := solids(a, scale)
	return append(list, printed...), err
}

// file is the name of the part's drawing, without its ending.
func (p Part) file() string { return p.what() + "-" + strings.ToLower(p.Letter) }

// templates are the ways of tubes that go where rails come off.
func templates(removals []Removal, paper drawing.Paper) []export.File {
	var list []export.File
	for _, x := range removals {
		if x.Way == nil {
			continue
		}
		d := x.Template()
		name := export.FileNames([]string{"instead of " + x.Rail})[0]
		list = append(list,
			export.File{Name: name + ".svg", Write: d.WriteSVG}, export.File{Name: name + ".dxf", Write: d.WriteDXF},
			export.File{Name: name + "-" + paper.Name + ".pdf", Write: func(w io.Writer) error { return d.WriteTiles(w, paper) }},
		)
	}
	return list
}

// Pictures are views of the rack with its boxes, its bars by their letters.
func Pictures(a Answer, options view.Options) (*view.Scene, error) {
	options.Rack, options.Letters, options.RackName = a.Rack, lettersOf(a.Rack), "rack"
	return view.NewScene(a.Problem, export.Judged{Layout: a.Layout}, options)
}

// TrayAlone is the scene of one tray in the opening, without all else.
func TrayAlone(a Answer, number int, options view.Options) (*view.Scene, error) {
	tray, alone, bare := Trays(a.Rack)[number], *a.Rack, *a.Problem.Frame
	alone.Bars, alone.Fasteners = nil, nil
	for _, b := range a.Rack.Bars {
		if b.Tray == tray {
			alone.Bars = append(alone.Bars, b)
		}
	}
	bare.KeepOuts, bare.Rails, bare.Moving = nil, nil, nil
	a.Problem.Frame = &bare
	options.Rack, options.Letters, options.RackName = &alone, lettersOf(a.Rack), tray
	return view.NewScene(a.Problem, export.Judged{}, options)
}

// drilling says where the part's holes are, leg after leg, and its welds.
func (p Part) drilling() []string {
	var list []string
	for i, leg := range p.legs() {
		name := ""
		if len(p.legs()) > 1 {
			name = fmt.Sprintf("leg %d  ", i+1)
		}
		for _, h := range p.Holes {
			if h.Leg == leg {
				list = append(list, fmt.Sprintf("%s%6.1f / %4.1f  Ø%g", name, h.At, h.Across, h.Diameter))
			}
		}
		for _, s := range p.spots {
			if s.leg == leg {
				list = append(list, name+s.words(p.Bar.Section.Form))
			}
		}
	}
	return list
}

// WritePlan writes the cut list, the parts list and the order of building.
func WritePlan(w io.Writer, a Answer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Rack for %s in %s\n\n", a.Problem.Pack.Name, a.Problem.Frame.Name)
	if !a.Report.Sound() {
		a.headline(&b)
	}
	for _, line := range Below(a) {
		fmt.Fprintln(&b, line)
	}
	for _, line := range Cautions(a) {
		fmt.Fprintf(&b, "! %s\n", line)
	}
	a.removed(&b)
	fmt.Fprintf(&b, "\nCUT LIST\n")
	for _, line := range CutLines(a) {
		fmt.Fprintf(&b, "  %s\n", line)
	}
	fmt.Fprintf(&b, "  All ends are square. Deburr every hole and edge.\n\nDRILLING (mm from the left end of the drawing / from the heel, of flats and plates from the lower edge; in the vehicle each bar lies as its name says)\n")
	for _, p := range Parts(a.Rack) {
		fmt.Fprintf(&b, "  %s  %d × %s, %.1f mm%s\n", p.Letter, len(p.Names), p.Bar.Section, p.Bar.Length(), p.mirrored())
		for _, n := range p.Names {
			fmt.Fprintf(&b, "       %s: %s\n", n, p.Ways[n])
		}
		for _, line := range p.drilling() {
			fmt.Fprintf(&b, "       %s\n", line)
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
