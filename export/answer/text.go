package answer

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/search"
)

// Write prints the answer on about one screen.
func Write(w io.Writer, in Input) error {
	b := bufio.NewWriter(w)
	p := printer{b, in.Problem.Pack.Unit}
	p.verdict(in)
	if len(in.Result.Layouts) > 0 {
		p.tightest(in.Result.Layouts[0].Report)
		p.places(in.Problem, in.Result.Layouts[0].Layout)
		p.order(in.Result.Layouts[0].Entry)
		p.others(in)
	}
	p.advice(in)
	p.written(in.Written)
	p.cautions(in)
	return b.Flush()
}

// printer writes in a unit of length.
type printer struct {
	*bufio.Writer
	unit geom.Unit
}

func (p printer) line(format string, args ...any) { fmt.Fprintf(p, format+"\n", args...) }

// spare writes what is to spare, never more than there is.
func (p printer) spare(mm float64) string {
	if p.unit == geom.Millimetre {
		return fmt.Sprintf("%.2f mm", math.Floor(mm*100+1e-6)/100)
	}
	return geom.FormatLengthRounded(mm, p.unit, geom.ToLess)
}

// short writes what is missing, never less than is.
func (p printer) short(mm float64) string {
	if p.unit == geom.Millimetre {
		return fmt.Sprintf("%.2f mm", math.Ceil(mm*100-1e-6)/100)
	}
	return geom.FormatLengthRounded(mm, p.unit, geom.ToMore)
}

func (p printer) verdict(in Input) {
	r := in.Result
	p.line("%s into %s", in.Problem.Pack.Name, in.Problem.Frame.Name)
	switch r.Verdict {
	case pack.Sure:
		p.line("It fits, for sure: %s to spare, and still fits with every measurement at its worst.", p.spare(r.Spare))
	case pack.Tight:
		p.line("It fits, but tight: %s to spare as measured, %s.", p.spare(r.Spare), notAtWorst(in))
		p.line("Measure again what is tightest before you trust it.")
	case pack.ProvenNoFit:
		p.line("It does not fit. This is proven: no arrangement of the allowed stands, turns and tilts goes in.")
		if r.Reason != "" {
			p.line("Why: %s.", r.Reason)
		}
	default:
		p.noFit(r)
	}
	p.common(in)
	p.nearest(r)
	p.bound(r)
	p.barred(r.Barred)
	if in.AnyEntry {
		p.line("Whether the boxes can be put in was not asked for (--entry any).")
	}
	if p.unit == geom.Inch {
		p.line("Inches are rounded to 1/16 to the safe side.")
	}
}

// notAtWorst says what is known of the worst case of a tight fit.
func notAtWorst(in Input) string {
	if in.Sure != nil && !in.Sure.ProvenTight {
		return "and no layout was found that still fits with every measurement at its worst"
	}
	return "not with every measurement at its worst"
}

func (p printer) noFit(r search.Result) {
	if r.Spare >= 0 {
		p.line("No fit found that can be put in and connected. What was found has %s to spare.", p.spare(r.Spare))
	} else {
		p.line("No fit found.")
	}
	p.line("That is not a proof that there is none.")
}

func (p printer) nearest(r search.Result) {
	if r.Spare < 0 && len(r.Layouts) > 0 {
		p.line("The nearest layout is %s short.", p.short(-r.Spare))
	}
}

func (p printer) bound(r search.Result) {
	stopped := map[search.Stop]string{search.Time: " The time ran out", search.Interrupted: " The search was stopped"}[r.Stopped]
	switch {
	case r.Proven && r.Spare >= 0:
		p.line("No other layout has more to spare: this is proven.")
	case r.Bound < 0 && r.Bound-r.Spare <= search.Closed:
		p.line("No layout comes nearer.")
	case r.Bound < 0:
		p.line("Every layout is at least %s short.%s", p.spare(-r.Bound), closing(stopped))
	case math.IsInf(r.Bound, 1):
		p.line("How much better another layout could be is not known.%s", closing(stopped))
	default:
		p.line("More than %s to spare is not possible; whether there is a layout in between is not known.%s", p.short(r.Bound), closing(stopped))
	}
}

func closing(stopped string) string {
	if stopped == "" {
		return ""
	}
	return stopped + "; --time allows more."
}

// listed is how many of the tightest relations are shown.
const listed = 3

func (p printer) tightest(r pack.Report) {
	p.line("\nTightest:")
	for _, rel := range r.Relations[:min(listed, len(r.Relations))] {
		p.line("  %s", p.relation(rel))
	}
}

func (p printer) relation(r pack.Relation) string {
	if p.unit == geom.Millimetre {
		return fmt.Sprintf("%s – %s: %.1f of %.4g mm", r.A, r.B, math.Floor(r.Gap*10+1e-6)/10, r.Required)
	}
	return fmt.Sprintf("%s – %s: %s of %s", r.A, r.B, geom.FormatLengthRounded(r.Gap, p.unit, geom.ToLess), geom.FormatLengthRounded(r.Required, p.unit, geom.ToMore))
}

func (p printer) places(problem pack.Problem, l pack.Layout) {
	p.line("\nWhere the boxes go (lowest point above the floor, nearest point to the rear of the opening):")
	table := tabwriter.NewWriter(p, 0, 0, 2, ' ', 0)
	for _, at := range l.Placements {
		place, err := PlaceOf(problem, at)
		if err != nil {
			continue // the judge has named it as a fault
		}
		fmt.Fprintf(table, "  %s\t%s\t%s\n", pack.Part{Box: at.Box, Number: at.Number}, place.words(p.unit), StandWords(at.Orientation))
	}
	table.Flush()
}

func (p printer) others(in Input) {
	var others []string
	for _, l := range in.Result.Layouts[1:] {
		if l.Report.Spare < 0 {
			others = append(others, p.short(-l.Report.Spare)+" short")
		} else {
			others = append(others, p.spare(l.Report.Spare)+" to spare")
		}
	}
	if len(others) > 0 {
		p.line("\nOther layouts found: %s.", strings.Join(others, ", "))
	}
}

func (p printer) written(paths []string) {
	if len(paths) == 0 {
		return
	}
	var folders []string
	names := map[string][]string{}
	for _, path := range paths {
		dir := filepath.Dir(path)
		if !slices.Contains(folders, dir) {
			folders = append(folders, dir)
		}
		names[dir] = append(names[dir], strings.Trim(strconv.Quote(filepath.Base(path)), `"`))
	}
	for _, dir := range folders {
		p.line("\nWritten to %q:", dir)
		p.wrapped(names[dir])
	}
}

// columns is how many letters a line of names has at most.
const columns = 96

// wrapped writes words with commas between them on as many lines as they take.
func (p printer) wrapped(words []string) {
	line := ""
	for i, w := range words {
		if i < len(words)-1 {
			w += ","
		}
		if line != "" && len(line)+1+len(w) > columns {
			p.line("  %s", line)
			line = ""
		}
		line = strings.TrimPrefix(line+" "+w, " ")
	}
	p.line("  %s", line)
}

func (p printer) cautions(in Input) {
	p.line("\nCautions:")
	for _, c := range Cautions(in.Problem.Pack) {
		p.line("  - %s", c)
	}
	if len(in.Result.Layouts) == 0 {
		return
	}
	if names := turnedOver(in.Problem.Pack, in.Result.Layouts[0].Layout); len(names) > 0 {
		p.line("  - %s: upside down, which makers of batteries advise against.", strings.Join(names, ", "))
	}
}

// WriteCheck prints the judgement of a layout: what is wrong, then every relation,
// worst first.
func WriteCheck(w io.Writer, problem pack.Problem, l pack.Layout, r pack.Report) error {
	b := bufio.NewWriter(w)
	p := printer{b, problem.Pack.Unit}
	p.judgement(r)
	p.relations(r.Relations)
	p.places(problem, l)
	return b.Flush()
}

// judgement tells what is wrong with a layout, and whether it holds.
func (p printer) judgement(r pack.Report) {
	for _, f := range r.Warnings {
		p.line("Note: %s", f.Text)
	}
	for _, f := range r.Faults {
		p.line("Fault: %s", f.Text)
	}
	switch {
	case r.Holds():
		p.line("The layout holds: %s to spare.", p.spare(r.Spare))
	case r.Spare < 0:
		p.line("The layout does not hold: it is %s short.", p.short(-r.Spare))
	default:
		p.line("The layout does not hold.")
	}
}

func (p printer) relations(all []pack.Relation) {
	p.line("")
	table := tabwriter.NewWriter(p, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(table, "left\tclearance\tgap\tshortest\t between\n")
	for _, r := range all {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t %s – %s\n", p.cell(r.Left), p.cell(r.Gap), p.cell(r.Required), p.cell(r.Distance), r.A, r.B)
	}
	table.Flush()
}

func (p printer) cell(mm float64) string {
	if p.unit == geom.Millimetre {
		return fmt.Sprintf("%.2f", mm)
	}
	return geom.FormatLengthRounded(mm, p.unit, geom.ToLess)
}
