package answer

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"rackwright/geom"
	"rackwright/pack"
)

// WriteCheck prints the judgement of a layout: what is wrong, then every relation,
// worst first.
func WriteCheck(w io.Writer, problem pack.Problem, l pack.Layout, r pack.Report) error {
	b := bufio.NewWriter(w)
	p := printer{b, problem.Pack.Unit}
	p.judgement(r)
	p.relations(r.Relations)
	p.places(problem, l, "the boxes")
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
	p.line("%s", p.holds(r))
}

// holds says whether a layout holds.
func (p printer) holds(r pack.Report) string {
	switch {
	case r.Holds():
		return fmt.Sprintf("The layout holds: %s to spare.", p.spare(r.Spare))
	case r.Spare < 0:
		return fmt.Sprintf("The layout does not hold: it is %s short.", p.short(-r.Spare))
	}
	return "The layout does not hold."
}

func (p printer) relations(all []pack.Relation) {
	p.line("\nEvery clearance in %s, worst first (left: clearance less gap; shortest: the shortest distance):", p.unitName())
	table := tabwriter.NewWriter(p, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(table, "left\tclearance\tgap\tshortest\t between\n")
	for _, r := range all {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t %s – %s\n", p.lessCell(r.Left), p.lessCell(r.Gap), p.moreCell(r.Required), p.lessCell(r.Distance), r.A, r.B)
	}
	table.Flush()
}

// lessCell is a length of a table that is not to be overstated, without its unit.
func (p printer) lessCell(mm float64) string {
	if p.unit == geom.Millimetre {
		return fmt.Sprintf("%.2f", math.Floor(mm*100+1e-6)/100+0)
	}
	return strings.TrimSuffix(p.down(mm), " in")
}

// moreCell is one that is not to be understated.
func (p printer) moreCell(mm float64) string {
	if p.unit == geom.Millimetre {
		return fmt.Sprintf("%.2f", math.Ceil(mm*100-1e-6)/100+0)
	}
	return strings.TrimSuffix(p.more(mm), " in")
}

// WriteInShort repeats whether a layout holds, for what was printed before may have left
// the screen.
func WriteInShort(w io.Writer, problem pack.Problem, r pack.Report, e Entry) error {
	p := printer{unit: problem.Pack.Unit}
	short := "the layout holds, " + SpareWords(r.Spare, p.unit)
	switch {
	case !r.Holds() && len(r.Faults) > 0:
		short = "the layout does not hold; its faults stand at the top"
	case !r.Holds():
		short = "the layout does not hold, " + SpareWords(r.Spare, p.unit)
	case !e.Holds():
		short = "the boxes have their clearances, but cannot be put in and connected as it is"
	}
	_, err := fmt.Fprintf(w, "\nIn short: %s.\n", short)
	return err
}
