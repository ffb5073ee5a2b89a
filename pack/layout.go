package pack

import "github.com/golang/geo/r3"

// Placement puts one box in its place. Number counts the boxes of a kind from 1.
type Placement struct {
	Box    string
	Number int
	Orientation
	Centre r3.Vector
	Pinned bool // it is to stay where it is when the layout is given as pins
}

// Part returns the box that the placement is of.
func (p Placement) Part() Part { return Part{Box: p.Box, Number: p.Number} }

// Layout is boxes in their places, with the hashes of the files it was made for.
type Layout struct {
	FrameHash, PackHash string
	Placements          []Placement
}
