// Package card makes card templates: nets that fold up into boxes of true outside size.
//
//	board.go         kinds of card
//	beside.go        words that a face is too small for
//	net.go           the panels and folds of a net
//	spread.go        where they lie, with what the card takes up
//	place.go         where a point of the box lies on the net
//	choose.go        the nets of least board, or in parts that fit on a sheet
//	seam.go          faces larger than the sheet, cut along seams
//	cuts.go          the line to cut along, hand holes
//	draw.go          what is written on the panels
//	post.go          posts, and strips to roll them of
//	instructions.go  how to make the box
package card

import (
	"fmt"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"rackwright/pack"
)

// Panel is a flat part of a net: a face of the box, or a flap to be glued inside of a
// face. Its rectangle is in millimetres, x to the right and y up, the printed outside
// towards the reader.
type Panel struct {
	Face pack.Face // of a flap: the face that it belongs to
	Flap bool
	Rect r2.Rect
	Part int // part of the net
}

// Fold is a line along which two panels meet, folded by 90° away from the reader.
type Fold struct {
	From, To      r2.Point
	Parent, Child int // panels
}

// Glue says which flap goes inside of which panel. Both are drawn as they then lie, one
// over the other, except for the flap that closes the row of walls.
type Glue struct{ Flap, Inside int }

// Net is the template of a box. Four walls stand in a row, closed by a flap inside the
// first one; the two ends hang on the third. In its own way round the walls are left,
// back, right and front, and the ends top and bottom.
type Net struct {
	Kind   pack.Kind
	Board  float64          // thickness of the card
	Way    pack.Orientation // which faces of the box are the upper end and the front wall
	Panels []Panel
	Folds  []Fold
	Glued  []Glue
	Parts  int // how many pieces of card
	origin [6]placed
	holes  []pack.Face // faces with a hand hole
	sheet  r2.Point    // faces larger than this are cut along seams; zero for none
	full   bool        // into pieces as large as the sheet takes, not into equal ones
}

// NetOf draws the net of a kind of box for card of a thickness in millimetres, 0 for
// paper. Card is taken to fold about the middle of its thickness, so a panel between two
// folds is shorter than the outside by one thickness; what lies inside of another panel
// by more. Where a joint is cut a flap on one panel goes inside of the other.
func NetOf(k pack.Kind, board float64, way pack.Orientation, cut Joints) (*Net, error) {
	n := &Net{Kind: k, Board: board, Way: way}
	size := n.own(k.Size)
	if !(board >= 0 && board <= MaxBoard) || 4*board >= min(size.X, size.Y, size.Z) {
		return nil, fmt.Errorf("%w: %s is too small to be folded from card %g mm thick; take thinner card", ErrBoard, k.Name, board)
	}
	s := newSpread(size, board, cut)
	n.walls(s)
	n.ends(s)
	n.place(s)
	n.parts()
	n.handHoles()
	return n, nil
}

// walls adds the row of walls and the flap that closes it.
func (n *Net) walls(s spread) {
	inside := r1.Interval{Lo: s.low + s.t/2, Hi: s.high - s.t/2}
	left := n.panel(pack.Left, s.x0, s.x1, inside)
	back := n.panel(pack.Back, s.x1, s.x2, inside)
	right := n.panel(pack.Right, s.x2, s.x3, r1.Interval{Lo: s.low - s.grown(RightBottom), Hi: s.high + s.grown(RightTop)})
	front := n.panel(pack.Front, s.x3, s.x4, inside)
	n.Panels[back].Rect.X.Lo -= s.grown(LeftBack)
	n.Panels[right].Rect.X.Lo -= s.grown(BackRight)
	n.Panels[right].Rect.X.Hi += s.grown(RightFront)
	n.upright(s, LeftBack, s.x1, inside, back, left, 1)
	n.upright(s, BackRight, s.x2, inside, right, back, 1)
	n.upright(s, RightFront, s.x3, inside, right, front, -1)
	closing := n.flap(front, r2.Rect{X: r1.Interval{Lo: s.x4, Hi: s.x4 + s.flap}, Y: inside.Expanded(-s.inset())})
	n.fold(s.x4, s.x4, n.Panels[closing].Rect.Y, front, closing)
	n.Glued = append(n.Glued, Glue{closing, left})
}

// upright joins two walls at x by a fold, or, where the joint is cut, by a flap of the
// child inside the parent; the parent lies to the given side.
func (n *Net) upright(s spread, j Joint, x float64, y r1.Interval, parent, child int, side float64) {
	if !s.cut.Has(j) {
		n.fold(x, x, y, parent, child)
		return
	}
	flap := n.flap(child, r2.Rect{X: between(x, x+side*s.flap), Y: y.Expanded(-s.inset())})
	n.fold(x, x, n.Panels[flap].Rect.Y, child, flap)
	n.Glued = append(n.Glued, Glue{flap, parent})
}

// ends adds the top and the bottom, which hang on the right wall.
func (n *Net) ends(s spread) {
	deep := s.size.Y - s.t/2
	across := r1.Interval{Lo: 0, Hi: s.size.X}
	top := n.panel(pack.Top, 0, 0, r1.Interval{Lo: s.high, Hi: s.high + deep - s.lost[RightTop]})
	bottom := n.panel(pack.Bottom, 0, 0, r1.Interval{Lo: s.low - deep + s.lost[RightBottom], Hi: s.low})
	n.Panels[top].Rect.X, n.Panels[bottom].Rect.X = across, across
	n.level(s, RightTop, s.high, top, -1)
	n.level(s, RightBottom, s.low, bottom, 1)
}

const rightWall = 2 // the panel that all others hang on

// level joins an end to the right wall at y; the wall lies to the given side.
func (n *Net) level(s spread, j Joint, y float64, child int, side float64) {
	x := r1.Interval{Lo: s.x2, Hi: s.x3}
	if !s.cut.Has(j) {
		n.foldAcross(x, y, rightWall, child)
		return
	}
	in := x.Expanded(-s.t/2 - s.inset())
	if s.cut.Has(BackRight) { // clear of the other flaps inside the same wall
		in.Lo += s.flap
	}
	if s.cut.Has(RightFront) {
		in.Hi -= s.flap
	}
	if in.Length() < s.flap/4 { // no room beside them: narrow, over their edges
		in = x.Expanded(-s.t/2 - s.inset())
	}
	flap := n.flap(child, r2.Rect{X: in, Y: between(y, y+side*s.flap)})
	n.foldAcross(in, y, child, flap)
	n.Glued = append(n.Glued, Glue{flap, rightWall})
}

func between(a, b float64) r1.Interval { return r1.Interval{Lo: min(a, b), Hi: max(a, b)} }

// panel adds the panel of a face, given as the net has it.
func (n *Net) panel(face pack.Face, left, right float64, y r1.Interval) int {
	n.Panels = append(n.Panels, Panel{Face: n.face(face), Rect: r2.Rect{X: r1.Interval{Lo: left, Hi: right}, Y: y}})
	return len(n.Panels) - 1
}

// panelOf is the panel of a face of the box.
func (n *Net) panelOf(f pack.Face) Panel {
	return n.Panels[slices.IndexFunc(n.Panels, func(p Panel) bool { return p.Face == f && !p.Flap })]
}

// flap adds a flap to a panel.
func (n *Net) flap(on int, r r2.Rect) int {
	n.Panels = append(n.Panels, Panel{Face: n.Panels[on].Face, Flap: true, Rect: r})
	return len(n.Panels) - 1
}

func (n *Net) fold(x0, x1 float64, y r1.Interval, parent, child int) {
	n.Folds = append(n.Folds, Fold{r2.Point{X: x0, Y: y.Lo}, r2.Point{X: x1, Y: y.Hi}, parent, child})
}

func (n *Net) foldAcross(x r1.Interval, y float64, parent, child int) {
	n.Folds = append(n.Folds, Fold{r2.Point{X: x.Lo, Y: y}, r2.Point{X: x.Hi, Y: y}, parent, child})
}

// parts numbers the pieces of card that hang together by folds.
func (n *Net) parts() {
	for i := range n.Panels {
		n.Panels[i].Part = i
	}
	for range n.Panels {
		for _, f := range n.Folds {
			low := min(n.Panels[f.Parent].Part, n.Panels[f.Child].Part)
			n.Panels[f.Parent].Part, n.Panels[f.Child].Part = low, low
		}
	}
	number := map[int]int{}
	for i := range n.Panels {
		p := &n.Panels[i]
		if _, seen := number[p.Part]; !seen {
			number[p.Part] = len(number)
		}
		p.Part = number[p.Part]
	}
	n.Parts = len(number)
}

// Bounds is the least rectangle around a part of the net.
func (n *Net) Bounds(part int) r2.Rect {
	b := r2.EmptyRect()
	for _, p := range n.Panels {
		if p.Part == part {
			b = b.AddRect(p.Rect)
		}
	}
	return b
}
