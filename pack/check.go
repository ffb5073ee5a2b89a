package pack

import "github.com/golang/geo/r3"

// Rule names the required gap that a relation has to keep.
type Rule int

const (
	Beside Rule = iota // two boxes; the sheet may also lie, then Above is required
	Wall
	RailGap
	KeepOutGap
	PostGap
	BootGap
)

// Part is one end of a relation: a box, a post of it, or an obstacle of the frame.
type Part struct {
	Box      string // kind, empty for an obstacle
	Number   int
	Post     string // empty for the case
	Obstacle string
}

// Relation is two parts and the distance between them.
type Relation struct {
	A, B     Part // A is a box or a post
	Rule     Rule
	Required float64   // required gap along Normal
	Gap      float64   // clearance as the spare counts it: the sheet gap, or the shortest distance to a round solid
	Distance float64   // shortest distance
	Left     float64   // Gap − Required, the greatest over the sheet's directions
	Normal   r3.Vector // the sheet's normal, from A to B
}

// Fault is a rule of the pack that a layout breaks other than by a distance.
type Fault struct {
	Rule FaultRule
	Part Part
	Text string // what is wrong and what to do
}

// FaultRule is a typed constant for each rule that a layout can break.
type FaultRule int

const (
	UnknownBox FaultRule = iota
	MissingBox
	RepeatedBox
	StandNotAllowed
	TiltNotAllowed
	BadOrientation // Up and Front on one axis
	BadCentre      // not a finite number, or out of range
)

// Report is what Check says of a layout.
type Report struct {
	Relations []Relation // worst first: by Left, then by the order of the files
	Faults    []Fault
	Spare     float64 // the least Left; +Inf when there is no relation
}

// Holds tells whether the layout is an answer: no fault, and spare at least 0.
func (r Report) Holds() bool { return len(r.Faults) == 0 && r.Spare >= 0 }
