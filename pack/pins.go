package pack

import (
	"fmt"
	"slices"
	"strings"

	"rackwright/geom"
)

// PinsOf returns the placements of a layout that are pinned.
func (l Layout) PinsOf() []Placement {
	return slices.DeleteFunc(slices.Clone(l.Placements), func(p Placement) bool { return !p.Pinned })
}

// WithPins returns the problem in which some boxes have their place already, as they
// are pinned. CheckPin tells which pins make sense.
func (p Problem) WithPins(pins []Placement) Problem {
	p.Pins = pins
	return p
}

// Pin returns the pin of a box, and false when it has none.
func (p Problem) Pin(box string, number int) (Placement, bool) {
	for _, pin := range p.Pins {
		if pin.Box == box && pin.Number == number {
			return pin, true
		}
	}
	return Placement{}, false
}

// CheckPin returns what is wrong with a pin by itself: a box that the pack does not have
// or that is pinned already, a stand or tilt that it does not allow, a place outside the
// range of its kind, or one that leaves less than the required gap to the frame or to a
// box pinned before. The problem holds the pins before it.
func (p Problem) CheckPin(pin Placement) []Fault {
	if _, twice := p.Pin(pin.Box, pin.Number); twice {
		return []Fault{{RepeatedBox, pin.Part(), fmt.Sprintf("%v: it is pinned twice; leave one of them out", pin.Part())}}
	}
	alone := p
	alone.Pins = nil
	r := Check(alone, Layout{Placements: append(slices.Clone(p.Pins), pin)})
	faults := slices.DeleteFunc(r.Faults, func(f Fault) bool { return f.Part != pin.Part() || f.Rule == MissingBox })
	if t, ok := r.tightestOf(pin); ok && t.Left < 0 {
		faults = append(faults, Fault{PinShort, pin.Part(), fmt.Sprintf("%v – %v: %s short of the required gap; move the pin, or leave it out",
			t.A, t.B, geom.FormatLengthRounded(-t.Left, p.Pack.Unit, geom.ToMore))})
	}
	return faults
}

func (r Report) tightestOf(p Placement) (Relation, bool) {
	for _, n := range r.Relations {
		if n.A.OfBox(p.Box, p.Number) || n.B.OfBox(p.Box, p.Number) {
			return n, true
		}
	}
	return Relation{}, false
}

// bounds says, for a fault, that a box is not in its range or not where it is pinned.
func (n *inspection) bounds(p Placement, kind Kind) {
	bodies, err := n.asMeasured().Bodies(p)
	if err != nil {
		return // named already
	}
	if mm, axis := kind.Within.Beyond(bodies); mm > beyondRange {
		unit := n.problem.Pack.Unit
		n.add(OutOfRange, p.Part(), "it reaches %s beyond its range along %c (%s); move it, or change within",
			geom.FormatLengthRounded(mm, unit, geom.ToMore), "xyz"[axis], kind.Within.words(unit))
	}
	pin, pinned := n.problem.Pin(p.Box, p.Number)
	if pinned && !(p.Orientation.same(pin.Orientation) && p.Centre.Sub(pin.Centre).Norm() <= beyondRange) {
		n.add(PinMoved, p.Part(), "it is not where it is pinned, at %s; put it back, or unpin it", coordinates(pin.Centre))
	}
}

// asMeasured is the problem with nothing at its worst: ranges are wishes.
func (n *inspection) asMeasured() Problem {
	p := n.problem
	p.Worst = false
	return p
}

// same tells whether two orientations are one, but for the rounding of a tilt.
func (o Orientation) same(p Orientation) bool {
	return o.Up == p.Up && o.Front == p.Front && (o.Tilt-p.Tilt).Abs() <= sameTilt
}

// Restrictions says in words what of the pins and ranges a search has to keep, for what
// it proves holds with them alone: "with 2 boxes pinned and block in its range". It is
// empty where there are none.
func (p Problem) Restrictions() string {
	var parts []string
	if n := len(p.Pins); n == 1 {
		parts = append(parts, fmt.Sprintf("%v pinned", p.Pins[0].Part()))
	} else if n > 1 {
		parts = append(parts, fmt.Sprintf("%d boxes pinned", n))
	}
	for _, k := range p.Pack.Kinds {
		if !k.Within.IsAny() {
			parts = append(parts, k.Name+" within its range")
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "with " + strings.Join(parts, " and ")
}
