package page

import (
	"bytes"
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"rackwright/export"
	"rackwright/export/answer"
	"rackwright/export/rackplan"
	"rackwright/export/view"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/whatif"
)

// document is what the page tells in words, tables and drawings.
type document struct {
	Pack, Frame string
	Date        string
	FrameHash   string
	PackHash    string
	Rounding    string // of inches
	Headline    both
	Verdict     []both
	Advice      []advice
	Layouts     []sheet
	Cautions    []string
	Written     []string
	Inspection  *inspected // nil where it is not asked for
}

// advice is one part of what follows from a search.
type advice struct {
	Title both
	Lines []both
}

// sheet is what is told of one layout.
type sheet struct {
	Number      int
	Name        string
	Title       both
	Notes       []string // faults, or what hinders
	Drawings    []template.HTML
	Sections    []template.HTML
	Gaps        []gapRow
	More        both // what is left out of Gaps, empty when nothing is
	Boxes       []boxRow
	Posts       []postRow
	Order       []both
	OrderOff    string
	Packing     []advice // what goes between the boxes
	Undo        []undoRow
	UndoKnown   bool
	Turned      string
	Concessions []both   // used by the layout, and their notches
	Warnings    []string // that go with them
	Replaced    []string // rails that come off, and what may go there instead
	Wiring      *wiring  // nil where nothing is to be wired
	Balance     *balanced
	Rack        *racked // nil where none is given
}

// gapRow is a clearance beside its required gap. Lengths of the bar are in percent.
type gapRow struct {
	Between             string
	Left, Gap, Required both
	BarGap, BarRequired template.CSS
	Short               bool
}

type boxRow struct {
	Box, Stand                string
	Floor, Rear, Across, Size both
	Mass                      both
}

type postRow struct {
	Post, Polarity, Room string
}

type undoRow struct{ Box, Words string }

func documentOf(in Input) (document, error) {
	p := in.Problem
	mm, inch := in.Verdict(geom.Millimetre), in.Verdict(geom.Inch)
	d := document{
		Pack: p.Pack.Name, Frame: p.Frame.Name, Date: in.Date, FrameHash: p.Frame.Hash, PackHash: p.Pack.Hash,
		Cautions: answer.Cautions(p.Pack), Written: in.Written, Inspection: inspectedOf(in.Inspection), Verdict: pairs(mm, inch), Rounding: export.InchRounding,
	}
	if len(d.Verdict) > 0 {
		d.Headline, d.Verdict = d.Verdict[0], d.Verdict[1:]
	}
	if in.Advice != nil {
		d.Advice = adviceOf(in.Advice(geom.Millimetre), in.Advice(geom.Inch))
	}
	for i, l := range in.Layouts {
		s, err := sheetOf(in, l, i+1)
		if err != nil {
			return document{}, err
		}
		d.Layouts = append(d.Layouts, s)
	}
	return d, nil
}

// adviceOf puts the same parts in two units together: they differ in lengths alone.
func adviceOf(mm, in []answer.Part) []advice {
	var all []advice
	for i, a := range mm[:min(len(mm), len(in))] {
		all = append(all, advice{both{Mm: a.Title, In: in[i].Title}, pairs(texts(a), texts(in[i]))})
	}
	return all
}

// texts are the lines of a part, each followed by what belongs to it.
func texts(a answer.Part) []string {
	var all []string
	for _, line := range a.Lines {
		all = append(append(all, line.Text), line.Under...)
	}
	return all
}

// pairs puts the same lines in two units together; where one has a line more, as for
// how inches are rounded, the other has an empty one.
func pairs(mm, in []string) []both {
	var all []both
	for i := range max(len(mm), len(in)) {
		var b both
		if i < len(mm) {
			b.Mm = mm[i]
		}
		if i < len(in) {
			b.In = in[i]
		}
		all = append(all, b)
	}
	return all
}

// title is the layout's name and its spare.
func (l Layout) title(u geom.Unit) string {
	if len(l.Report.Relations) == 0 {
		return l.Name
	}
	return l.Name + ": " + answer.SpareWords(l.Report.Spare, u)
}

func sheetOf(in Input, l Layout, number int) (sheet, error) {
	p := l.Framed(in.Problem)
	s := sheet{Number: number, Name: l.Name, UndoKnown: l.Undo != nil, Title: bothOf(l.title), Turned: strings.Join(answer.TurnedOver(p.Pack, l.Layout), ", ")}
	for _, f := range l.Report.Warnings {
		s.Notes = append(s.Notes, f.Text)
	}
	for _, f := range l.Report.Faults {
		s.Notes = append(s.Notes, f.Text)
	}
	s.Notes = append(s.Notes, l.Faults...)
	if why := answer.Hindered(l.Entry); why != "" {
		s.Notes = append(s.Notes, "It cannot be used as it is: "+why)
	}
	s.Wiring, s.Rack = wiringOf(p, l), rackedOf(l)
	var err error
	if s.Balance, err = balanceOf(p, l); err != nil {
		return s, err
	}
	if c := l.Concession; c != nil {
		s.Concessions = pairs(answer.ConcessionLines(*c, geom.Millimetre), answer.ConcessionLines(*c, geom.Inch))
		s.Warnings = answer.ConcessionCautions([]whatif.Concession{*c})
		for _, x := range rackplan.Removals(in.Problem.Frame, c.Off, p, l.Layout, l.rack()) {
			s.Replaced = append(s.Replaced, x.Words()...)
		}
	}
	s.Gaps, s.More = gapRows(l.Report)
	s.Boxes = boxRows(p, l.Layout)
	s.Posts = postRows(p, l)
	s.Packing = adviceOf(answer.Packing(p, l.Layout, geom.Millimetre), answer.Packing(p, l.Layout, geom.Inch))
	s.Order, s.OrderOff = orderLines(l.Entry)
	s.ruledByRack(l)
	for _, u := range l.Undo {
		if words := u.Words(); words != "" {
			s.Undo = append(s.Undo, undoRow{u.Box.String(), words})
		}
	}
	return s, s.draw(in, l)
}

// draw makes the drawings of a layout, in both units.
func (s *sheet) draw(in Input, l Layout) error {
	units := []geom.Unit{geom.Millimetre, geom.Inch}
	if in.Problem.Pack.Unit == geom.Inch {
		slices.Reverse(units) // the one that is read aloud first
	}
	scene, err := view.NewScene(l.Framed(in.Problem), l.Judged, view.Options{
		Units: units, Prefix: fmt.Sprintf("l%d-", s.Number), Inline: true, Others: in.Views, Notches: l.notches(),
	})
	if err != nil {
		return err
	}
	for _, d := range append(view.Directions[:], in.Views...) {
		var b bytes.Buffer
		if err := scene.WriteView(&b, d); err != nil {
			return err
		}
		s.Drawings = append(s.Drawings, template.HTML(b.String()))
	}
	if s.Rack != nil {
		if err := s.Rack.draw(*l.Rack, view.Options{Units: units, Prefix: fmt.Sprintf("l%d-rack-", s.Number), Inline: true}); err != nil {
			return err
		}
	}
	cuts := scene.Heights()
	if len(in.Cuts) > 0 {
		cuts = cuts[:0]
		for _, above := range in.Cuts {
			cuts = append(cuts, in.Problem.Frame.Opening.Outline.Bounds().Y.Lo+above)
		}
	}
	for i, z := range cuts {
		var b bytes.Buffer
		if err := scene.WriteSection(&b, z, fmt.Sprintf("cut%d-", i+1)); err != nil {
			return err
		}
		s.Sections = append(s.Sections, template.HTML(b.String()))
	}
	return nil
}

// mostGaps is how many clearances a table lists: the worst.
const mostGaps = 30

func gapRows(r pack.Report) ([]gapRow, both) {
	var rows []gapRow
	shown := r.Relations[:min(mostGaps, len(r.Relations))]
	scale := 0.0
	for _, n := range shown {
		scale = math.Max(scale, math.Max(n.Gap, n.Required))
	}
	for _, n := range shown {
		rows = append(rows, gapRow{
			Between:  fmt.Sprintf("%s – %s", n.A, n.B),
			Left:     bothOf(func(u geom.Unit) string { return answer.LeftWords(n.Left, u) }),
			Gap:      bothOf(func(u geom.Unit) string { return export.Clearance(n.Gap, u) }),
			Required: bothOf(func(u geom.Unit) string { return export.AtLeast(n.Required, u) }),
			BarGap:   percent(n.Gap, scale), BarRequired: percent(n.Required, scale),
			Short: n.Left < 0,
		})
	}
	left := r.Relations[len(shown):]
	if len(left) == 0 {
		return rows, both{}
	}
	return rows, bothOf(func(u geom.Unit) string {
		return fmt.Sprintf("%d more clearances have %s left or more; rackwright check lists them all.", len(left), answer.LeftWords(left[0].Left, u))
	})
}

func percent(v, of float64) template.CSS {
	if of <= 0 {
		return "0%"
	}
	return template.CSS(fmt.Sprintf("%.1f%%", 100*max(0, min(1, v/of))))
}

func boxRows(p pack.Problem, l pack.Layout) []boxRow {
	var rows []boxRow
	for _, at := range l.Placements {
		place, err := answer.PlaceOf(p, at)
		if err != nil {
			continue // the judge has named it as a fault
		}
		kind, _ := p.Kind(at.Box)
		row := boxRow{
			Box: at.Part().String(), Stand: answer.StandWords(at.Orientation),
			Floor: bothOf(place.FloorWords), Rear: bothOf(place.RearWords),
			Across: bothOf(place.AcrossWords),
			Size:   bothOf(func(u geom.Unit) string { return sizeWords(kind, u) }),
		}
		if kind.Mass > 0 {
			row.Mass = both{fmt.Sprintf("%.4g kg", kind.Mass), fmt.Sprintf("%.1f lb", kind.Mass/geom.KilogramsPerPound)}
		}
		rows = append(rows, row)
	}
	return rows
}

// sizeWords are length, width and height with the unit once, rounded up: the room that
// the box needs.
func sizeWords(k pack.Kind, u geom.Unit) string {
	bare := func(mm float64) string { return strings.TrimSuffix(export.AtLeast(mm, u), " "+u.String()) }
	return fmt.Sprintf("%s × %s × %s", bare(k.Size.X), bare(k.Size.Y), export.AtLeast(k.Size.Z, u))
}

// postRows tell of every post when a tool reaches it.
func postRows(p pack.Problem, l Layout) []postRow {
	polarity := map[string]string{}
	for _, k := range p.Pack.Kinds {
		for _, t := range k.Posts {
			polarity[k.Name+"\x00"+t.Name] = strings.Replace(t.Polarity, "-", "−", 1)
		}
	}
	var rows []postRow
	for _, r := range l.Entry.Reach {
		room := "can be reached with all in place"
		if words := r.Words(); words != "" {
			room = words
		}
		rows = append(rows, postRow{r.Post.String(), polarity[r.Post.Box+"\x00"+r.Post.Post], room})
	}
	return rows
}

func orderLines(a entry.Answer) (lines []both, off string) {
	for _, s := range a.Order.Steps {
		lines = append(lines, bothOf(func(u geom.Unit) string {
			return s.Part().String() + ": " + answer.StepWords(s, a.Order, u)
		}))
	}
	return lines, strings.Join(a.Order.Off(), ", ")
}
