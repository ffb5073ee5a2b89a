package answer

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"github.com/golang/geo/r2"

	"rackwright/frame"
	"rackwright/frame/survey"
	"rackwright/geom"
)

// Survey is what is told of a frame that was measured with a tape.
type Survey struct {
	Frame   *frame.Frame
	Plan    *survey.Plan // which distances to tape; nil where that was not asked for
	Planned bool         // whether a plan was asked for
	Written []string
}

// WriteSurvey prints how well measurements agree and check each other, and what that makes
// of the marks; or a plan of what to tape.
func WriteSurvey(w io.Writer, in Survey) error {
	out := bufio.NewWriter(w)
	p := printer{out, in.Frame.Unit}
	if in.Planned {
		p.lines(p.plan(in))
	} else {
		p.lines(p.surveyed(in.Frame))
		p.markTable(in.Frame.Survey.Adjusted)
		p.measurementTable(in.Frame.Survey.Adjusted)
		p.standing(in.Frame)
	}
	p.files("Written", in.Written)
	return out.Flush()
}

func (p printer) surveyed(f *frame.Frame) []string {
	a := f.Survey.Adjusted
	lines := []string{fmt.Sprintf("Survey of %s: %s, %s, %s.", f.Name, number(len(a.Places), "mark"),
		number(len(a.Network.Measurements), "measurement"), spareWords(a.Spare)), ""}
	lines = append(lines, agreement(a)...)
	lines = append(lines, p.mistakes(f.Survey)...)
	lines = append(lines, p.uncheckedLines(a)...)
	if a.Assumed >= 0 {
		d := a.Network.Datum
		lines = append(lines, fmt.Sprintf("%s is taken to lie above the line %s, for no measurement says on which side it is. If it lies below, say about where it is: near: [x, z] at the mark.",
			a.Network.Marks[a.Assumed].Name, a.Network.PairName(survey.Pair{From: d.From, To: d.To})))
	}
	if a.Forward {
		lines = append(lines, "Lines with a slope are taken to rise to the front, for no measurement says which way they lean. Where one leans to the rear, say about where its upper mark is: near: [x, z].")
	}
	return lines
}

func number(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func spareWords(spare int) string {
	if spare == 0 {
		return "as many as are needed"
	}
	return fmt.Sprintf("%d more than needed", spare)
}

// agreement says whether the measurements agree.
func agreement(a *survey.Adjustment) []string {
	switch {
	case a.Spare == 0:
		return []string{"Nothing checks them: each measurement is needed to place the marks, so a mistake in any of them would go unseen."}
	case a.Agrees():
		return []string{fmt.Sprintf("They agree: what is left over is %.2f times what their accuracy lets expect.", a.Sigma0)}
	}
	return []string{fmt.Sprintf("They do not agree: what is left over is %.1f times what their accuracy lets expect. By chance that happens to one set of right measurements in a thousand.", a.Sigma0)}
}

// mistakes names measurements that are wrong, or says honestly that one of several is.
func (p printer) mistakes(s *frame.Survey) []string {
	var lines []string
	n := s.Network
	for _, w := range s.Found.Wrong {
		lines = append(lines, fmt.Sprintf("Wrong: %s, probably %s. Measure it again.", n.MeasurementName(w.Measurement), p.tooMuch(n.Measurements[w.Measurement], w.Off)))
	}
	if len(s.Found.Doubted) > 0 && !s.Found.Rest {
		var names []string
		for _, w := range s.Found.Doubted {
			names = append(names, fmt.Sprintf("%s (%s)", n.MeasurementName(w.Measurement), p.tooMuch(n.Measurements[w.Measurement], w.Off)))
		}
		line := "One of these is wrong, and the measurements cannot tell which: " + strings.Join(names, ", ") + ". "
		if s.Found.Tells != nil {
			line += fmt.Sprintf("Tape %s too: that tells best; or measure these again.", n.PairName(*s.Found.Tells))
		} else {
			line += "Measure these again."
		}
		lines = append(lines, line)
	}
	if s.Found.Rest {
		line := "No mistake in one or two of them explains it: several are wrong, or all are off by more than the accuracy that the file gives."
		for i, w := range s.Found.Doubted {
			line += []string{" Begin with measuring again ", ", then "}[min(i, 1)] + n.MeasurementName(w.Measurement)
		}
		lines = append(lines, strings.TrimSuffix(line, ".")+".")
	}
	return lines
}

// tooMuch says a likely mistake: what was measured is too long, too high or too steep.
func (p printer) tooMuch(m survey.Measurement, off float64) string {
	more, less := "too long", "too short"
	size := p.length(math.Abs(off))
	switch m.Sort {
	case survey.Height:
		more, less = "too high", "too low"
	case survey.Slope:
		more, less = "too steep", "not steep enough"
		size = fmt.Sprintf("%.1f°", math.Abs(off)*180/math.Pi)
	}
	if off < 0 {
		more = less
	}
	return size + " " + more
}

// uncheckedLines names what nothing checks, with the distance that would, and the fewest
// distances that check all.
func (p printer) uncheckedLines(a *survey.Adjustment) []string {
	list, n := a.Unchecked(), a.Network
	if len(list) == 0 {
		return nil
	}
	var lines []string
	plan, complete := a.Completing()
	if a.Spare > 0 || !complete {
		lines = p.remedies(a, list)
	}
	if complete && len(plan.Pairs) > 0 {
		lines = append(lines, fmt.Sprintf("With %s every measurement is checked.", pairWords(n, plan.Pairs)))
	}
	return lines
}

// remedies names unchecked measurements with what would check them, those with the same
// remedy together.
func (p printer) remedies(a *survey.Adjustment, unchecked []int) []string {
	by := map[string][]string{}
	var order, lines []string
	for _, i := range unchecked {
		remedy := remedyOf(a, i)
		if by[remedy] == nil {
			order = append(order, remedy)
		}
		by[remedy] = append(by[remedy], a.Network.MeasurementName(i))
	}
	for _, remedy := range order {
		lines = append(lines, fmt.Sprintf("Nothing would show a mistake in %s: %s.", strings.Join(by[remedy], " or "), remedy))
	}
	return lines
}

func remedyOf(a *survey.Adjustment, i int) string {
	if pair, ok := a.Checking(i); ok {
		return "tape " + a.Network.PairName(pair) + " too"
	}
	switch a.Network.Measurements[i].Sort {
	case survey.Height:
		return "measure the height of other marks too, from the same line; one alone tells nothing"
	case survey.Slope:
		return "take it again"
	}
	return "no distance between these marks would: add a mark, or take it twice"
}

func pairWords(n *survey.Network, pairs []survey.Pair) string {
	var names []string
	for _, pair := range pairs {
		names = append(names, n.PairName(pair))
	}
	if len(names) == 1 {
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// markTable lists the marks with what they may be off by.
func (p printer) markTable(a *survey.Adjustment) {
	p.line("")
	table := tabwriter.NewWriter(p, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(table, "mark\tx\tz\tmay be off by\twhich way\t\n")
	for i, m := range a.Network.Marks {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t\n", m.Name, p.tenth(a.Places[i].X), p.tenth(a.Places[i].Y), p.fine(a.WorstAnyWay(i)), wayWords(a, i))
	}
	table.Flush()
	p.line("Off by: 99 times of 100 no more than this in its worst direction, against the frame as a whole or against zero, whichever is more.")
}

// wayWords says in which direction a mark may be off most.
func wayWords(a *survey.Adjustment, mark int) string {
	way := a.WorstWay(mark)
	degrees := math.Mod(math.Atan2(way.Y, way.X)*180/math.Pi+360, 180)
	switch {
	case a.Worst(mark, way) < 1.2*a.Worst(mark, way.Ortho()):
		return "any"
	case degrees < 22.5 || degrees > 157.5:
		return "along"
	case degrees > 67.5 && degrees < 112.5:
		return "up and down"
	case degrees < 90:
		return "up to the front"
	}
	return "up to the rear"
}

// tenth is a length to a tenth of a millimetre, or a hundredth of an inch.
func (p printer) tenth(mm float64) string {
	if p.unit == geom.Inch {
		return fmt.Sprintf("%.2f", mm/geom.MillimetresPerInch+0)
	}
	return fmt.Sprintf("%.1f", math.Round(mm*10)/10+0)
}

// measurementTable lists what was measured, what is left over, and what checks it.
func (p printer) measurementTable(a *survey.Adjustment) {
	p.line("")
	table := tabwriter.NewWriter(p, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(table, "measured\tas\tshould be\tleft over\tchecked\ta mistake shows from\t\n")
	for i, m := range a.Network.Measurements {
		shows := "–"
		if at := a.Showing(i); a.Checked[i] >= survey.CheckedFrom {
			shows = p.sizeOf(m, at)
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%.0f %%\t%s\t\n", a.Network.MeasurementName(i), p.valueOf(m, m.Value), p.valueOf(m, m.Value+a.Residuals[i]),
			p.leftOver(m, a.Residuals[i]), 100*a.Checked[i], shows)
	}
	table.Flush()
}

func (p printer) valueOf(m survey.Measurement, v float64) string {
	if m.Sort == survey.Slope {
		return fmt.Sprintf("%.1f°", v*180/math.Pi)
	}
	return p.tenth(v)
}

func (p printer) sizeOf(m survey.Measurement, v float64) string {
	if m.Sort == survey.Slope {
		return fmt.Sprintf("%.1f°", v*180/math.Pi)
	}
	return geom.FormatLengthRounded(v, p.unit, geom.ToMore)
}

func (p printer) leftOver(m survey.Measurement, v float64) string {
	switch {
	case m.Sort == survey.Slope:
		return fmt.Sprintf("%+.2f°", v*180/math.Pi+0)
	case p.unit == geom.Inch:
		return fmt.Sprintf("%+.3f", v/geom.MillimetresPerInch+0)
	}
	return fmt.Sprintf("%+.1f", math.Round(v*10)/10+0)
}

// standing lists how far the things of the frame may be off that stand on marks.
func (p printer) standing(f *frame.Frame) {
	var list []string
	add := func(name string, on frame.OnMarks) {
		if on.Along != (r2.Point{}) {
			list = append(list, fmt.Sprintf("%s %s (%s)", name, p.fine(on.Off), f.Survey.Network.Marks[on.Mark].Name))
		}
	}
	for i, on := range f.Survey.Sides {
		add(f.Opening.SideName(i), on)
	}
	for i, on := range f.Survey.Rails {
		add(f.Rails[i].Name, on)
	}
	for i, on := range f.Survey.KeepOuts {
		add(f.KeepOuts[i].Name, on)
	}
	if len(list) == 0 {
		return
	}
	p.line("\nSo these may be nearer than measured, by the mark in brackets; sure, tight and what is worth measuring again count with that:")
	for _, line := range wrapped(list, wide) {
		p.line("  %s", line)
	}
}

// wrapped joins words to lines of so many characters.
func wrapped(words []string, wide int) []string {
	var lines []string
	for _, w := range words {
		if n := len(lines); n > 0 && len([]rune(lines[n-1]))+len([]rune(w))+2 <= wide {
			lines[n-1] += ", " + w
			continue
		}
		lines = append(lines, w)
	}
	return lines
}

// plan says which distances to tape.
func (p printer) plan(in Survey) []string {
	s := in.Frame.Survey
	n := s.Network
	lines := []string{fmt.Sprintf("Plan for measuring %s: %s, %s so far.", in.Frame.Name, number(len(n.Marks), "mark"), number(len(n.Measurements), "measurement")), ""}
	switch {
	case in.Plan == nil:
		return append(lines, "Not even all distances between these marks check each other: add a mark off the lines of the others.")
	case len(in.Plan.Pairs) == 0:
		return append(lines, "Every measurement is checked already: nothing more has to be taped.")
	}
	head := "Tape these, and every measurement is checked by others"
	if in.Plan.Fewest {
		head += "; no fewer would do:"
	} else {
		head += "; none fewer were found that do:"
	}
	lines = append(lines, head)
	for _, pair := range in.Plan.Pairs {
		lines = append(lines, fmt.Sprintf("  %s, about %s", n.PairName(pair), p.length(About(s, pair))))
	}
	return append(lines, fmt.Sprintf("The worst checked of them is checked to %.0f %%; more distances, or marks, would check it better.", 100*in.Plan.Least))
}

// About is about how long the distance of two marks is, in mm.
func About(s *frame.Survey, pair survey.Pair) float64 {
	d := s.Places[pair.To].Sub(s.Places[pair.From])
	return math.Hypot(d.Norm(), s.Network.Marks[pair.To].Y-s.Network.Marks[pair.From].Y)
}
