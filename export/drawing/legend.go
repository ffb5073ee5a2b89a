package drawing

import "github.com/golang/geo/r2"

// Bars to check the size of a print with.
const (
	barMetric = 100.0
	barInch   = 4 * 25.4
	tick      = 2.5 // half the length of the ticks at a bar's ends
)

// Room that the legend takes at the left and at the bottom, and within it the places of
// the bars: along the bottom the metric one and the one in inches, up the left side
// another.
const (
	legendLeft   = 16.0
	legendBottom = 20.0
	barStart     = 8.0
	lineHeight   = 6.0
)

// WithLegend returns the drawing with bars to check its size with and lines of text
// below it. It is at least as large as the bars need.
func (d Drawing) WithLegend(lines ...string) Drawing {
	lines = wrapped(lines, Least, max(d.Size.X, 2*barStart+barMetric+barInch+4)-12)
	foot := legendBottom + lineHeight*float64(len(lines))
	out := Drawing{Title: d.Title, Size: r2.Point{
		X: max(d.Size.X+legendLeft, 2*barStart+barMetric+barInch+20), Y: max(d.Size.Y+foot, 2*barStart+barMetric),
	}}
	out.Add(d, 0, r2.Point{X: legendLeft, Y: foot})
	for i, line := range lines {
		out.TextFrom(r2.Point{X: legendLeft + 4, Y: foot - lineHeight*(float64(i)+0.5)}, Least, out.Size.X, line)
	}
	out.CheckBar(r2.Point{X: legendLeft, Y: barStart}, barMetric, false, "100 mm")
	out.CheckBar(r2.Point{X: legendLeft + barMetric + 10, Y: barStart}, barInch, false, "4 in")
	out.CheckBar(r2.Point{X: barStart, Y: barStart}, barMetric, true, "100 mm")
	return out
}

// CheckBar adds a bar of a length with ticks across its ends and its length beside it.
// It starts at a point and runs to the right, or upwards.
func (d *Drawing) CheckBar(at r2.Point, length float64, up bool, label string) {
	turns := 0
	if up {
		turns = 1
	}
	var bar Drawing
	bar.Line(Mark, r2.Point{}, r2.Point{X: length})
	for _, x := range []float64{0, length} {
		bar.Line(Mark, r2.Point{X: x, Y: -tick}, r2.Point{X: x, Y: tick})
	}
	bar.Text(r2.Point{X: length / 2, Y: 2.8}, Least, length, 0, label)
	d.Add(bar, turns, at)
}
