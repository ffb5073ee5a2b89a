// Package nest lays flat parts out on sheets.
package nest

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"rackwright/export/drawing"
)

// Part is a drawing with the axis-parallel rectangles that it takes up, in its own
// coordinates, none over another: what is between them is free for others.
type Part struct {
	Drawing drawing.Drawing
	Rects   []r2.Rect
}

// Whole is a drawing that takes up all of its sheet.
func Whole(d drawing.Drawing) Part {
	return Part{d, []r2.Rect{r2.RectFromPoints(r2.Point{}, d.Size)}}
}

// Place is where a part lies: turned by quarter turns counter-clockwise about its own
// origin, then moved.
type Place struct {
	Sheet, Turns int
	By           r2.Point
}

// Settings say what the sheets are like, in millimetres.
type Settings struct {
	Sheet r2.Point
	Edge  float64 // left free around the sheet
	Gap   float64 // between two parts
}

// ErrSheet is wrapped by the errors for what does not go onto a sheet.
var ErrSheet = errors.New("does not fit on the sheet")

// Lay puts the parts onto as few sheets as a simple rule finds: the largest first, each
// on the first sheet where it fits, as low as can be and then as far left (bottom-left:
// Baker, Coffman and Rivest, SIAM Journal on Computing 9 (1980) 846–855, here with
// parts of several rectangles). What is largest is told by area, by length and by width in
// turn, and the first with the fewest sheets is kept. It returns a place for each part and
// the number of sheets.
func Lay(parts []Part, s Settings) (places []Place, sheets int, err error) {
	least := LeastSheets(parts, s)
	for _, key := range []func(size r2.Point) float64{
		func(size r2.Point) float64 { return size.X * size.Y },
		func(size r2.Point) float64 { return max(size.X, size.Y) },
		func(size r2.Point) float64 { return min(size.X, size.Y) },
	} {
		p, count, err := layBy(parts, s, key)
		if err != nil {
			return nil, 0, err
		}
		if places == nil || count < sheets {
			places, sheets = p, count
		}
		if sheets <= least {
			break
		}
	}
	return places, sheets, nil
}

// LeastSheets is how many sheets parts take at least, by the area of their rectangles.
func LeastSheets(parts []Part, s Settings) int {
	sum := 0.0
	for _, p := range parts {
		for _, r := range p.Rects {
			sum += r.X.Length() * r.Y.Length()
		}
	}
	return int(math.Ceil(sum/((s.Sheet.X-2*s.Edge)*(s.Sheet.Y-2*s.Edge)) - 1e-9))
}

// layBy is Lay for one order, the largest first.
func layBy(parts []Part, s Settings, large func(size r2.Point) float64) ([]Place, int, error) {
	order := make([]int, len(parts))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(large(bounds(parts[b].Rects).Size()), large(bounds(parts[a].Rects).Size()))
	})
	places := make([]Place, len(parts))
	var sheets []sheet
	first := map[string]int{} // of a shape, the first sheet that may have room: sheets only fill up
	for _, i := range order {
		place, ok := Place{}, false
		shape := fmt.Sprint(parts[i].Rects)
		for n := first[shape]; !ok; n++ {
			fresh := n == len(sheets)
			if fresh {
				sheets = append(sheets, sheet{s, nil})
			}
			place, ok = sheets[n].put(parts[i].Rects)
			place.Sheet = n
			if fresh && !ok {
				size := bounds(parts[i].Rects).Size()
				return nil, 0, fmt.Errorf("%s (%.0f × %.0f mm) %w of %g × %g mm, of which %g mm around stay free; take a larger sheet",
					parts[i].Drawing.Title, size.X, size.Y, ErrSheet, s.Sheet.X, s.Sheet.Y, s.Edge)
			}
		}
		places[i], first[shape] = place, place.Sheet
	}
	return places, len(sheets), nil
}

func bounds(rects []r2.Rect) r2.Rect {
	b := r2.EmptyRect()
	for _, r := range rects {
		b = b.AddRect(r)
	}
	return b
}

// turned are rectangles turned by quarter turns about the origin.
func turned(rects []r2.Rect, turns int) []r2.Rect {
	out := make([]r2.Rect, len(rects))
	for i, r := range rects {
		out[i] = r2.RectFromPoints(drawing.Turned(r.Lo(), turns), drawing.Turned(r.Hi(), turns))
	}
	return out
}

// sheet is a sheet with the rectangles taken on it.
type sheet struct {
	Settings
	taken []r2.Rect
}

// put finds a place for a part, level or turned by a quarter, and takes it.
func (s *sheet) put(rects []r2.Rect) (Place, bool) {
	best, found := Place{}, false
	top := math.Inf(1)
	for turns := range 2 {
		t := turned(rects, turns)
		if by, ok := s.lowest(t); ok {
			if high := by.Y + bounds(t).Y.Hi; high < top {
				best, found, top = Place{Turns: turns, By: by}, true, high
			}
		}
	}
	if found {
		for _, r := range turned(rects, best.Turns) {
			s.taken = append(s.taken, moved(r, best.By))
		}
	}
	return best, found
}

func moved(r r2.Rect, by r2.Point) r2.Rect { return r2.RectFromPoints(r.Lo().Add(by), r.Hi().Add(by)) }

// slack in millimetres lets a part that is as large as the sheet go onto it: what rounding
// may have added.
const slack = 1e-6

// lowest is the lowest place on the sheet, and of those the leftmost. At the lowest one
// the part touches the edge or, by a gap, another part from the right, so only such
// places are looked at.
func (s *sheet) lowest(rects []r2.Rect) (r2.Point, bool) {
	b := bounds(rects)
	xs := []float64{s.Edge - b.X.Lo}
	for _, t := range s.taken {
		for _, r := range rects {
			xs = append(xs, t.X.Hi+s.Gap-r.X.Lo)
		}
	}
	slices.Sort(xs)
	best, found := r2.Point{Y: math.Inf(1)}, false
	for _, x := range slices.Compact(xs) {
		if x+b.X.Lo < s.Edge || x+b.X.Hi > s.Sheet.X-s.Edge+slack {
			continue
		}
		floor := s.Edge - b.Y.Lo
		if y := s.drop(rects, x, floor); y+b.Y.Hi <= s.Sheet.Y-s.Edge+slack && y < best.Y {
			best, found = r2.Point{X: x, Y: y}, true
		}
		if best.Y <= floor {
			break // none is lower
		}
	}
	return best, found
}

// drop is the lowest y, not below start, at which nothing is nearer than the gap at x.
func (s *sheet) drop(rects []r2.Rect, x, start float64) float64 {
	b := bounds(rects)
	var closed []r1.Interval // places that are too near to something
	for _, t := range s.taken {
		if b.X.Lo+x >= t.X.Hi+s.Gap || t.X.Lo >= b.X.Hi+x+s.Gap {
			continue
		}
		for _, r := range rects {
			if r.X.Lo+x < t.X.Hi+s.Gap && t.X.Lo < r.X.Hi+x+s.Gap {
				closed = append(closed, r1.Interval{Lo: t.Y.Lo - s.Gap - r.Y.Hi, Hi: t.Y.Hi + s.Gap - r.Y.Lo})
			}
		}
	}
	slices.SortFunc(closed, func(a, b r1.Interval) int { return cmp.Compare(a.Lo, b.Lo) })
	y := start
	for _, c := range closed {
		if c.Lo < y && y < c.Hi {
			y = c.Hi
		}
	}
	return y
}

// Sheets draws what lies on each sheet.
func Sheets(parts []Part, places []Place, count int, s Settings) []drawing.Drawing {
	sheets := make([]drawing.Drawing, count)
	for i := range sheets {
		sheets[i].Title = fmt.Sprintf("Sheet %d of %d", i+1, count)
		sheets[i].Size = s.Sheet
	}
	for i, p := range places {
		sheets[p.Sheet].Add(parts[i].Drawing, p.Turns, p.By)
	}
	return sheets
}
