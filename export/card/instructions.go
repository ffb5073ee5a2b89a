package card

import (
	"fmt"
	"math"

	"rackwright/geom"
)

// Instructions say how to make the box and how to check the print.
func (n *Net) Instructions(unit geom.Unit) []string {
	size := n.Kind.Size
	return []string{
		fmt.Sprintf("%s measures %s × %s × %s outside when folded from %s.",
			n.Kind.Name, geom.FormatLength(size.X, unit), geom.FormatLength(size.Y, unit), geom.FormatLength(size.Z, unit), Called(n.Board)),
		"What a fold takes up is an estimate: measure the first box that you fold before you cut the others.",
		"Thick, with scissors: cut. Dashed: score and fold away from you. Dotted: keep metal out of here. Tape the ends.",
		"Print at 100 %, never fitted to the page, and check the bars with a ruler.",
	}
}

// Copied says how many copies to print, and how the boxes are tilted in the layout.
func (l Label) Copied() []string {
	var lines []string
	switch {
	case l.Copies == 1:
		lines = append(lines, "Print one copy.")
	case l.Copies > 1:
		lines = append(lines, fmt.Sprintf("Print %d copies: one for each %s.", l.Copies, l.Name))
	}
	if tilt := l.tilt(); tilt != "" {
		lines = append(lines, fmt.Sprintf("In %s %s is %s: the dotted lines on its sides are level then.", l.Layout, l.Name, tilt))
	}
	return lines
}

// tilt says how the box is tilted in the layout, nothing where it is not.
func (l Label) tilt() string {
	if l.Stand == nil {
		return ""
	}
	switch d := math.Round(l.Stand.Tilt.Degrees()*10) / 10; {
	case d > 0:
		return fmt.Sprintf("tilted %g° nose down", d)
	case d < 0:
		return fmt.Sprintf("tilted %g° nose up", -d)
	}
	return ""
}
