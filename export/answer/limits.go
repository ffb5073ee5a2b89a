package answer

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/limit"
)

// How many effects, and measurements to take again, the printed answer lists.
const (
	shown      = 5
	againShown = 5
)

// leastGain is the change of the spare in mm, for a millimetre, below which nothing is said.
const leastGain = 0.005

// limits are what decides, what would help, and what to measure again.
func (p printer) limits(problem pack.Problem, a *limit.Analysis) []Part {
	if a == nil {
		return nil
	}
	parts := []Part{{Title: "What decides", Lines: plain(p.chain(a))}}
	return append(parts, p.measured(problem, a, "")...)
}

// measured are what would help, and what to measure again.
func (p printer) measured(problem pack.Problem, a *limit.Analysis, where string) []Part {
	var parts []Part
	if lines := p.helps(problem, a); len(lines) > 0 {
		parts = append(parts, Part{Title: fmt.Sprintf("What %s does to the spare of this layout%s", p.length(p.grain()), where), Lines: plain(lines...)})
	}
	return append(parts, p.again(problem.Frame, a)...)
}

// Limits are what limits a layout that was given.
type Limits struct {
	Standing limit.Analysis // as its boxes stand
	Moved    limit.Analysis // with its boxes moved to where it has the most to spare
}

// WriteLimits writes what limits a layout that was given as it stands, and what it would have to
// spare with its boxes moved, where that is more.
func WriteLimits(w io.Writer, problem pack.Problem, report pack.Report, l Limits) error {
	b := bufio.NewWriter(w)
	p := printer{b, problem.Pack.Unit}
	for _, part := range p.limitsOf(problem, report, l) {
		p.part(part)
	}
	return b.Flush()
}

func (p printer) limitsOf(problem pack.Problem, report pack.Report, l Limits) []Part {
	words, ok := p.moved(report.Spare, &l.Moved)
	if !ok {
		return p.limits(problem, &l.Moved) // its boxes stand at their best
	}
	parts := []Part{{Title: "What decides, as the boxes stand", Lines: plain(p.least(report)...)}}
	parts = append(parts, p.measured(problem, &l.Standing, ", no box moved")...)
	return append(parts, Part{Title: words + ". Then decides", Lines: plain(p.chain(&l.Moved))})
}

// least are the relations that leave the least, but for what the answer does not show.
func (p printer) least(report pack.Report) []string {
	var lines []string
	for _, r := range report.Relations[:min(listed, len(report.Relations))] {
		if r.Left <= report.Spare+leastGain {
			lines = append(lines, p.relation(r)+".")
		}
	}
	return lines
}

// moved says what a layout would have to spare with its boxes moved, where that is worth
// telling.
func (p printer) moved(spare float64, a *limit.Analysis) (string, bool) {
	verb := "have"
	if a.Spare < 0 {
		verb = "still be"
	}
	words := fmt.Sprintf("With its boxes moved, their neighbours kept, it would %s %s", verb, SpareWords(a.Spare, p.unit))
	return words, a.Spare > spare+worthMoving
}

// worthMoving is the gain in mm from which it is told that boxes could stand better.
const worthMoving = 0.1

// chain says a chain in words: parts, the gaps between them, and in brackets what each
// box takes up of it.
func (p printer) chain(a *limit.Analysis) string {
	c := a.Chain
	text := []string{c.From.String()}
	for i, b := range c.Boxes {
		text = append(text, p.bare(c.Gaps[i]), fmt.Sprintf("%s (%s)", b.Part, p.bare(b.Size)))
	}
	if c.To != (pack.Part{}) {
		text = append(text, p.bare(c.Gaps[len(c.Gaps)-1]), c.To.String())
	}
	words := strings.Join(text, " – ")
	switch left := c.Room - c.Need; {
	case !c.Straight:
		words += ": " + SpareWords(a.Spare, p.unit) + " at each of these gaps"
	case left < 0:
		words += fmt.Sprintf(": needs %s, there are %s: %s short", p.length(c.Need), p.length(c.Room), p.short(-left))
	default:
		words += fmt.Sprintf(": needs %s, there are %s: %s over, shared by %d gaps", p.length(c.Need), p.length(c.Room), p.spare(left), len(c.Gaps))
	}
	if len(c.Also) > 0 {
		var also []string
		for _, r := range c.Also[:min(len(c.Also), shown)] {
			also = append(also, fmt.Sprintf("%s – %s", r.A, r.B))
		}
		words += "; held from other sides too: " + strings.Join(also, ", ")
		if more := len(c.Also) - shown; more > 0 {
			words += fmt.Sprintf(" and %d more", more)
		}
	}
	return words + "."
}

// bare is a length without its unit.
func (p printer) bare(mm float64) string {
	return strings.TrimSuffix(p.length(mm), " "+p.unit.String())
}

func (p printer) length(mm float64) string { return geom.FormatLength(mm, p.unit) }

// helps says which changes of which measured things give the most, in the direction that
// helps. Lower gaps of posts are not told: they keep live metal from metal.
func (p printer) helps(problem pack.Problem, a *limit.Analysis) []string {
	type help struct {
		words string
		gain  float64
	}
	var all []help
	for _, e := range a.Effects {
		if e.Sort == limit.Gap && !mayShrink(problem.Pack.Gaps, e) {
			continue
		}
		if e.Less > e.More {
			all = append(all, help{p.effect(e, "less"), e.Less})
		} else {
			all = append(all, help{p.effect(e, "more"), e.More})
		}
	}
	slices.SortStableFunc(all, func(a, b help) int { return cmp.Compare(b.gain, a.gain) })
	var lines []string
	for _, h := range all {
		if h.gain >= leastGain && len(lines) < shown {
			lines = append(lines, fmt.Sprintf("%s: %s more to spare", h.words, p.fine(h.gain*p.grain())))
		}
	}
	return lines
}

// grain is the change that effects are told for: a millimetre, or a sixteenth of an inch.
func (p printer) grain() float64 {
	if p.unit == geom.Inch {
		return geom.MillimetresPerInch / 16
	}
	return 1
}

// fine is a small length with more digits than is built to.
func (p printer) fine(mm float64) string {
	if p.unit == geom.Inch {
		return fmt.Sprintf("%.3f in", mm/geom.MillimetresPerInch)
	}
	return fmt.Sprintf("%.2f mm", mm)
}

// given is a length of a file: as a sixteenth of an inch where it is one.
func (p printer) given(mm float64) string {
	if sixteenths := mm / p.grain(); p.unit == geom.Inch && math.Abs(sixteenths-math.Round(sixteenths)) > 1e-6 {
		return p.fine(mm)
	}
	return p.length(mm)
}

// mayShrink tells whether a gap is one that may be less, and is not 0 already. Those of
// rails and keep-outs of their own are the builder's choice.
func mayShrink(g pack.Gaps, e limit.Effect) bool {
	now, known := map[string]float64{
		pack.Beside.String(): g.Beside, pack.Above.String(): g.Above, pack.Wall.String(): g.Wall,
		pack.RailGap.String(): g.Rail, pack.KeepOutGap.String(): g.KeepOut,
		pack.PostGap.String(): 0, pack.BootGap.String(): 0,
	}[e.What]
	return !known || now >= 1
}

// opposite is, of what is further somewhere, where it is further with less of it.
var opposite = map[string]string{
	"out": "in", "forward": "back", "to the left": "to the right", "up": "down",
	"from the back": "from the front", "from the right": "from the left", "from the bottom": "from the top",
}

// effect says a grain more or less of a thing: "block height 1 mm less", "seat post 1 mm
// further out".
func (p printer) effect(e limit.Effect, way string) string {
	more, step := e.MoreWords(), p.length(p.grain())
	if before, after, placed := strings.Cut(more, " further "); placed {
		if way == "less" {
			after = opposite[after]
		}
		return fmt.Sprintf("%s %s further %s", before, step, after)
	}
	if rest, all := strings.CutSuffix(more, " larger all round"); all {
		return fmt.Sprintf("%s %s %s all round", rest, step, map[string]string{"more": "larger", "less": "smaller"}[way])
	}
	return fmt.Sprintf("%s %s %s", more, step, way)
}

// again are the measurements worth taking again.
func (p printer) again(f *frame.Frame, a *limit.Analysis) []Part {
	list := a.Again(againShown)
	if len(list) == 0 || a.Spare < -mayDecide(a) {
		return nil
	}
	part := Part{Title: "Worth measuring again, what decides most first (each off by its accuracy, the wrong way)"}
	for i, e := range list {
		text := fmt.Sprintf("%s (%s off takes %s of the spare)", measuredWords(e.Measured), p.given(e.Accuracy), p.fine(e.Decides()))
		part.Lines = append(part.Lines, Line{Number: i + 1, Text: text + retaped(f, e.Measured)})
	}
	return []Part{part}
}

// mayDecide is what all measurements together, each off by its accuracy, do to the spare:
// where more than that is short, measuring again does not help.
func mayDecide(a *limit.Analysis) float64 {
	sum := 0.0
	for _, e := range a.Again(len(a.Effects)) {
		sum += e.Decides()
	}
	return sum
}

// measuredWords says what is to be measured: "block height", "where seat post is".
func measuredWords(m limit.Measured) string {
	more := m.MoreWords()
	if m.Sort == limit.Width {
		return "the opening's " + m.Of + " of the middle"
	}
	if before, after, placed := strings.Cut(more, " further "); placed {
		if after == "out" {
			return "where " + before + " is"
		}
		axis, ofFrame := map[string]string{"forward": "from the rear", "to the left": "from the middle", "up": "above the floor"}[after]
		if !ofFrame {
			axis = after + " of its box"
		}
		return fmt.Sprintf("how far %s is %s", before, axis)
	}
	if before, all := strings.CutSuffix(more, " larger all round"); all {
		return "the faces of " + before
	}
	return more
}

// common says how much every measurement may be off.
func (p printer) common(in Input) []string {
	s := in.Result.Sure
	if s == nil || !in.Result.Verdict.Fits() {
		return nil
	}
	var lines []string
	if s.AsWritten >= 0 && !math.IsNaN(s.AsWritten) {
		lines = append(lines, fmt.Sprintf("Every measurement may be off by %s the wrong way at once, and the first layout still fits.", p.less(s.AsWritten)))
	}
	if s.ProvenTight {
		lines = append(lines, "No layout fits with everything at its worst: this is proven.")
	}
	return lines
}
