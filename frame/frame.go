// Package frame reads the frame file and turns what it describes (the opening,
// rails, keep-outs and mounts) into solids. It knows nothing of batteries.
//
// Lengths are millimetres as the user gave them, whatever the unit of the file.
package frame

import (
	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// Frame is a frame file: what a pack has to fit into.
type Frame struct {
	Name     string
	Unit     geom.Unit
	Accuracy float64 // how much nearer any measured face may be that has no accuracy of its own
	Opening  Opening
	Rails    []Rail
	KeepOuts []KeepOut
	Moving   []Moving
	Mounts   []Mount
	Vehicle  *Vehicle // nil when the file does not say
	Ground   *Ground  // nil when the file does not say
	Number   *Number  // of the frame; nil when the file does not say
	Survey   *Survey  // nil when nothing is taped
	Hash     string   // SHA-256 of the file, in hexadecimal
}

// Opening is the clear space: a side-view outline and a width across that may
// change with height.
type Opening struct {
	Outline geom.Polygon // side view, counter-clockwise, need not be convex
	Sides   []string     // name of the side from corner i to corner i+1, one each: given or made
	Open    []bool       // whether nothing is there when boxes go in, one for each side
	// Accuracies are by how much each side may be nearer; nil where all have the frame's.
	Accuracies []float64
	Stations   []Station // at least one, by height; straight between them, constant beyond
	Metal      bool      // whether the outline stands for metal
	Clockwise  bool      // the file has the corners clockwise: Outline, Sides and Open are turned round
}

// Station is the width across at a height: y from Across.Lo (right) to Across.Hi (left).
type Station struct {
	Z      float64
	Across r1.Interval
}

// Rail is a frame tube along a path of two or more points.
type Rail struct {
	Name      string
	Path      []r3.Vector
	Diameter  float64
	Mirror    bool // a second one stands at −y
	Removable bool // unbolts: a concession, and off while boxes go in
	Gap       *float64
	Accuracy  *float64 // how much nearer it may be; nil: as the frame
	Clamps    bool     // clamps of a rack may hold on to it
}

// KeepOut is a solid that boxes must stay clear of. Exactly one of Profile, Section, Box,
// Round and Piece is set.
type KeepOut struct {
	Name     string
	Profile  *Profile
	Section  *Section
	Box      *Corners
	Round    *Round
	Piece    *geom.Polyhedron // what is left of another that was notched; no file has it
	Metal    bool
	LiftsOff bool    // off while boxes go in
	Trim     float64 // may be notched this deep: a concession
	Gap      *float64
	Accuracy *float64 // how much nearer each face may be; nil: as the frame
	Mass     float64  // kg, 0 when not given; counts where it hangs on the rack
	Hangs    []Hang   // where it hangs on the rack
}
