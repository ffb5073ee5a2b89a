package answer

import (
	"bufio"
	"bytes"
	"strconv"
	"strings"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
)

// The functions in this file give parts of the answer, in lengths of a unit, to outputs
// that are not printed text.

// VerdictLines are the verdict, the spare, and what is known of better layouts, one
// sentence or two each, the headline first. Names are left out.
func VerdictLines(in Input, u geom.Unit) []string {
	return linesOf(u, func(p printer) { p.verdict(in) })[1:]
}

// Advice is a part of what follows from a result: what decides, what would help, what
// would make it fit.
type Advice struct {
	Title string
	Lines []string
}

// AdviceParts are all parts of what follows from a result, in lengths of a unit.
func AdviceParts(in Input, u geom.Unit) []Advice {
	var parts []Advice
	for _, line := range linesOf(u, func(p printer) { p.advice(in) }) {
		text := strings.TrimSpace(line)
		switch {
		case text == "":
		case !strings.HasPrefix(line, " "):
			parts = append(parts, Advice{Title: strings.TrimSuffix(text, ":")})
		case len(parts) > 0:
			last := &parts[len(parts)-1]
			last.Lines = append(last.Lines, unnumbered(text))
		}
	}
	return parts
}

// unnumbered is a line without the number that it has in print.
func unnumbered(line string) string {
	number, rest, ok := strings.Cut(line, ". ")
	if _, err := strconv.Atoi(number); ok && err == nil {
		return rest
	}
	return line
}

// CheckLines are the faults and warnings of a layout that was given, and whether it
// holds.
func CheckLines(r pack.Report, u geom.Unit) []string {
	return linesOf(u, func(p printer) { p.judgement(r) })
}

func linesOf(u geom.Unit, write func(printer)) []string {
	var text bytes.Buffer
	b := bufio.NewWriter(&text)
	write(printer{b, u})
	b.Flush() // into memory: cannot fail
	return strings.Split(strings.TrimRight(text.String(), "\n"), "\n")
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
