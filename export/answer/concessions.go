package answer

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"

	"rackwright/export"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/whatif"
)

// Cautions that go with concessions.
const (
	cautionRail = "A tube that comes off for good carried load: someone qualified has to say what takes its place before anyone rides."
	cautionCut  = "What is notched may carry load: someone qualified has to say whether it may be cut. A tank that has held fuel can explode when it is cut, drilled or welded, even when it is empty: use another shell, or leave it to a specialist."
)

// ConcessionCautions are the cautions that go with some concessions, each once.
func ConcessionCautions(fits []whatif.Concession) []string {
	var list []string
	if slices.ContainsFunc(fits, func(c whatif.Concession) bool { return len(c.Off) > 0 }) {
		list = append(list, cautionRail)
	}
	if slices.ContainsFunc(fits, func(c whatif.Concession) bool { return len(c.Notches) > 0 }) {
		list = append(list, cautionCut)
	}
	return list
}

// How much of the concessions the printed answer tells, so that it stays on one screen.
const (
	mostConcessions = 3
	mostNotches     = 4
)

// conceded is what would make it fit.
func (p printer) conceded(problem pack.Problem, c *whatif.Conceded) []Part {
	if c == nil {
		return nil
	}
	part := Part{Title: "What you said may change (removable rails, keep-outs with trim)"}
	say := func(format string, args ...any) {
		part.Lines = append(part.Lines, plain(fmt.Sprintf(format, args...))...)
	}
	switch {
	case len(c.Fits) > 0:
		part.Lines = p.fits(problem, c.Fits)
	case c.Hopeless:
		say("Even all of it together does not help: this is proven.")
	case c.None:
		say("The frame file names nothing of the kind that is in the way.")
	default:
		say("Nothing was found that helps; that is not a proof.")
	}
	for _, why := range c.Refused {
		say("Not tried: %s.", why)
	}
	for _, note := range c.Notes {
		say("%s.", upper(note))
	}
	if len(c.Open) > 0 && len(c.Fits) > 0 {
		say("Undecided: %s.", strings.Join(c.Open, "; "))
	}
	return []Part{part}
}

// fits are the first concessions with which it fits, and the cautions that go with all.
func (p printer) fits(problem pack.Problem, fits []whatif.Concession) []Line {
	var lines []Line
	for i, fit := range fits[:min(len(fits), mostConcessions)] {
		lines = append(lines, Line{Number: i + 1, Text: p.concession(problem, fit), Under: p.under(fit)})
	}
	if more := len(fits) - mostConcessions; more > 0 {
		lines = append(lines, plain(fmt.Sprintf("And %d more ways; the page and --json tell all.", more))...)
	}
	for _, caution := range ConcessionCautions(fits) {
		lines = append(lines, plain("Caution: "+caution)...)
	}
	return lines
}

// under is what is told of one concession: its notches, and how deep it is sure.
func (p printer) under(c whatif.Concession) []string {
	lines := p.notches(c)
	if more := len(lines) - mostNotches; more > 0 {
		lines = append(lines[:mostNotches:mostNotches], fmt.Sprintf("and %d more; the page and --json tell all.", more))
	}
	if c.Surer != nil {
		lines = append(lines, fmt.Sprintf("Sure from %s deep on: then %s.", p.more(c.Surer.Depth()), SpareWords(c.Surer.Report.Spare, p.unit)))
	}
	return lines
}

func (p printer) concession(problem pack.Problem, c whatif.Concession) string {
	sure := "tight"
	switch {
	case !problem.GivesAccuracy():
		sure = "as measured"
	case c.Sure:
		sure = "sure"
	}
	return fmt.Sprintf("%s: it fits, %s, %s.", strings.Join(p.used(c), " and "), sure, SpareWords(c.Report.Spare, p.unit))
}

// used are the changes of a concession: what comes off, and what is notched how deep.
func (p printer) used(c whatif.Concession) []string {
	var changes []string
	for _, name := range c.Off {
		changes = append(changes, name+" off for good")
	}
	for _, name := range c.Names() {
		if slices.Contains(c.Off, name) {
			continue
		}
		depth := 0.0
		for _, n := range c.Notches {
			if n.KeepOut == name {
				depth = max(depth, n.Depth)
			}
		}
		changes = append(changes, fmt.Sprintf("%s notched %s deep", name, p.more(depth)))
	}
	return changes
}

// notches says how large each notch is and where it lies.
func (p printer) notches(c whatif.Concession) []string {
	var lines []string
	several := len(c.Names()) > len(c.Off)+1
	for _, n := range c.Notches {
		of := n.For.String()
		if several {
			of += ", in " + n.KeepOut
		}
		lines = append(lines, p.notch(n, of))
	}
	return lines
}

// WriteTaken writes with which concession a layout would hold that does not by itself.
func WriteTaken(w io.Writer, problem pack.Problem, c whatif.Concession) error {
	b := bufio.NewWriter(w)
	p := printer{b, problem.Pack.Unit}
	p.line("\n%s", TakenWords(c, p.unit))
	for _, line := range p.notches(c) {
		p.line("  %s", line)
	}
	for _, caution := range ConcessionCautions([]whatif.Concession{c}) {
		p.line("Caution: %s", caution)
	}
	return b.Flush()
}

// TakenWords says with which changes a layout would hold, and what it would have to spare.
func TakenWords(c whatif.Concession, u geom.Unit) string {
	return fmt.Sprintf("It would hold with %s: %s.", strings.Join(printer{unit: u}.used(c), " and "), SpareWords(c.Report.Spare, u))
}

// ConcessionLines are the changes of a concession in lengths of a unit, then its notches.
func ConcessionLines(c whatif.Concession, u geom.Unit) []string {
	p := printer{unit: u}
	return append(p.used(c), p.notches(c)...)
}

// notch says how large a notch is and where its low corner lies.
func (p printer) notch(n whatif.Notch, of string) string {
	size := n.Size()
	low, _ := n.Corners()
	return fmt.Sprintf("cut for %s: %s long, %s wide, %s high (%.0f cm³), its low corner at x %s, y %s, z %s", of,
		p.more(size.X), p.more(size.Y), p.more(size.Z), n.Volume()/1000,
		p.length(low.X), p.length(low.Y), p.length(low.Z))
}

// more is a length rounded up.
func (p printer) more(mm float64) string { return export.AtLeast(mm, p.unit) }

// changes is what was tried of the pack.
func (p printer) changes(in Input) []Part {
	if in.Changes == nil {
		return nil
	}
	var lines, not []string
	if len(in.Changes) == 0 {
		lines = append(lines, "Nothing: the search was stopped before.")
	}
	for _, c := range in.Changes {
		r := c.Result
		switch {
		case r.Verdict.Fits() && in.Result.Verdict.Fits() && r.Spare <= in.Result.Spare+leastGain:
			not = append(not, c.What)
		case r.Verdict.Fits():
			lines = append(lines, fmt.Sprintf("%s: it fits, %s%s.", upper(c.What), SpareWords(r.Spare, p.unit), caution(c)))
		case r.Verdict == pack.ProvenNoFit:
			lines = append(lines, fmt.Sprintf("%s: proven not to fit.", upper(c.What)))
		default:
			not = append(not, c.What)
		}
	}
	if len(not) > 0 {
		lines = append(lines, fmt.Sprintf("Nothing better was found with: %s.", strings.Join(not, "; ")))
	}
	return []Part{{Title: "Tried besides", Lines: plain(lines...)}}
}

func caution(c whatif.Change) string {
	if c.Caution == "" {
		return ""
	}
	return " – " + c.Caution
}
