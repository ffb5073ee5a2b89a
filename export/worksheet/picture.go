package worksheet

import (
	"fmt"
	"math"

	"github.com/golang/geo/r2"

	"rackwright/export/drawing"
	"rackwright/frame"
	"rackwright/frame/survey"
)

// The picture's sheet, A4 lying (ISO 216), and how large its largest ellipse is, in mm.
var pictureSize = r2.Point{X: 297, Y: 210}

const largest = 11.0

// Picture draws what came of measuring: marks, distances, and an ellipse around each mark
// for how far it may be off, drawn larger by a round factor that is told. Distances that
// nothing checks are dotted, those that are or may be wrong are thick.
func Picture(f *frame.Frame) drawing.Drawing {
	d := drawing.Drawing{Title: "Survey: " + f.Name, Size: pictureSize}
	a := f.Survey.Adjusted
	room := d.Size.X - 2*margin
	y := d.Size.Y - margin - 3
	d.TextFrom(r2.Point{X: margin, Y: y}, 6, room, "Survey of "+f.Name)
	area := r2.RectFromPoints(r2.Point{X: margin, Y: margin + 16}, r2.Point{X: d.Size.X - margin, Y: y - 6})
	s := newSketch(&d, f, area, 18)
	s.outline()
	doubted := map[int]float64{}
	for _, w := range append(append([]survey.Suspect{}, f.Survey.Found.Wrong...), f.Survey.Found.Doubted...) {
		doubted[w.Measurement] = w.Off
	}
	s.distances(a, doubted)
	s.marks()
	factor := s.ellipses(a)
	s.names()
	for i, m := range a.Network.Measurements {
		if _, wrong := doubted[i]; wrong && m.Sort == survey.Distance {
			d.TextNear(s.third(survey.Pair{From: m.From, To: m.To}), letter, 0, "wrong?")
		}
	}
	d.TextFrom(r2.Point{X: margin, Y: margin + 8}, 3.4, room, fmt.Sprintf(
		"Ellipses: how far each mark may be off (2.6 standard deviations), drawn %s. Seen from the right, front to the right.", times(factor)))
	d.TextFrom(r2.Point{X: margin, Y: margin + 3}, 3.4, room,
		"Lines: what was taped; broken: nothing would show a mistake in it; thick, with “wrong?”: it is wrong, or one of these is. Dotted: the opening.")
	bar := 100 * s.scale
	d.CheckBar(r2.Point{X: d.Size.X - margin - bar - 4, Y: margin + 14}, bar, false, "100 mm of the frame")
	return d
}

func (s *sketch) distances(a *survey.Adjustment, doubted map[int]float64) {
	for i, m := range a.Network.Measurements {
		if m.Sort != survey.Distance {
			continue
		}
		layer := drawing.Mark
		if _, wrong := doubted[i]; wrong {
			layer = drawing.Cut
		} else if a.Checked[i] < survey.CheckedFrom {
			layer = drawing.Fold
		}
		s.lineBetween(survey.Pair{From: m.From, To: m.To}, layer, false)
	}
}

// ellipses draws them and returns the factor by which they are larger than the picture.
func (s *sketch) ellipses(a *survey.Adjustment) float64 {
	most := 0.0
	for i := range a.Places {
		most = max(most, a.Scale()*a.Ellipse(i).Long)
	}
	if most == 0 {
		return 1
	}
	factor := round125(largest / (most * s.scale))
	for i := range a.Places {
		e := a.Ellipse(i)
		if e.Long == 0 {
			continue
		}
		unit := a.Scale() * s.scale * factor
		s.Polygon(drawing.Mark, ellipse(s.mark(i), e.Long*unit, e.Short*unit, e.Direction.Radians()))
	}
	return factor
}

func times(factor float64) string {
	if factor == 1 {
		return "as large as the rest"
	}
	return fmt.Sprintf("%g times as large as the rest", factor)
}

// round125 is the next lower of 1, 2 and 5 times a power of ten.
func round125(v float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, step := range []float64{5, 2} {
		if v >= step*power {
			return step * power
		}
	}
	return power
}

func ellipse(centre r2.Point, long, short, direction float64) []r2.Point {
	const sides = 72
	sin, cos := math.Sincos(direction)
	var list []r2.Point
	for i := range sides {
		y, x := math.Sincos(2 * math.Pi * float64(i) / sides)
		list = append(list, centre.Add(r2.Point{X: long*x*cos - short*y*sin, Y: long*x*sin + short*y*cos}))
	}
	return list
}
