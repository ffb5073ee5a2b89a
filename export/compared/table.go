package compared

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"text/tabwriter"

	"rackwright/export/answer"
	"rackwright/pack/balance"
	"rackwright/pack/compare"
)

// Remark is said with every comparison.
const Remark = "Sizes of a catalogue are not those of the real thing: before you buy, measure one or ask for its drawing, and hold a mock-up of it in the frame (rackwright mock)."

// WriteTable prints the comparison in words.
func (c Comparison) WriteTable(w io.Writer) error {
	lines, err := c.lines()
	if err != nil {
		return err
	}
	b := bufio.NewWriter(w)
	for _, text := range c.headline(lines) {
		fmt.Fprintln(b, text)
	}
	best := slices.IndexFunc(lines, func(l line) bool { return l.rank() > 0 })
	if best < 0 {
		best = len(lines)
	}
	rest := slices.IndexFunc(lines, func(l line) bool { return l.rank() > 2 })
	if rest < 0 {
		rest = len(lines)
	}
	c.table(b, "These go in, and no other beats them in everything:", lines[:best])
	c.table(b, c.others(lines[best:rest]), lines[best:rest])
	c.closed(b, lines[rest:])
	if len(c.Fixed.Left) > 0 {
		fmt.Fprintf(b, "\nLeft out of the file of --with, for they are batteries: %s.\n", strings.Join(c.Fixed.Left, ", "))
	}
	fmt.Fprintf(b, "\n%s\n", Remark)
	if err := c.cautions(b, lines); err != nil {
		return err
	}
	return b.Flush()
}

func (c Comparison) others(lines []line) string {
	if slices.ContainsFunc(lines, func(l line) bool { return l.Verdict.GoesIn() }) {
		return "The others that go in, and what is not known:"
	}
	return "Not known:"
}

// headline says what was wanted and what came of it.
func (c Comparison) headline(lines []line) []string {
	in, out, all := c.GoIn(), c.Closed(), len(c.Rows)
	text := fmt.Sprintf("%d of %d go in, %d do not, of %d it is not known.", in, all, out, all-in-out)
	if in == 0 && out == all {
		text = fmt.Sprintf("None of %d goes in.", all)
	}
	list := []string{
		fmt.Sprintf("%s: batteries of %q that give %s.", c.Frame.Name, c.Catalogue.Name, c.Wish.Words(c.Catalogue.Currency)),
		text,
	}
	if all < c.Header.Rows {
		list = append(list, fmt.Sprintf("%d more are not looked at yet.", c.Header.Rows-all))
	}
	return append(list, c.bests(lines)...)
}

// bests name what has most of something, among what goes in.
func (c Comparison) bests(lines []line) []string {
	var list []string
	for _, of := range []struct {
		words string
		value func(line) (float64, bool) // the greater the better
	}{
		{"Most energy", func(l line) (float64, bool) { return l.KWh(), true }},
		{"Most to spare", func(l line) (float64, bool) { return l.Spare, true }},
		{"Lightest", func(l line) (float64, bool) { v, ok := l.Mass(); return -v, ok }},
		{"Cheapest", func(l line) (float64, bool) { v, ok := l.Price(); return -v, ok }},
	} {
		var best *line
		most := math.Inf(-1)
		for i, l := range lines {
			if v, ok := of.value(l); ok && l.Verdict.GoesIn() && v > most {
				best, most = &lines[i], v
			}
		}
		if best != nil {
			list = append(list, fmt.Sprintf("%s: %s.", of.words, c.words(*best)))
		}
	}
	return list
}

// words say what a row has.
func (c Comparison) words(l line) string {
	text := fmt.Sprintf("%s (%s), %s kWh, %s", l.Name(), l.Verdict, short(l.KWh()), answer.SpareWords(l.Spare, c.Catalogue.Unit))
	if mass, ok := l.Mass(); ok {
		text += fmt.Sprintf(", %s kg", short(mass))
	}
	if price, ok := l.Price(); ok {
		text += ", " + c.money(price)
	}
	return text
}

func (c Comparison) money(v float64) string {
	return strings.TrimSpace(fmt.Sprintf("%.8g %s", clean(v), c.Catalogue.Currency))
}

// short is a number with three or four digits that count.
func short(v float64) string {
	if v >= 1000 {
		return fmt.Sprintf("%.0f", v)
	}
	return fmt.Sprintf("%.3g", clean(v))
}

// table prints rows under a heading.
func (c Comparison) table(b *bufio.Writer, heading string, lines []line) {
	if len(lines) == 0 {
		return
	}
	fmt.Fprintf(b, "\n%s\n\n", heading)
	t := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	head := []string{"battery", "joined", "volts", "kWh", "goes in", "to spare", "kg"}
	priced := c.priced()
	if priced {
		head = append(head, "price")
	}
	head = append(head, c.wheels()...)
	remarks := slices.ContainsFunc(lines, func(l line) bool { return l.remark() != "" })
	if remarks {
		head = append(head, "remark")
	}
	fmt.Fprintln(t, strings.Join(head, "\t"))
	for _, l := range lines {
		cells := c.printed(l, priced)
		if remarks {
			cells = append(cells, l.remark())
		}
		fmt.Fprintln(t, strings.Join(cells, "\t"))
	}
	t.Flush() // into memory
}

func (c Comparison) printed(l line, priced bool) []string {
	cells := []string{l.Name(), l.Joined.String(), short(l.Volts()), short(l.KWh()), l.Verdict.String(), c.spare(l), ""}
	if mass, ok := l.Mass(); ok {
		cells[6] = short(mass)
	}
	if price, ok := l.Price(); ok {
		cells = append(cells, fmt.Sprintf("%.8g", clean(price)))
	} else if priced {
		cells = append(cells, "")
	}
	for i := range c.wheels() {
		if i < len(l.wheels) {
			cells = append(cells, wheelWords(l.wheels[i]))
		} else {
			cells = append(cells, "")
		}
	}
	return cells
}

// remark says what beats a row, or why it does not go in.
func (l line) remark() string {
	if l.by != nil {
		return "beaten by " + l.by.Name()
	}
	return l.Reason
}

// wheelWords is what a wheel bears, with what is packed and where they are known the vehicle and its
// riders.
func wheelWords(w balance.Wheel) string {
	load := w.Packed
	text := "+%.1f kg"
	if w.With != nil {
		load, text = *w.With, "%.0f kg"
	}
	if over := w.Over(); over > 0 {
		return fmt.Sprintf(text+", %.0f too much with riders", load, over)
	}
	return fmt.Sprintf(text, load)
}

// spare is what a row has to spare, or is short, as far as that is known.
func (c Comparison) spare(l line) string {
	if math.IsInf(l.Spare, 0) {
		return ""
	}
	text := answer.LeftWords(l.Spare, c.Catalogue.Unit)
	if l.Spare >= 0 && l.Best {
		text += " (most)"
	}
	return text
}

// closed prints what does not go in, one battery a line.
func (c Comparison) closed(b *bufio.Writer, lines []line) {
	if len(lines) == 0 {
		return
	}
	slices.SortStableFunc(lines, func(x, y line) int { return x.Entry.Row - y.Entry.Row })
	fmt.Fprint(b, "\nThese do not go in, nor do more of them; proven where nothing else is said:\n\n")
	for i := 0; i < len(lines); {
		n := i
		var counts []string
		proven := false // of fewer, so of more as well
		for ; n < len(lines) && lines[n].Battery.Name == lines[i].Battery.Name; n++ {
			text := fmt.Sprint(lines[n].Count)
			if lines[n].Verdict == compare.No && !proven {
				text += " (shown, but not written out to be checked)"
			}
			proven = proven || lines[n].Verdict == compare.ProvenNo
			counts = append(counts, text)
		}
		const most = 8
		if len(counts) > most {
			counts = append(counts[:most-1], "… "+counts[len(counts)-1])
		}
		fmt.Fprintf(b, "  %s × %s\n", lines[i].Battery.Name, strings.Join(counts, ", "))
		i = n
	}
}

// cautions prints those of the row with the highest voltage that may be bought.
func (c Comparison) cautions(b *bufio.Writer, lines []line) error {
	texts, err := c.cautionTexts(lines)
	for i, text := range texts {
		if i == 0 {
			fmt.Fprintln(b)
		}
		fmt.Fprintf(b, "! %s\n", text)
	}
	return err
}

func (c Comparison) cautionTexts(lines []line) ([]string, error) {
	var top *line
	for i, l := range lines {
		if l.Verdict.GoesIn() && (top == nil || l.Volts() > top.Volts()) {
			top = &lines[i]
		}
	}
	if top == nil {
		return nil, nil
	}
	p, err := c.Fixed.Problem(c.Frame, top.Entry)
	if err != nil {
		return nil, err
	}
	p.Pack.Wiring.Series, p.Pack.Wiring.Parallel, p.Pack.Wiring.Strings = top.Joined.Series, top.Joined.Parallel, 1
	return answer.Cautions(p.Pack), nil
}
