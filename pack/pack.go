// Package pack reads the pack file, and judges layouts: Check says of every relation
// of a layout how much of the required gap is left.
package pack

import (
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/geom"
)

// Pack is a pack file: the boxes to fit and the gaps they need.
type Pack struct {
	Name   string
	Unit   geom.Unit
	NoUnit bool // the file does not say its unit, so that it is mm
	Gaps   Gaps
	Floor  *Gaps // gaps that the builder would go down to if need be; nil when not given
	Kinds  []Kind
	Wiring Wiring // as the file gives it: 0 where it does not; see Wired
	Hash   string // SHA-256 of the file, in hexadecimal
}

// Index returns which of the kinds has the name, −1 where none has.
func (p *Pack) Index(kind string) int {
	return slices.IndexFunc(p.Kinds, func(k Kind) bool { return k.Name == kind })
}

// Gaps are the required gaps in millimetres.
type Gaps struct {
	Beside  float64 // two boxes, the sheet standing (its normal nearer to horizontal)
	Above   float64 // two boxes, the sheet lying (its normal more than 45° up)
	Wall    float64 // a box and the sides of the opening, and its width
	Rail    float64 // a box and a tube
	KeepOut float64 // a box and a keep-out
	Post    float64 // a post and metal, posts of other boxes included
	Boot    float64 // a post and another box's case
	Entry   float64 // air around a box while it goes in
	Tray    float64 // under a box that stands on a tray; see StandingOf
	Bar     float64 // a post and metal of the rack that its box can hardly move towards
}

// DefaultGaps returns the gaps of a pack file that gives none. Post is the movement
// that 33 CFR 183.420 allows a strapped battery under test: one inch, rounded down
// to whole millimetres as builders measure them. Tray is 3 mm of metal and 3 mm of foam.
// Bar is our own choice with no source: five times the 2 mm by which foam lets a held box
// move.
func DefaultGaps() Gaps {
	return Gaps{Beside: 3, Above: 6, Wall: 0, Rail: 5, KeepOut: 5, Post: 25, Boot: 3, Entry: 2, Tray: 6, Bar: 10}
}

// Kind is a kind of box, of which there are Count alike. Its own axes are L, W, H:
// upright and facing forward they lie along x, y, z.
type Kind struct {
	Name        string
	Count       int
	Size        r3.Vector // L, W, H outside: lips included, posts not
	Accuracy    float64   // each size may be larger by this
	Swell       float64   // and by this again
	Mass        float64   // kg, 0 when not given
	Carries     float64   // kg that may stand on one, 0 for nothing
	Within      Range     // all of each lies in it
	Stands      []Stand   // allowed stands, in the order given
	Flooded     bool      // holds liquid acid: Stands is upright alone
	Tilts       []s1.Angle
	Posts       []Post
	Volts       float64 // nominal, 0 when not given
	AmpHours    float64
	ChargeVolts float64
}

// Post is a live terminal: a round post standing on a face of its box, or flush
// (Height 0).
type Post struct {
	Name     string
	Face     Face
	At       r2.Point // the two box coordinates in the face, in the order L, W, H, from the box's low corner
	Diameter float64
	Height   float64
	Polarity string // "+", "-" or empty
	Unused   bool   // nothing is joined to it
	// JoinedFirst tells that its cable is joined before its box goes in: no tool has to reach it then.
	JoinedFirst bool
	Bolt        string // such as M8, empty when not given
	Line        int    // of the pack file where it begins, 0 where it was not read from one
}
