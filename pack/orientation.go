package pack

import (
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
)

// Face is one of the six faces of a box, in the box's own axes.
type Face int

const (
	Front  Face = iota // +L
	Back               // −L
	Left               // +W
	Right              // −W
	Top                // +H
	Bottom             // −H
)

// Stand says which face is up.
type Stand int

const (
	Upright  Stand = iota // top up
	OnSide                // left or right up
	OnEnd                 // front or back up
	Inverted              // bottom up
)

// Orientation is one of the 24 rotations of a box, and a tilt: Up and Front are the
// box's own faces that look up (+z) and forward (+x) before the tilt turns the box
// about its centre, right-handed about +y (nose down for positive angles).
type Orientation struct {
	Up, Front Face
	Tilt      s1.Angle
}

// Placement puts one box in its place. Number counts the boxes of a kind from 1.
type Placement struct {
	Box    string
	Number int
	Orientation
	Centre r3.Vector
}

// Layout is boxes in their places, with the hashes of the files it was made for.
type Layout struct {
	FrameHash, PackHash string
	Placements          []Placement
}
