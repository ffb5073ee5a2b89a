package answer

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"rackwright/export"
	"rackwright/export/plot"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/whatif/sweep"
)

// WriteSweep prints what came of a sweep: a table, and the values with which it fits.
// The values are in the unit that the file has, what is to spare in that of the pack.
func WriteSweep(w io.Writer, spec sweep.Spec, points []sweep.Point, unit geom.Unit) error {
	b := bufio.NewWriter(w)
	p := printer{b, unit}
	table := tabwriter.NewWriter(p, 0, 0, 2, ' ', 0)
	fmt.Fprintf(table, "%s\tspare\tanswer\n", spec.Path)
	for _, point := range points {
		spare, words := "", "not searched"
		if point.Done {
			words = point.Result.Verdict.String()
			if len(point.Result.Layouts) > 0 {
				spare = SpareWords(point.Result.Spare, unit)
			}
			if stranded(point) {
				words = "but it cannot be put in, or a post cannot be reached"
			}
			if point.Result.Proven && point.Result.Verdict.Fits() {
				words += ", proven to be the best"
			}
		}
		fmt.Fprintf(table, "%g\t%s\t%s\n", point.Value, spare, words)
	}
	table.Flush()
	if fits := fitting(points); len(fits) > 0 {
		p.line("\nIt fits with %s.", strings.Join(fits, ", "))
	} else {
		p.line("\nIt was not found to fit with any of these.")
	}
	if slices.ContainsFunc(points, func(q sweep.Point) bool { return q.Done && !q.Result.Proven }) {
		p.line("Spares that are not proven to be the best are what was found in the time given.")
	}
	return b.Flush()
}

// stranded tells whether layouts fit with a value, but none that was found is an answer.
func stranded(p sweep.Point) bool {
	return p.Done && p.Result.Verdict == pack.NoFitFound && p.Result.Spare >= 0
}

// fitting are the runs of values with which it fits: "160 to 172".
func fitting(points []sweep.Point) []string {
	var runs []string
	for i := 0; i < len(points); i++ {
		from := i
		for i < len(points) && points[i].Done && points[i].Result.Verdict.Fits() {
			i++
		}
		switch {
		case i == from+1:
			runs = append(runs, fmt.Sprintf("%g", points[from].Value))
		case i > from:
			runs = append(runs, fmt.Sprintf("%g to %g", points[from].Value, points[i-1].Value))
		}
	}
	return runs
}

type jsonSweep struct {
	Format int              `json:"format"`
	Path   string           `json:"sweep"`
	Points []jsonSweepPoint `json:"points"`
}

type jsonSweepPoint struct {
	Value   float64  `json:"value"`
	Verdict *string  `json:"verdict"` // null where it was not searched
	Proven  bool     `json:"proven"`
	Spare   *float64 `json:"spare_mm"`
	Bound   *float64 `json:"bound_mm"`
}

// WriteSweepJSON writes what came of a sweep as one JSON object and a line end.
func WriteSweepJSON(w io.Writer, spec sweep.Spec, points []sweep.Point) error {
	out := jsonSweep{Format: 1, Path: spec.Path, Points: []jsonSweepPoint{}}
	for _, p := range points {
		j := jsonSweepPoint{Value: p.Value}
		if p.Done {
			verdict := p.Result.Verdict.String()
			j.Verdict, j.Proven = &verdict, p.Result.Proven
			j.Spare, j.Bound = export.Finite(p.Result.Spare), export.Finite(p.Result.Bound)
		}
		out.Points = append(out.Points, j)
	}
	return export.WriteJSON(w, out)
}

// SweepPlot is the picture of a sweep, with what is to spare in a unit.
func SweepPlot(title string, spec sweep.Spec, points []sweep.Point, unit geom.Unit) plot.Plot {
	p := plot.Plot{
		Title: title, X: spec.Path, Y: "to spare, " + unit.String(),
		Note: "Filled: proven. Hollow: the best found in the time given. No point: none that can be put in.",
	}
	for _, q := range points {
		if q.Done && !stranded(q) {
			p.Points = append(p.Points, plot.Point{X: q.Value, Y: q.Result.Spare / unit.Length(1), Firm: q.Result.Proven})
		}
	}
	return p
}
