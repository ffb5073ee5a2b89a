package card

import (
	"fmt"

	"rackwright/geom"
)

// Instructions say how to make the box and how to check the print.
func (n *Net) Instructions(unit geom.Unit) []string {
	size := n.Kind.Size
	return []string{
		fmt.Sprintf("%s measures %s × %s × %s outside when folded from %s.",
			n.Kind.Name, geom.FormatLength(size.X, unit), geom.FormatLength(size.Y, unit), geom.FormatLength(size.Z, unit), Called(n.Board)),
		"What a fold takes up is an estimate: measure the first box that you fold before you cut the others.",
		"Solid: cut. Dashed: score and fold away from you. Dotted: keep metal out of here. Tape the ends.",
		"Print at 100 %, never fitted to the page, and check the bars with a ruler.",
	}
}
