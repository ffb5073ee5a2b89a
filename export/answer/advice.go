package answer

import "rackwright/geom"

// Part is a part of what follows from a result: what decides, what would help, what would make
// it fit. Print and page each set it out in their own way.
type Part struct {
	Title string // a sentence by itself where there are no lines
	Lines []Line
}

// Line is a line of a part, and what belongs to it.
type Line struct {
	Number int // from 1 where the lines are counted, else 0
	Text   string
	Under  []string
}

// plain are lines that are not counted.
func plain(texts ...string) []Line {
	var lines []Line
	for _, text := range texts {
		lines = append(lines, Line{Text: text})
	}
	return lines
}

// Advice are all parts of what follows from a result, in lengths of a unit. The same parts and
// lines are there in every unit.
func Advice(in Input, u geom.Unit) []Part { return printer{unit: u}.advice(in) }

func (p printer) advice(in Input) []Part {
	parts := append(covered(in), p.built(in)...)
	if in.Limit != nil && len(in.Result.Layouts) > 0 {
		if words, ok := p.moved(in.Result.Spare, in.Limit); ok {
			parts = append(parts, Part{Title: words + ", but then tools may lack room over posts, or a box its way in: the rest of this tells of the boxes moved so."})
		}
	}
	parts = append(parts, p.limits(in.Problem, in.Limit)...)
	parts = append(parts, p.eased(in)...)
	parts = append(parts, p.conceded(in.Problem, in.Conceded)...)
	return append(parts, p.changes(in)...)
}

// part prints a part after an empty line.
func (p printer) part(part Part) {
	if len(part.Lines) == 0 {
		p.line("\n%s", part.Title)
		return
	}
	p.line("\n%s:", part.Title)
	for _, line := range part.Lines {
		if line.Number > 0 {
			p.line("  %d. %s", line.Number, line.Text)
		} else {
			p.line("  %s", line.Text)
		}
		for _, under := range line.Under {
			p.line("     %s", under)
		}
	}
}
