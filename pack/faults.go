package pack

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/s1"
)

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
	BadOrientation // Up and Front on one axis, or the tilt not a finite number
	BadCentre      // not a finite number, or beyond MaxCentre
	BadNumber      // not from 1 to the kind's count
	StaleFrame     // a warning: the layout was made for another frame file
	StalePack      // a warning: the layout was made for another pack file
	OutOfRange     // not within the range of its kind
	PinMoved       // not where it is pinned
	NoTrayRoom     // of Standing: a tray under the box has no room, and nothing carries it
	PostBelow      // of Standing: a post on the face that is down
	PinShort       // of a pin: nearer than the required gap to the frame or another pin
)

var faultNames = [...]string{
	"unknown box", "missing box", "repeated box", "stand not allowed", "tilt not allowed",
	"bad orientation", "bad centre", "bad number", "stale frame", "stale pack",
	"out of range", "pin moved", "no room for a tray", "post below", "pin short",
}

// String returns a short name of the rule.
func (r FaultRule) String() string { return nameOf(faultNames[:], int(r)) }

// sameTilt is how far in radians a tilt may be from an allowed one and still count
// as it: a thousand times what degrees lose when they are written and read again,
// and no more than a micron over a metre.
const sameTilt s1.Angle = 1e-9

// inspection sorts the placements of a layout into sound and faulty ones.
type inspection struct {
	problem Problem
	seen    map[Part]bool
	sound   []Placement
	faults  []Fault
}

// inspect returns the placements without fault in the order of the pack file, and the
// faults: those of placements in the order of the layout, then the boxes missing.
func inspect(problem Problem, layout Layout) (sound []Placement, faults []Fault) {
	n := inspection{problem: problem, seen: map[Part]bool{}}
	for _, p := range layout.Placements {
		n.place(p)
	}
	n.addMissing()
	order := map[string]int{}
	for i, k := range problem.Pack.Kinds {
		order[k.Name] = i
	}
	slices.SortStableFunc(n.sound, func(a, b Placement) int {
		if a.Box != b.Box {
			return order[a.Box] - order[b.Box]
		}
		return a.Number - b.Number
	})
	return n.sound, n.faults
}

// place judges one placement by itself and against those before it.
func (n *inspection) place(p Placement) {
	before := len(n.faults)
	part := p.Part()
	kind, known := n.problem.Kind(p.Box)
	switch {
	case !known:
		n.add(UnknownBox, part, "the pack has no box %q; give a box of the pack, or leave it out", p.Box)
	case p.Number < 1 || p.Number > kind.Count:
		n.add(BadNumber, part, "there is no number %d; the pack has %s 1 to %d", p.Number, p.Box, kind.Count)
	case n.seen[part]:
		n.add(RepeatedBox, part, "it is placed twice; leave one of them out")
	default:
		n.seen[part] = true
		n.orientation(part, kind, p.Orientation)
		if !inRange(p.Centre) {
			n.add(BadCentre, part, "its centre %s is not within %d m of the origin; correct it", coordinates(p.Centre), MaxCentre/1000)
		}
	}
	if len(n.faults) == before {
		n.sound = append(n.sound, p)
		n.bounds(p, kind)
	}
}

func (n *inspection) orientation(part Part, kind Kind, o Orientation) {
	if !o.Valid() {
		n.add(BadOrientation, part, "up %v and front %v, tilted by %s, is no orientation; name two faces next to each other and a tilt in degrees",
			o.Up, o.Front, degrees(o.Tilt))
		return
	}
	if !slices.Contains(kind.Stands, o.Stand()) {
		n.add(StandNotAllowed, part, "it stands %v; the pack allows %s", o.Stand(), words(kind.Stands))
	}
	if !slices.ContainsFunc(kind.Tilts, func(t s1.Angle) bool { return math.Abs(float64(t-o.Tilt)) <= float64(sameTilt) }) {
		n.add(TiltNotAllowed, part, "it is tilted by %s; the pack allows %s", degrees(o.Tilt), degreesOf(kind.Tilts))
	}
}

func (n *inspection) addMissing() {
	for _, k := range n.problem.Pack.Kinds {
		for number := 1; number <= k.Count; number++ {
			if part := (Part{Box: k.Name, Number: number}); !n.seen[part] {
				n.add(MissingBox, part, "it has no place; add it")
			}
		}
	}
}

func (n *inspection) add(rule FaultRule, part Part, format string, args ...any) {
	n.faults = append(n.faults, Fault{rule, part, fmt.Sprintf("%v: ", part) + fmt.Sprintf(format, args...)})
}

// stale returns a warning for each of the two files that has changed since the layout
// was made. A hash that is not known gives none.
func stale(problem Problem, layout Layout) []Fault {
	changed := func(made, now string) bool { return made != "" && now != "" && !strings.EqualFold(made, now) }
	var warnings []Fault
	if changed(layout.FrameHash, problem.Frame.Hash) {
		warnings = append(warnings, Fault{Rule: StaleFrame, Text: "the layout was made for another frame file, or the file has changed since; it is judged against the file as it is now"})
	}
	if changed(layout.PackHash, problem.Pack.Hash) {
		warnings = append(warnings, Fault{Rule: StalePack, Text: "the layout was made for another pack file, or the file has changed since; it is judged against the file as it is now"})
	}
	return warnings
}

func words(stands []Stand) string {
	list := make([]string, len(stands))
	for i, s := range stands {
		list[i] = s.String()
	}
	return strings.Join(list, ", ")
}

func degrees(a s1.Angle) string { return fmt.Sprintf("%.6g°", a.Degrees()) }

func degreesOf(tilts []s1.Angle) string {
	list := make([]string, len(tilts))
	for i, t := range tilts {
		list[i] = degrees(t)
	}
	return strings.Join(list, ", ")
}
