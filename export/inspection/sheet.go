package inspection

import (
	"fmt"
	"math"
	"strings"

	"rackwright/export/answer"
	"rackwright/export/rackplan"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/balance"
	"rackwright/pack/wire"
)

// Input is what the sheet is made from. What is nil is not known, and stands there as a blank.
type Input struct {
	Problem pack.Problem
	Layout  *pack.Layout
	Name    string // of the layout
	Rack    *rackplan.Answer
	Wiring  *wire.Plan
	Date    string
}

// Section is a part of the sheet.
type Section struct {
	Title  string
	Fields []Field
	Table  *Table
	Ticks  []string // lines to tick off
	Notes  []string
}

// Field is a value by its name; without one it is a blank to fill in.
type Field struct{ Label, Value string }

// Table has blanks where its cells are empty. Its first column has names.
type Table struct {
	Head []string
	Rows [][]string
}

// Title is what the sheet is headed.
func (in Input) Title() string { return "For the inspection: " + in.Problem.Frame.Name }

// Foot stands under every page.
const Foot = "What was measured and reckoned by a home builder, for whoever inspects the vehicle. It decides nothing: local rules and the inspector do."

// Sections are all that is on the sheet, in lengths of a unit.
func Sections(in Input, u geom.Unit) []Section {
	b := balance.Of(in.Problem, in.layout())
	return []Section{
		in.vehicle(u), in.masses(b, u), in.wheels(b), in.width(u), in.held(), in.electricity(),
		{Title: "Labels to fit", Ticks: in.labels(), Notes: []string{"Common practice; ask which words and sizes are wanted."}},
		{Title: "Photographs to bring", Ticks: photographs()},
		{Title: "Questions to ask the inspector", Ticks: questions()},
	}
}

func (in Input) layout() pack.Layout {
	if in.Layout == nil {
		return pack.Layout{}
	}
	return *in.Layout
}

func (in Input) vehicle(u geom.Unit) Section {
	s := Section{Title: "Vehicle", Fields: []Field{
		{"Make, model, year", ""},
		{"Frame number", ""},
		{"Where the frame number is", in.where(u)},
		{"Weighbridge ticket: number, date", ""},
		{"What is packed", in.Problem.Pack.Name},
		{"Layout", in.Name},
		{"Date", in.Date},
	}}
	if words := answer.NumberWords(in.Problem, Covering(in)); words != "" {
		s.Notes = append(s.Notes, words)
	}
	return s
}

// where says where the frame number is.
func (in Input) where(u geom.Unit) string {
	n := in.Problem.Frame.Number
	if n == nil {
		return ""
	}
	way := func(mm float64, plus, minus string) string {
		if mm < 0 {
			plus = minus
		}
		return geom.FormatLengthRounded(math.Abs(mm), u, geom.ToNearest) + " " + plus
	}
	return fmt.Sprintf("%s, %s, %s; seen from the %s", way(n.At.X, "forward of zero", "behind zero"),
		way(n.At.Y, "to the left", "to the right"), way(n.At.Z, "above zero", "below zero"), n.SeenFrom)
}

func (in Input) masses(b balance.Balance, u geom.Unit) Section {
	var packed, batteries, whole, without, rack string
	if in.Layout != nil && len(b.Unknown) == 0 {
		packed, batteries = kg(b.Packed, u), kg(b.Battery, u)
		if b.Whole != nil {
			whole, without = kg(b.Whole.Mass, u), kg(b.Whole.Mass-b.Battery, u)
		}
	}
	if in.Rack != nil && in.Rack.Rack != nil {
		rack = kg(in.Rack.Rack.Mass(), u)
	}
	now := ""
	if b.Vehicle != nil {
		now = kg(*b.Vehicle, u)
	}
	s := Section{Title: "Masses", Fields: []Field{
		{"Vehicle as it was weighed, nothing packed", now},
		{"Boxes packed", packed},
		{"of these propulsion batteries", batteries},
		{"Vehicle with the boxes", whole},
		{"the same without propulsion batteries", without},
		{"Rack, beside these", rack},
	}}
	s.Notes = append(s.Notes, "Some rules count a vehicle's mass without its propulsion batteries (EU 168/2013, Article 5), others with them: both stand here, without riders.")
	if len(b.Unknown) > 0 {
		s.Notes = append(s.Notes, "No mass is given for: "+strings.Join(b.Unknown, ", ")+".")
	}
	return s
}

func (in Input) wheels(b balance.Balance) Section {
	t := &Table{Head: []string{"wheel, kg", "with engine", "now", "with boxes", "and riders", "most by plate or tyre", "weighbridge"}}
	known := in.Layout != nil && len(b.Unknown) == 0
	for _, w := range b.Wheels {
		loaded := w.Loaded
		if b.Loaded == nil {
			loaded = nil
		}
		row := []string{w.Name, of(w.Before), of(w.Now), "", "", of(w.Allowed), ""}
		if known {
			row[3], row[4] = of(w.With), of(loaded)
		}
		t.Rows = append(t.Rows, row)
	}
	if len(b.Wheels) == 0 {
		t.Rows = [][]string{{"front", "", "", "", "", "", ""}, {"rear", "", "", "", "", "", ""}}
	}
	s := Section{Title: "Loads on the wheels", Table: t}
	if in.Rack != nil && in.Rack.Rack != nil {
		s.Notes = append(s.Notes, "The rack is not in these loads.")
	}
	for _, w := range b.Wheels {
		if over := w.Over(); known && over > 0 {
			s.Notes = append(s.Notes, fmt.Sprintf("The %s wheel bears %.1f kg more than the plate or tyre allows, riders and all.", w.Name, over))
		}
	}
	return s
}

// of is a load, empty where it is not known.
func of(v *float64) string {
	if v == nil {
		return ""
	}
	return fmt.Sprintf("%.1f", *v)
}

func kg(v float64, u geom.Unit) string {
	if u == geom.Inch {
		return fmt.Sprintf("%.1f kg (%.1f lb)", v, v/geom.KilogramsPerPound)
	}
	return fmt.Sprintf("%.1f kg", v)
}

func (in Input) width(u geom.Unit) Section {
	what := "Boxes and posts"
	if len(in.metal()) > 0 {
		what = "Boxes, posts and rack"
	}
	s := Section{Title: "Width", Fields: []Field{{what + ", overall", ""}, {"reaching to the left of the middle", ""}, {"reaching to the right of the middle", ""}}}
	if in.Layout != nil {
		if reach, right, left := in.across(); !reach.IsEmpty() {
			length := func(mm float64) string { return geom.FormatLengthRounded(mm, u, geom.ToMore) }
			s.Fields[0].Value = length(reach.Length())
			s.Fields[1].Value = length(reach.Hi) + ", " + left
			s.Fields[2].Value = length(-reach.Lo) + ", " + right
		}
	}
	s.Fields = append(s.Fields, Field{"Vehicle at its widest: bar, mirrors, footrests", ""})
	return s
}

func (in Input) held() Section {
	t := &Table{Head: []string{"towards", "holds, g", "what gives first"}}
	s := Section{Title: "How the pack is held, in times its weight", Table: t}
	for _, l := range rackplan.Levels() {
		t.Head = append(t.Head, l.Rule)
		s.Notes = append(s.Notes, l.Rule+": "+l.About+".")
	}
	s.Notes = append(s.Notes, "None of these rules is about this vehicle. Reckoned until the first part gives, not tested.")
	if in.Rack != nil && len(in.Rack.Report.Loads.Directions) > 0 {
		_, rows := rackplan.Table(*in.Rack)
		for _, r := range rows {
			t.Rows = append(t.Rows, append([]string{r[0], r[1], r[2]}, r[4:]...)) // without what is in mm
		}
		if n := len(in.Rack.Report.Violations); n > 0 {
			s.Notes = append(s.Notes, fmt.Sprintf("The rack breaks rules that it is judged by, at %d places: rackwright check with --rack tells them.", n))
		}
		return s
	}
	for _, name := range []string{"forward", "rearward", "left", "right", "up", "down"} {
		row := []string{name, "", ""}
		for _, l := range rackplan.Levels() {
			row = append(row, level(l.G[name]))
		}
		t.Rows = append(t.Rows, row)
	}
	return s
}

func level(g float64) string {
	if g == 0 {
		return "-"
	}
	return fmt.Sprintf("%g", g)
}

func (in Input) electricity() Section {
	s := Section{Title: "Electricity", Fields: []Field{
		{"Batteries", ""},
		{"Nominal voltage", ""},
		{"Voltage at the end of charging", ""},
		{"Fuse", ""},
		{"Fuse: maker, type", ""},
		{"Main switch", ""},
		{"Main switch: maker, type, where", ""},
		{"Cable", ""},
		{"Charger: maker, type", ""},
	}}
	plan := in.Wiring
	if plan == nil {
		return s
	}
	w := plan.Wiring
	s.Fields[0].Value = fmt.Sprintf("%d in series", w.Series)
	switch {
	case w.Parallel > 1:
		s.Fields[0].Value += fmt.Sprintf(", each a group of %d in parallel", w.Parallel)
	case w.Strings > 1:
		s.Fields[0].Value += fmt.Sprintf(", %d such strings in parallel", w.Strings)
	}
	s.Fields[1].Value = fmt.Sprintf("%.4g V", plan.Volts)
	s.Fields[2].Value = fmt.Sprintf("%.4g V", plan.EndVolts)
	s.Fields[3].Value = fmt.Sprintf("%g A, for at least %.0f V DC", plan.Fuse, math.Ceil(plan.EndVolts))
	if w.Strings > 1 {
		s.Fields[3].Value = fmt.Sprintf("%d of ", w.Strings) + s.Fields[3].Value
	}
	s.Fields[5].Value = fmt.Sprintf("for at least %g A lasting and %.0f V DC", w.Amps, math.Ceil(plan.EndVolts))
	s.Fields[7].Value = fmt.Sprintf("%s, insulation for %d °C", plan.Cable, w.Around.Insulation)
	if len(w.Assumed) > 0 {
		s.Notes = append(s.Notes, "Taken for granted, for the pack file does not say: "+strings.Join(w.Assumed, "; ")+".")
	}
	if plan.EndVolts > wire.HazardousVolts {
		s.Notes = append(s.Notes, fmt.Sprintf("Above %d V DC at the end of charging (ISO 6469-3, from memory): hazardous voltage.", wire.HazardousVolts))
	}
	return s
}
