package answer

import (
	"strings"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/outcome"
)

// The functions in this file put parts of the answer into words, in lengths of a unit, for
// outputs that are not printed text.

// VerdictLines are the verdict, the spare, and what is known of better layouts, one
// sentence or two each, the headline first.
func VerdictLines(in Input, u geom.Unit) []string { return printer{unit: u}.verdict(in) }

// HoldsWords say whether a layout that was given holds, and how sure that is.
func HoldsWords(problem pack.Problem, g outcome.Given, u geom.Unit) string {
	return strings.Join(printer{unit: u}.holds(problem, g), " ")
}

// SpareWords says what is to spare, never more than there is, or what a layout is
// short, never less than it is.
func SpareWords(mm float64, u geom.Unit) string {
	if mm < 0 {
		return LeftWords(mm, u)
	}
	return LeftWords(mm, u) + " to spare"
}

// LeftWords says what is left of a clearance, never more than there is, or what is short.
func LeftWords(mm float64, u geom.Unit) string {
	p := printer{unit: u}
	if mm < 0 {
		return p.short(-mm) + " short"
	}
	return p.spare(mm)
}

// StepWords says a step of an order. What is off for every step is left out.
func StepWords(s entry.Step, o entry.Order, u geom.Unit) string {
	return printer{unit: u}.step(s, o)
}
