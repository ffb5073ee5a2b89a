package pack

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// Rule names the required gap that a relation has to keep.
type Rule int

const (
	Beside     Rule = iota // two boxes, the sheet between them standing
	Above                  // two boxes, the sheet lying: its normal more than 45° up
	Wall                   // a box, or a post where the side is not metal, and a side of the opening or a limit of its width
	RailGap                // a box and a rail
	KeepOutGap             // a box, or a post where the keep-out is not metal, and a keep-out
	PostGap                // a post and metal, posts of other boxes included
	BootGap                // a post and another box's case
)

var ruleNames = [...]string{"beside", "above", "wall", "rail", "keepout", "post", "boot"}

// String returns the name of the required gap in the pack file.
func (r Rule) String() string { return nameOf(ruleNames[:], int(r)) }

// ParseRule returns the rule with the given name.
func ParseRule(text string) (Rule, error) {
	i, err := parseName("gap", ruleNames[:], text)
	return Rule(i), err
}

// Relation is two parts and the distance between them.
type Relation struct {
	A, B     Part // A is a box or a post
	Rule     Rule
	Required float64   // required gap along Normal
	Gap      float64   // clearance as the spare counts it: the sheet gap, or the shortest distance to a round solid
	Distance float64   // shortest distance, never less than Gap; negative where the parts overlap
	Left     float64   // Gap − Required, the greatest over the sheet's directions; see leaves
	Normal   r3.Vector // the sheet's normal, from A to B
}

// leaves returns what a clearance leaves of a required gap. Where that is no farther from 0 than
// rounding may have moved it, geom.Tolerance, it is 0: what the numbers of the files fill exactly
// is a fit, and has nothing to spare.
func leaves(gap, required float64) float64 {
	left := gap - required
	if math.Abs(left) <= geom.Tolerance {
		return 0
	}
	return left
}
