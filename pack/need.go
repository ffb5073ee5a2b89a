package pack

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/frame"
)

// The table of required gaps: what every relation of a layout has to keep. The search has one
// of its own, for the judge shares nothing with it.

// Need is what is required between two parts.
type Need struct {
	Rule     Rule
	Required float64 // mm
	Own      bool    // the obstacle's own gap counts, and not the pack's
}

// BetweenBoxes returns what two bodies of different boxes need, posts or cases, with a sheet
// of unit normal n between them. Only two cases need other gaps in other directions.
func (g Gaps) BetweenBoxes(post, otherPost bool, n r3.Vector) Need {
	switch {
	case post && otherPost:
		return Need{Rule: PostGap, Required: g.Post}
	case post || otherPost:
		return Need{Rule: BootGap, Required: g.Boot}
	case lies(n):
		return Need{Rule: Above, Required: g.Above}
	}
	return Need{Rule: Beside, Required: g.Beside}
}

// ToObstacle returns what a case, or a post, needs to an obstacle. A post keeps away from
// metal by the post's gap, or the obstacle's own where that is greater; from all else it
// keeps what a case keeps. The limits of the width are never metal.
func (g Gaps) ToObstacle(o frame.Obstacle, post bool) Need {
	n := g.caseToObstacle(o.Kind)
	toMetal := post && o.Metal && o.Kind != frame.Width
	if toMetal {
		n = Need{Rule: PostGap, Required: g.Post}
	}
	if o.Gap != nil && (!toMetal || *o.Gap > n.Required) {
		n.Required, n.Own = *o.Gap, true
	}
	return n
}

func (g Gaps) caseToObstacle(kind frame.ObstacleKind) Need {
	switch kind {
	case frame.RailTube:
		return Need{Rule: RailGap, Required: g.Rail}
	case frame.KeptOut, frame.Moves, frame.Road:
		return Need{Rule: KeepOutGap, Required: g.KeepOut}
	}
	return Need{Rule: Wall, Required: g.Wall}
}

// lies tells whether a sheet of unit normal n is lying: n more than 45° up or down.
// At exactly 45°, and within a billionth of it, where the rounding of a tilt would
// decide, the sheet counts as standing.
func lies(n r3.Vector) bool {
	const slack = 1e-9
	return math.Abs(n.Z) > math.Sqrt2/2+slack
}
