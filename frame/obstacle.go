package frame

import (
	"github.com/golang/geo/r1"

	"rackwright/geom"
)

// ObstacleKind tells which required gap an obstacle asks for.
type ObstacleKind int

const (
	Side     ObstacleKind = iota // a side of the outline, or a piece outside it
	Width                        // a limit of the width
	RailTube                     // a stretch of a rail
	KeptOut                      // a piece of a keep-out
	Moves                        // what a part that moves is swept through, or the part at rest
	Road                         // the road, level or leant over
)

// Obstacle is one convex solid that boxes must stay clear of. A thing of the frame
// that is not convex, or a bent rail, gives several that share its name.
type Obstacle struct {
	Name  string // as said to the user: "down-tube left", "width right"
	Kind  ObstacleKind
	Solid geom.Solid
	Metal bool
	Gap   *float64 // the obstacle's own required gap, nil for the pack's

	// Inner is in what a part that moves is swept through, while Solid is around it: what is
	// proven is proven of this. It is nil for what does not move: there Solid is both.
	Inner geom.Solid
	// Range is of positions of the part that moves, see geom.Motion.
	Range r1.Interval

	// Source is the index of the thing in its list: side, rail, keep-out or part that moves; 0
	// for others.
	Source int
	// Open, Removable and LiftsOff tell what need not be there while boxes go in.
	Open, Removable, LiftsOff bool
}
