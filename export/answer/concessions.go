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

// conceded writes what would make it fit.
func (p printer) conceded(problem pack.Problem, c *whatif.Conceded) {
	if c == nil {
		return
	}
	p.line("\nWhat you said may change (removable rails, keep-outs with trim):")
	switch {
	case len(c.Fits) > 0:
		for i, fit := range c.Fits[:min(len(c.Fits), mostConcessions)] {
			p.line("  %d. %s", i+1, p.concession(problem, fit))
			lines := p.notches(fit)
			for _, line := range lines[:min(len(lines), mostNotches)] {
				p.line("     %s", line)
			}
			if more := len(lines) - mostNotches; more > 0 {
				p.line("     and %d more; the page and --json tell all.", more)
			}
			if fit.Surer != nil {
				p.line("     Sure from %s deep on: then %s.", p.more(fit.Surer.Depth()), SpareWords(fit.Surer.Report.Spare, p.unit))
			}
		}
		if more := len(c.Fits) - mostConcessions; more > 0 {
			p.line("  And %d more ways; the page and --json tell all.", more)
		}
		for _, caution := range ConcessionCautions(c.Fits) {
			p.line("  Caution: %s", caution)
		}
	case c.Hopeless:
		p.line("  Even all of it together does not help: this is proven.")
	case c.None:
		p.line("  The frame file names nothing of the kind that is in the way.")
	default:
		p.line("  Nothing was found that helps; that is not a proof.")
	}
	for _, why := range c.Refused {
		p.line("  Not tried: %s.", why)
	}
	for _, note := range c.Notes {
		p.line("  %s.", upper(note))
	}
	if len(c.Open) > 0 && len(c.Fits) > 0 {
		p.line("  Undecided: %s.", strings.Join(c.Open, "; "))
	}
}

func (p printer) concession(problem pack.Problem, c whatif.Concession) string {
	sure := "tight"
	switch {
	case c.Sure && frameExact(problem) && packExact(problem):
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

// changes writes what was tried of the pack.
func (p printer) changes(in Input) {
	if in.Changes == nil {
		return
	}
	p.line("\nTried besides:")
	if len(in.Changes) == 0 {
		p.line("  Nothing: the search was stopped before.")
	}
	var not []string
	for _, c := range in.Changes {
		r := c.Result
		switch {
		case r.Verdict.Fits() && in.Result.Verdict.Fits() && r.Spare <= in.Result.Spare+leastGain:
			not = append(not, c.What)
		case r.Verdict.Fits():
			p.line("  %s: it fits, %s%s.", upper(c.What), SpareWords(r.Spare, p.unit), caution(c))
		case r.Verdict == pack.ProvenNoFit:
			p.line("  %s: proven not to fit.", upper(c.What))
		default:
			not = append(not, c.What)
		}
	}
	if len(not) > 0 {
		p.line("  Nothing better was found with: %s.", strings.Join(not, "; "))
	}
}

func caution(c whatif.Change) string {
	if c.Caution == "" {
		return ""
	}
	return " – " + c.Caution
}
