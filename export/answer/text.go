package answer

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"rackwright/export"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/outcome"
)

// Write prints the answer on about one screen.
func Write(w io.Writer, in Input) error {
	b := bufio.NewWriter(w)
	p := printer{b, in.Problem.Pack.Unit}
	p.line("%s into %s", in.Problem.Pack.Name, in.Problem.Frame.Name)
	p.lines(p.verdict(in))
	p.lines(Crossing(in.Problem.Frame))
	if s := in.Result.Sure; s != nil && s.Layout > 0 {
		p.line("What follows is about layout 1; with --out all are written.")
	}
	if len(in.Result.Layouts) > 0 {
		p.tightest(in.Problem, in.Result.Layouts[0].Layout, in.Result.Layouts[0].Report)
		whose := "the boxes"
		if in.Result.Layouts[0].Report.Spare < 0 {
			whose = "the boxes of the nearest layout, which does not fit,"
		}
		show := in.Result.Layouts[0]
		if n := in.Result.Easiest(); n > 0 {
			show, whose = in.Result.Layouts[n], fmt.Sprintf("the boxes of layout %d, easiest to build,", n+1)
		}
		p.places(in.Problem, show.Layout, whose)
		p.order(show.Entry)
		p.balanced(in.Problem, show.Layout, whose)
		p.others(in)
	}
	for _, part := range p.advice(in) {
		p.part(part)
	}
	p.files("Written", in.Written)
	if in.Unmade {
		p.line("There was no time to make all files. rackwright report and rackwright mock make the page and the templates of a layout.")
	}
	p.files(Stale, in.Stale)
	p.cautions(in)
	return b.Flush()
}

// printer writes in a unit of length.
type printer struct {
	*bufio.Writer
	unit geom.Unit
}

func (p printer) line(format string, args ...any) { fmt.Fprintf(p, format+"\n", args...) }

func (p printer) lines(all []string) {
	for _, line := range all {
		p.line("%s", line)
	}
}

// spare writes what is to spare, never more than there is.
//
// What settling boxes into rows has cost, a millionth of a millimetre, does not cost a
// hundredth: layouts that tie would be told apart, the first with less.
func (p printer) spare(mm float64) string {
	if p.unit == geom.Millimetre {
		return p.lessCell(mm) + " mm"
	}
	return p.less(mm)
}

// settling in mm is what rounding takes from a length or adds to it, and settling boxes into rows.
const settling = 1e-6

// less says a length that is not to be overstated. One that there is, but is less than the
// smallest that is told, is not called nothing.
func (p printer) less(mm float64) string {
	const none = 0.005 // mm: what is 0.00 where two decimals are told
	least := 0.1       // mm
	if p.unit == geom.Inch {
		least = p.grain()
	}
	if mm >= none && mm < least-settling {
		return "less than " + p.length(least)
	}
	return p.down(mm)
}

func (p printer) down(mm float64) string { return export.AtMost(mm, p.unit) }

// short writes what is missing, never less than is.
func (p printer) short(mm float64) string {
	switch {
	case mm > 0 && mm <= settling && p.unit == geom.Millimetre:
		return "less than 0.01 mm"
	case p.unit == geom.Millimetre:
		return p.moreCell(mm) + " mm"
	}
	return export.AtLeast(mm, p.unit)
}

// verdict is the verdict, the spare, and what is known of better layouts, a sentence or two
// each, the headline first.
func (p printer) verdict(in Input) []string {
	r := in.Result
	lines := append(p.headline(in), Doubts(in.Problem)...)
	lines = append(lines, p.untrusted(in.Problem.Frame)...)
	lines = append(lines, p.common(in)...)
	lines = append(lines, p.nearest(r)...)
	lines = append(lines, p.bound(r))
	if only := in.Problem.Restrictions(); only != "" {
		lines = append(lines, "All of this, what is proven too, is "+only+".")
	}
	lines = append(lines, p.rackRoom(in)...)
	lines = append(lines, p.barred(r.Barred)...)
	if r.AnyEntry {
		lines = append(lines, "Whether the boxes can be put in was not asked for (--entry any).")
	}
	if p.unit == geom.Inch {
		lines = append(lines, export.InchRounding)
	}
	return lines
}

// headline is whether it fits, and how sure that is.
func (p printer) headline(in Input) []string {
	r := in.Result
	switch r.Verdict {
	case pack.Sure:
		return append(p.sure(in), unsaid(in.Problem)...)
	case pack.Fits:
		line := fmt.Sprintf("It fits, as measured: %s to spare. How sure that is was not found out.", p.spare(r.Spare))
		return append([]string{line}, unsaid(in.Problem)...)
	case pack.Tight:
		line := fmt.Sprintf("It fits, but tight: %s to spare as measured, %s.", p.spare(r.Spare), notAtWorst(in))
		lines := append([]string{line}, unsaid(in.Problem)...)
		if r.Sure.Exact {
			return lines
		}
		return append(lines, "Measure again what is tightest before you trust it.")
	case pack.ProvenNoFit:
		lines := []string{"It does not fit. This is proven: no arrangement of the allowed stands, turns and tilts goes in."}
		if r.Spare >= 0 { // the boxes would have room, but no way to it
			lines = []string{"It cannot be put in and connected by straight moves: this is proven. Turning a box on its way in is not looked at; naming a side open in the frame file, or taking something off, may help."}
		}
		if r.Reason != "" {
			lines = append(lines, fmt.Sprintf("Why: %s.", r.Reason))
		}
		return lines
	}
	return p.noFit(in)
}

// sure says which layout is sure, where that is not the one with most to spare.
func (p printer) sure(in Input) []string {
	spare := p.spare(in.Result.Spare)
	s := in.Result.Sure
	if s.Layout == 0 {
		return []string{fmt.Sprintf("It fits, for sure: %s to spare, and still fits with every measurement at its worst%s.", spare, whereSure(*s))}
	}
	return []string{
		fmt.Sprintf("It fits, for sure as layout %d, which still fits with every measurement at its worst%s.", s.Layout+1, whereSure(*s)),
		fmt.Sprintf("Layout 1 has more to spare as measured, %s, but does not fit with everything at its worst.", spare),
	}
}

// whereSure says that boxes have to be moved to fit at the worst, where they have.
func whereSure(s outcome.Sureness) string {
	if s.Stands {
		return ""
	}
	return ", its boxes moved a little then"
}

// unsaid says which files give no accuracy: their worst is no worse than what was measured.
func unsaid(problem pack.Problem) []string {
	const so = "count as exact. Give an accuracy before you trust this."
	switch onFrame, onPack := frameExact(problem), packExact(problem); {
	case onFrame && onPack:
		return []string{"Neither file says how far a measurement may be off (accuracy): all " + so}
	case onFrame:
		return []string{"The frame file does not say how far its measurements may be off (accuracy): they " + so}
	case onPack:
		return []string{"The pack file does not say how far the sizes of boxes may be off (accuracy): they " + so}
	}
	return nil
}

func frameExact(p pack.Problem) bool { return p.Frame.GreatestAccuracy() == 0 }

func packExact(p pack.Problem) bool {
	return !anyKind(p.Pack, func(k pack.Kind) bool { return k.Accuracy > 0 })
}

// notAtWorst says what is known of the worst case of a tight fit.
func notAtWorst(in Input) string {
	if in.Result.Sure.Exact {
		return "and no accuracy is given to say how sure that is"
	}
	if !in.Result.Sure.ProvenTight {
		return "and no layout was found that still fits with every measurement at its worst"
	}
	return "not with every measurement at its worst"
}

func (p printer) noFit(in Input) []string {
	r, found := in.Result, "No fit found."
	switch {
	case r.Spare < 0 && in.Rack != nil && in.Rack.Proven:
		return []string{"No layout has room for a rack of the kind that is made here. Whether all goes in without one is another question: run fit without --rack."}
	case r.Spare < 0 && in.Rack != nil:
		found = "No fit found that keeps room for a rack. Without --rack there may be one."
	case r.Spare >= 0 && r.Layouts[0].Entry.Unknown:
		found = fmt.Sprintf("No fit found of which it is known that it can be put in and connected: there was no time to find out. What was found has %s to spare.", p.spare(r.Spare))
	case r.Spare >= 0:
		found = fmt.Sprintf("No fit found that can be put in and connected. What was found has %s to spare.", p.spare(r.Spare))
	}
	return []string{found, "That is not a proof that there is none."}
}

func (p printer) nearest(r outcome.Result) []string {
	if r.Spare < 0 && len(r.Layouts) > 0 {
		return []string{fmt.Sprintf("The nearest layout is %s short.", p.short(-r.Spare))}
	}
	return nil
}

func (p printer) bound(r outcome.Result) string {
	stopped := map[outcome.Stop]string{outcome.Time: " The time ran out", outcome.Interrupted: " The search was stopped"}[r.Stopped]
	which := ""
	if r.Entering {
		which = " that goes in"
	}
	switch {
	case r.Verdict == pack.ProvenNoFit && r.Spare >= 0:
		return fmt.Sprintf("What is told of below fits, with %s to spare, but is no answer.", p.spare(r.Spare))
	case r.Proven && r.Spare >= 0:
		return fmt.Sprintf("No other layout%s has more to spare: this is proven.", which)
	case r.Bound < 0 && r.Bound-r.Spare <= outcome.Closed:
		return "No layout comes nearer."
	case r.Bound < 0 && p.unit == geom.Inch && -r.Bound < p.grain():
		return "Every layout is short, if only by a little." + closing(stopped)
	case r.Bound < 0:
		return fmt.Sprintf("Every layout is at least %s short.%s", p.spare(-r.Bound), closing(stopped))
	case math.IsInf(r.Bound, 1):
		return "How much better another layout could be is not known." + closing(stopped)
	}
	return fmt.Sprintf("More than %s to spare is not possible%s; whether there is a layout in between is not known.%s", p.short(r.Bound), forLayouts(which), closing(stopped))
}

// forLayouts says of which layouts something is said, where it is not of all.
func forLayouts(which string) string {
	if which == "" {
		return ""
	}
	return " for a layout" + which
}

func closing(stopped string) string {
	if stopped == "" {
		return ""
	}
	return stopped + "; --time allows more."
}

// listed is how many of the tightest relations are shown.
const listed = 3

func (p printer) tightest(problem pack.Problem, l pack.Layout, r pack.Report) {
	p.line("\nTightest (clearance: what there is; gap: what there has to be):")
	for _, rel := range r.Relations[:min(listed, len(r.Relations))] {
		p.line("  %s", p.relationAt(rel, at(problem, l, rel)))
	}
}

func (p printer) relation(r pack.Relation) string { return p.relationAt(r, "") }

// relationAt is relation, with words for where its second part is.
func (p printer) relationAt(r pack.Relation, where string) string {
	there := "clearance " + p.down(r.Gap)
	if r.Gap < 0 {
		there = "overlap " + p.more(-r.Gap)
	}
	return fmt.Sprintf("%s – %s%s: %s, gap %s", r.A, r.B, where, there, p.more(r.Required))
}

// unitName is the unit as a word of a sentence.
func (p printer) unitName() string {
	if p.unit == geom.Inch {
		return "inches"
	}
	return p.unit.String()
}

func (p printer) places(problem pack.Problem, l pack.Layout, whose string) {
	p.line("\nWhere %s go, in %s (lowest point above the floor, nearest point to the rear, reach from the middle):", whose, p.unitName())
	table := tabwriter.NewWriter(p, 0, 0, 2, ' ', 0)
	for _, at := range l.Placements {
		place, err := PlaceOf(problem, at)
		if err != nil {
			continue // the judge has named it as a fault
		}
		fmt.Fprintf(table, "  %s\t%s\t%s\n", at.Part(), place.columns(p), StandWords(at.Orientation))
	}
	table.Flush()
}

func (p printer) others(in Input) {
	var others []string
	for n, l := range in.Result.Layouts[1:] {
		text := p.spare(max(l.Report.Spare, 0)) + " to spare"
		if l.Report.Spare < 0 {
			text = p.short(-l.Report.Spare) + " short"
		}
		if len(l.Why) > 0 {
			text = fmt.Sprintf("layout %d, %s, %s", n+2, WhyWords(l.Why), text)
		}
		others = append(others, text)
	}
	if len(others) > 0 {
		p.line("\nOther layouts found: %s.", strings.Join(others, "; "))
	}
}

func (p printer) cautions(in Input) {
	p.line("\nCautions:")
	for _, c := range Cautions(in.Problem.Pack) {
		p.line("  - %s", c)
	}
	if len(in.Result.Layouts) == 0 {
		return
	}
	if names := TurnedOver(in.Problem.Pack, in.Result.Layouts[0].Layout); len(names) > 0 {
		p.line("  - %s: upside down, which makers of batteries advise against.", strings.Join(names, ", "))
	}
}
