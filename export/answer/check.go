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
	"rackwright/pack/outcome"
)

// WriteCheck prints the judgement of a layout: what is wrong, then every relation,
// worst first.
func WriteCheck(w io.Writer, problem pack.Problem, l pack.Layout, g outcome.Given) error {
	b := bufio.NewWriter(w)
	p := printer{b, problem.Pack.Unit}
	p.judgement(problem, g)
	if words := numberCovered(problem, l); words != "" {
		p.line("Note: %s", words)
	}
	p.relations(problem, l, g.Report.Relations)
	p.places(problem, l, "the boxes")
	return b.Flush()
}

// judgement tells what is wrong with a layout, and whether it holds.
func (p printer) judgement(problem pack.Problem, g outcome.Given) {
	for _, f := range g.Report.Warnings {
		p.line("Note: %s", f.Text)
	}
	for _, f := range g.Report.Faults {
		p.line("Fault: %s", f.Text)
	}
	p.lines(p.holds(problem, g))
	p.lines(Crossing(problem.Frame))
}

// holds says whether a layout holds, and how sure that is, of its boxes as they stand, and
// whether the frame can be trusted.
func (p printer) holds(problem pack.Problem, g outcome.Given) []string {
	return append(append(p.held(problem, g), Doubts(problem)...), p.untrusted(problem.Frame)...)
}

func (p printer) held(problem pack.Problem, g outcome.Given) []string {
	spare := p.spare(g.Report.Spare)
	switch {
	case !g.Holds() && g.Report.Spare < 0:
		return []string{fmt.Sprintf("The layout does not hold: it is %s short.", p.short(-g.Report.Spare))}
	case !g.Holds():
		return []string{"The layout does not hold."}
	case g.Exact:
		return append([]string{fmt.Sprintf("The layout holds, as measured: %s to spare.", spare)}, unsaid(problem)...)
	case g.Sure():
		line := fmt.Sprintf("The layout holds, for sure: %s to spare, and with every measurement at its worst it still holds, no box moved.", spare)
		return append([]string{line}, unsaid(problem)...)
	}
	line := fmt.Sprintf("The layout holds, but tight: %s to spare as measured; with every measurement at its worst it is %s short where its boxes stand", spare, p.short(-g.Worst.Spare))
	if g.Moved {
		line += "; moved a little they would have their gaps"
	}
	return append([]string{line + "."}, unsaid(problem)...)
}

// relations lists what is clear between all parts. Of the tightest with a part that moves it says
// where that part then is.
func (p printer) relations(problem pack.Problem, l pack.Layout, all []pack.Relation) {
	told := map[string]bool{}
	p.line("\nEvery clearance in %s, worst first (left: clearance less gap; shortest: the shortest distance):", p.unitName())
	table := tabwriter.NewWriter(p, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(table, "left\tclearance\tgap\tshortest\t between\n")
	for _, r := range all {
		where := ""
		if !told[r.B.Obstacle] {
			told[r.B.Obstacle] = true
			where = at(problem, l, r)
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t %s – %s%s\n", p.lessCell(r.Left), p.lessCell(r.Gap), p.moreCell(r.Required), p.lessCell(r.Distance), r.A, r.B, where)
	}
	table.Flush()
}

// at says where a part that moves is nearest, for what follows its name.
func at(problem pack.Problem, l pack.Layout, r pack.Relation) string {
	if where, moves := problem.Position(l, r); moves {
		return " at " + where
	}
	return ""
}

// lessCell is a length of a table that is not to be overstated, without its unit.
func (p printer) lessCell(mm float64) string {
	if p.unit == geom.Millimetre {
		return fmt.Sprintf("%.2f", math.Floor((mm+settling)*100)/100+0)
	}
	return strings.TrimSuffix(p.down(mm), " in")
}

// moreCell is one that is not to be understated.
func (p printer) moreCell(mm float64) string {
	if p.unit == geom.Millimetre {
		return fmt.Sprintf("%.2f", math.Ceil((mm-settling)*100)/100+0)
	}
	return strings.TrimSuffix(p.more(mm), " in")
}

// WriteInShort repeats whether a layout holds, for what was printed before may have left
// the screen.
func WriteInShort(w io.Writer, problem pack.Problem, g outcome.Given, e Entry) error {
	spare := SpareWords(g.Report.Spare, problem.Pack.Unit)
	short := "the layout holds, but tight, " + spare
	switch {
	case !g.Holds() && len(g.Report.Faults) > 0:
		short = "the layout does not hold; its faults stand at the top"
	case !g.Holds():
		short = "the layout does not hold, " + spare
	case !e.Holds():
		short = "the boxes have their clearances, but cannot be put in and connected as it is"
	case g.Exact:
		short = "the layout holds, as measured, " + spare
	case g.Sure():
		short = "the layout holds, for sure, " + spare
	}
	_, err := fmt.Fprintf(w, "\nIn short: %s.\n", short)
	return err
}
