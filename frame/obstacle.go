package frame

import "rackwright/geom"

// ObstacleKind tells which required gap an obstacle asks for.
type ObstacleKind int

const (
	Side     ObstacleKind = iota // a side of the outline, or a piece outside it
	Width                        // a limit of the width
	RailTube                     // a stretch of a rail
	KeptOut                      // a piece of a keep-out
)

// Obstacle is one convex solid that boxes must stay clear of. A thing of the frame
// that is not convex, or a bent rail, gives several that share its name.
type Obstacle struct {
	Name  string // as said to the user: "down-tube left", "width right"
	Kind  ObstacleKind
	Solid geom.Solid
	Metal bool
	Gap   *float64 // the obstacle's own required gap, nil for the pack's

	// Source is the index of the thing in its list: side, rail or keep-out; 0 for widths.
	Source int
	// Open, Removable and LiftsOff tell what need not be there while boxes go in.
	Open, Removable, LiftsOff bool
}
