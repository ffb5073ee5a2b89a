package page

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"github.com/golang/geo/r2"

	"rackwright/export"
	"rackwright/export/answer"
	"rackwright/export/view"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/balance"
)

// balanced is what the page tells of the vehicle's balance.
type balanced struct {
	Lines   []both
	Drawing template.HTML
}

// balanceOf is nil where the frame file tells of no vehicle.
func balanceOf(p pack.Problem, l Layout) (*balanced, error) {
	if p.Frame.Vehicle == nil {
		return nil, nil
	}
	b := balance.Of(p, l.Layout)
	scene, err := view.NewScene(p, l.Judged, view.Options{})
	if err != nil {
		return nil, err
	}
	return &balanced{
		Lines:   pairs(answer.BalanceLines(p, b, geom.Millimetre), answer.BalanceLines(p, b, geom.Inch)),
		Drawing: drawBalance(p.Frame, b, scene.Lines(view.FromRight)),
	}, nil
}

// Sizes of the drawing in pixels.
const (
	balanceWide = 560.0
	balanceRim  = 24.0
	balanceFoot = 76.0 // for the words under the road
	balanceRow  = 54.0 // of a wheel
	balanceHalf = 110.0
	markRadius  = 7.0
)

// sideView draws the vehicle from the right: the front is to the right.
type sideView struct {
	strings.Builder
	scale float64
	low   r2.Point // mm, at the left end of the road
	high  float64  // px, from the top down to the road
}

func drawBalance(f *frame.Frame, b balance.Balance, lines view.Lines) template.HTML {
	road := f.Opening.Outline.Bounds().Y.Lo - 100 // where the file does not tell how high it is
	if f.Ground != nil {
		road = -f.Ground.Clear
	}
	all := f.Opening.Outline.Bounds().AddPoint(r2.Point{X: f.Opening.Outline.Bounds().X.Lo, Y: road})
	for _, w := range f.Vehicle.Wheels {
		all = all.AddRect(r2.RectFromCenterSize(r2.Point{X: w.At.X, Y: road + w.Radius}, r2.Point{X: 2 * w.Radius, Y: 2 * w.Radius}))
	}
	v := &sideView{scale: (balanceWide - 2*balanceRim) / all.Size().X, low: r2.Point{X: all.X.Lo, Y: road}}
	v.high = balanceRim + all.Size().Y*v.scale
	below, foot := v.rows(f.Vehicle.Wheels)
	fmt.Fprintf(v, `<svg xmlns="http://www.w3.org/2000/svg" class="balance" viewBox="0 0 %s %s" width="%s" height="%s" role="img" aria-label="Side view: wheels with their loads, the boxes, and the middle of mass; the same is in words beside it">`,
		px(balanceWide), px(v.high+foot), px(balanceWide), px(v.high+foot))
	v.line("road", r2.Point{X: all.X.Lo, Y: road}, r2.Point{X: all.X.Hi, Y: road})
	for i, w := range f.Vehicle.Wheels {
		c := v.at(r2.Point{X: w.At.X, Y: road + w.Radius})
		fmt.Fprintf(v, `<circle class="wheel" cx="%s" cy="%s" r="%s"/>`, px(c.X), px(c.Y), px(w.Radius*v.scale))
		v.loads(r2.Point{X: c.X, Y: v.high + below[i]}, b.Wheels[i])
	}
	for _, loop := range lines.Opening {
		v.line("opening", append(append([]r2.Point{}, loop...), loop[0])...)
	}
	for _, l := range lines.Seen {
		v.line("box", l[0], l[1])
	}
	v.middles(f, b, road)
	v.WriteString("</svg>")
	return template.HTML(v.String())
}

func px(v float64) string { return fmt.Sprintf("%g", math.Round(v*10)/10) }

func (v *sideView) at(p r2.Point) r2.Point {
	return r2.Point{X: balanceRim + (p.X-v.low.X)*v.scale, Y: v.high - (p.Y-v.low.Y)*v.scale}
}

func (v *sideView) line(class string, points ...r2.Point) {
	fmt.Fprintf(v, `<polyline class="%s" points="`, class)
	for _, p := range points {
		q := v.at(p)
		fmt.Fprintf(v, "%s,%s ", px(q.X), px(q.Y))
	}
	v.WriteString(`"/>`)
}

func (v *sideView) text(at r2.Point, words string) {
	fmt.Fprintf(v, `<text x="%s" y="%s">%s</text>`, px(at.X), px(at.Y), export.Markup(words))
}

// rows is how far under the road the words of each wheel begin: lower for one beside another.
func (v *sideView) rows(wheels []frame.Wheel) (below []float64, foot float64) {
	foot = balanceFoot
	for i, w := range wheels {
		row := 0.0
		for k, o := range wheels[:i] {
			if math.Abs(w.At.X-o.At.X)*v.scale < 2*balanceHalf {
				row = max(row, below[k]+balanceRow)
			}
		}
		below, foot = append(below, row), max(foot, row+balanceFoot)
	}
	return below, foot
}

// loads writes under a wheel what it bears.
func (v *sideView) loads(at r2.Point, w balance.Wheel) {
	words := []string{w.Name + ": " + kg(w.Packed) + " packed"}
	if w.With != nil {
		words = []string{w.Name + ": " + kg(*w.With), "as weighed " + kg(*w.Now)}
		if w.Before != nil {
			words[1] += ", before " + kg(*w.Before)
		}
	}
	if w.Allowed != nil {
		words = append(words, "allowed "+kg(*w.Allowed))
	}
	at.X = min(max(at.X, balanceHalf), balanceWide-balanceHalf)
	for i, line := range words {
		v.text(r2.Point{X: at.X, Y: at.Y + 18 + 16*float64(i)}, line)
	}
}

func kg(mass float64) string { return fmt.Sprintf("%.1f kg", mass) }

// middles marks the middle of mass of the vehicle as weighed, and with what is packed; of the
// boxes alone where it was not weighed. One whose height is not known is marked on the road.
func (v *sideView) middles(f *frame.Frame, b balance.Balance, road float64) {
	if b.Whole == nil {
		if b.Packed > 0 {
			v.middle("after", r2.Point{X: b.Middle.X, Y: b.Middle.Z})
		}
		return
	}
	on := func(s *balance.Sum) r2.Point {
		p := r2.Point{X: s.At.X, Y: road}
		if s.Height != nil {
			p.Y = *s.Height
		}
		return p
	}
	if own := balance.Of(pack.Problem{Frame: f, Pack: &pack.Pack{}}, pack.Layout{}); own.Whole != nil {
		v.middle("before", on(own.Whole))
	}
	v.middle("after", on(b.Whole))
}

// middle draws the sign of a middle of mass: a disc with two quarters filled.
func (v *sideView) middle(class string, p r2.Point) {
	c := v.at(p)
	fmt.Fprintf(v, `<g class="middle %s" transform="translate(%s %s)"><circle r="%g"/><path d="M0 0V-%[4]gA%[4]g %[4]g 0 0 1 %[4]g 0ZM0 0V%[4]gA%[4]g %[4]g 0 0 1 -%[4]g 0Z"/></g>`, class, px(c.X), px(c.Y), markRadius)
}
