// Package card makes card templates: nets that fold up into boxes of true outside size.
package card

import (
	"errors"
	"fmt"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"rackwright/pack"
)

// Panel is a flat part of a net: a face of the box, or the glue flap. Its rectangle is
// in millimetres, x to the right and y up, the printed outside towards the reader.
type Panel struct {
	Face pack.Face
	Flap bool
	Rect r2.Rect
}

// Fold is a line along which two panels meet, folded by 90° away from the reader.
type Fold struct {
	From, To      r2.Point
	Parent, Child int // panels
}

// Net is the template of a box. The four walls stand in a row, left, back, right and
// front, closed by a glue flap inside the left one; top and bottom hang on the right one.
type Net struct {
	Kind   pack.Kind
	Board  float64 // thickness of the card
	Panels []Panel
	Folds  []Fold
	Size   r2.Point
	origin [6]placed // by face
}

// placed maps a face: box coordinates (a, b) in the face, in the order L, W, H from the
// low corner, to the net, at + (a·u, b·v).
type placed struct{ at, u, v r2.Point }

// ErrBoard is wrapped by the errors for card that a box cannot be made of.
var ErrBoard = errors.New("no net")

// MaxBoard is the thickest card in millimetres that nets are made for.
const MaxBoard = 20

// Flap widths: 38 mm is the usual glue flap (common practice), less on small boxes.
const usualFlap = 38.0

// NetOf draws the net of a kind of box for card of a thickness in millimetres, 0 for
// paper. Card folds about the middle of its thickness, so a panel between two folds is
// shorter than the outside by one thickness; what lies inside of another panel by more.
func NetOf(k pack.Kind, board float64) (*Net, error) {
	l, w, h := k.Size.X, k.Size.Y, k.Size.Z
	if !(board >= 0 && board <= MaxBoard) || 4*board >= min(l, w, h) {
		return nil, fmt.Errorf("%w: %s is too small to be folded from card %g mm thick; take thinner card", ErrBoard, k.Name, board)
	}
	n := &Net{Kind: k, Board: board}
	t := board
	flap := min(usualFlap, l/2, w/2)
	// Folds between the walls, from the left, and those of the bottom and the top.
	c1 := l - t/2
	c2 := c1 + w - t
	c3 := c2 + l - t
	c4 := c3 + w - 2*t
	yb := w - t/2 + margin
	yt := yb + h - t
	wall := r1.Interval{Lo: yb + t/2, Hi: yt - t/2}
	n.panel(pack.Left, 0, c1, wall)
	n.panel(pack.Back, c1, c2, wall)
	n.panel(pack.Right, c2, c3, r1.Interval{Lo: yb, Hi: yt})
	n.panel(pack.Front, c3, c4, wall)
	n.panel(pack.Top, c2-t/2, c2-t/2+l, r1.Interval{Lo: yt, Hi: yt + w - t/2})
	n.panel(pack.Bottom, c2-t/2, c2-t/2+l, r1.Interval{Lo: margin, Hi: yb})
	n.panel(pack.Front, c4, c4+flap, wall)
	n.Panels[6].Flap = true
	n.upright(c1, wall, 0, 1)
	n.upright(c2, wall, 1, 2)
	n.upright(c3, wall, 2, 3)
	n.upright(c4, wall, 3, 6)
	n.level(yt, c2, c3, 2, 4)
	n.level(yb, c2, c3, 2, 5)
	low := yb - t/2 // of the box's floor
	x, y := r2.Point{X: 1}, r2.Point{Y: 1}
	n.origin = [6]placed{
		pack.Left:   {r2.Point{X: margin + l, Y: low}, x.Mul(-1), y},
		pack.Back:   {r2.Point{X: margin + c1 - t/2 + w, Y: low}, x.Mul(-1), y},
		pack.Right:  {r2.Point{X: margin + c2 - t/2, Y: low}, x, y},
		pack.Front:  {r2.Point{X: margin + c3 - t/2, Y: low}, x, y},
		pack.Top:    {r2.Point{X: margin + c2 - t/2, Y: yt - t/2}, x, y},
		pack.Bottom: {r2.Point{X: margin + c2 - t/2, Y: yb + t/2}, x, y.Mul(-1)},
	}
	n.Size = r2.Point{X: 2*margin + c4 + flap, Y: yt + w - t/2 + margin}
	return n, nil
}

// margin is left free around a net, in millimetres.
const margin = 10.0

func (n *Net) panel(face pack.Face, left, right float64, y r1.Interval) {
	n.Panels = append(n.Panels, Panel{Face: face, Rect: r2.Rect{X: r1.Interval{Lo: margin + left, Hi: margin + right}, Y: y}})
}

func (n *Net) upright(x float64, y r1.Interval, parent, child int) {
	n.Folds = append(n.Folds, Fold{r2.Point{X: margin + x, Y: y.Lo}, r2.Point{X: margin + x, Y: y.Hi}, parent, child})
}

func (n *Net) level(y, from, to float64, parent, child int) {
	n.Folds = append(n.Folds, Fold{r2.Point{X: margin + from, Y: y}, r2.Point{X: margin + to, Y: y}, parent, child})
}

// At returns where a point of a face lies on the net: a and b are the two box
// coordinates in the face, in the order L, W, H, from the box's low corner.
func (n *Net) At(face pack.Face, p r2.Point) r2.Point {
	o := n.origin[face]
	return o.at.Add(o.u.Mul(p.X)).Add(o.v.Mul(p.Y))
}
