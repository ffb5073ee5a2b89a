package entry

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
)

// Fault is a rule that a given order breaks.
type Fault struct {
	Rule FaultRule
	Step int // from 0; the number of steps when no step is to blame
	// A is the box that moves, or a post of it, and B what it meets, for TooNear and
	// NotOutside.
	A, B pack.Part
	Leg  int     // from 0; for TooNear
	Gap  float64 // the least clearance on the leg
	Air  float64 // the clearance asked for
	Text string  // what is wrong and what to do
}

// FaultRule is a typed constant for each rule that an order can break.
type FaultRule int

const (
	UnknownBox  FaultRule = iota // not in the layout
	RepeatedBox                  // goes in twice
	MissingBox                   // never goes in
	BadLegs                      // no leg, or one of no length, of more than a kilometre, or of no number
	UnknownOff                   // nothing of that name comes off
	TooNear                      // a leg passes nearer than the air
	NotOutside                   // the first leg starts where something is still in the way out
)

// verifyTolerance is how much nearer than the air a given order may pass, in
// millimetres: half of the last digit that a layout file gives of a leg.
const verifyTolerance = 5e-4

// Verify checks a given order of a layout and returns all that is wrong with it; none
// means that it holds. Legs may have any direction here, and any number. It shares no
// code with the search for an order but the scene itself: it follows the clearance of
// each pair of solids along each leg with geom.SheetGap.
func Verify(problem pack.Problem, layout pack.Layout, order Order) ([]Fault, error) {
	s, err := newScene(problem, layout)
	if err != nil {
		return nil, err
	}
	v := verifier{scene: s, unit: problem.Pack.Unit, in: make([]bool, len(s.boxes))}
	for n, step := range order.Steps {
		v.step(n, step)
	}
	for i, b := range s.boxes {
		if !v.in[i] {
			v.fault(Fault{Rule: MissingBox, Step: len(order.Steps), A: b.part},
				"%v does not go in in this order: add a step for it", b.part)
		}
	}
	return v.faults, nil
}

// verifier puts boxes in one after the other.
type verifier struct {
	*scene
	unit   geom.Unit // of the pack, for faults
	in     []bool
	faults []Fault
}

func (v *verifier) fault(f Fault, format string, args ...any) {
	f.Text = fmt.Sprintf("step %d: ", f.Step+1) + fmt.Sprintf(format, args...)
	v.faults = append(v.faults, f)
}

// length is a length in the unit of the pack.
func (v *verifier) length(mm float64, r geom.Rounding) string {
	return geom.FormatLengthRounded(mm, v.unit, r)
}

func (v *verifier) step(n int, step Step) {
	i := v.index(step.Part())
	switch {
	case i < 0:
		v.fault(Fault{Rule: UnknownBox, Step: n, A: step.Part()}, "the layout has no %v: take the step out", step.Part())
		return
	case v.in[i]:
		v.fault(Fault{Rule: RepeatedBox, Step: n, A: step.Part()}, "%v is in already: take the step out", step.Part())
		return
	}
	v.off(n, step)
	if legsAreGood(step.Legs) {
		v.follow(n, i, step)
	} else {
		v.fault(Fault{Rule: BadLegs, Step: n, A: step.Part()},
			"%v needs legs of three numbers each, not all zero, of a kilometre at most", step.Part())
	}
	v.in[i] = true
}

// longest is the length of the longest leg, in millimetres; the same as strict.MaxMove.
const longest = 1e6

func legsAreGood(legs []r3.Vector) bool {
	for _, leg := range legs {
		if n := leg.Norm(); !(n > 0 && n <= longest) {
			return false
		}
	}
	return len(legs) > 0
}

func (v *verifier) off(n int, step Step) {
	for _, name := range step.Off {
		if !slices.ContainsFunc(v.things, func(t thing) bool { return t.comesOff && t.name == name }) {
			v.fault(Fault{Rule: UnknownOff, Step: n, A: step.Part()},
				"nothing called %q comes off: mark it removable or lifts_off in the frame file", name)
		}
	}
}

// follow moves box i along its legs past all that stands there.
func (v *verifier) follow(n, i int, step Step) {
	start := r3.Vector{}
	for _, leg := range step.Legs {
		start = start.Sub(leg)
	}
	for _, m := range v.pairs(i, step.Off) {
		air := math.Min(v.air, m.gap(r3.Vector{}).value)
		at := start
		for l, leg := range step.Legs {
			if gap := m.least(at, leg); gap < air-verifyTolerance {
				v.fault(Fault{Rule: TooNear, Step: n, A: m.a, B: m.b, Leg: l, Gap: gap, Air: air},
					"on leg %d %v comes within %s of %v, where %s are asked for", l+1, m.a, v.length(gap, geom.ToLess), m.b, v.length(air, geom.ToMore))
			}
			at = at.Add(leg)
		}
		outward := step.Legs[0].Mul(-outside / step.Legs[0].Norm())
		if gap := m.least(start, outward); gap < air-verifyTolerance {
			v.fault(Fault{Rule: NotOutside, Step: n, A: m.a, B: m.b, Gap: gap, Air: air},
				"%v starts where %v is still in the way: make the first leg longer, or begin with another", m.a, m.b)
		}
	}
}

// outside is how far beyond the start of a first leg nothing may be in the way, in
// millimetres.
const outside = 1e4

// pair is a solid that moves and one that stands.
type pair struct {
	a, b     pack.Part
	moving   geom.Box
	standing geom.Solid
}

// pairs returns those of box i with what is in place, less what is off.
func (v *verifier) pairs(i int, off []string) []pair {
	var list []pair
	add := func(b pack.Part, standing geom.Solid) {
		for n, body := range v.boxes[i].bodies() {
			list = append(list, pair{v.boxes[i].partOf(n), b, body, standing})
		}
	}
	for j, other := range v.boxes {
		for n, body := range other.bodies() {
			if v.in[j] {
				add(other.partOf(n), body)
			}
		}
	}
	for _, t := range v.things {
		for _, solid := range t.solids {
			if !t.comesOff || !slices.Contains(off, t.name) {
				add(pack.Part{Obstacle: t.name}, solid)
			}
		}
	}
	return list
}

// partOf names body n of the box: the case, then the posts.
func (b boxAt) partOf(n int) pack.Part {
	part := b.part
	if n > 0 {
		part.Post = b.kind.Posts[n-1].Name
	}
	return part
}

// slopedGap is a clearance, and how fast it changes along a leg.
type slopedGap struct{ value, slope float64 }

func (p pair) gap(at r3.Vector) slopedGap { return p.gapAlong(at, r3.Vector{}) }

func (p pair) gapAlong(at, direction r3.Vector) slopedGap {
	box := p.moving
	box.Centre = box.Centre.Add(at)
	gap, normal := geom.SheetGap(box, p.standing)
	return slopedGap{gap, -normal.Dot(direction)}
}

// least returns the least clearance on the leg from at: a convex function of the way,
// whose tangents at both ends of a stretch bound it from below where they cross.
func (p pair) least(at, leg r3.Vector) float64 {
	length := leg.Norm()
	d := leg.Mul(1 / length)
	value := func(s float64) slopedGap { return p.gapAlong(at.Add(d.Mul(s)), d) }
	lo, hi := 0.0, length
	f, g := value(lo), value(hi)
	for f.slope < 0 && g.slope > 0 && hi-lo > verifyTolerance/10 {
		s := (f.value - g.value + g.slope*hi - f.slope*lo) / (g.slope - f.slope)
		s = math.Max(lo+(hi-lo)/16, math.Min(hi-(hi-lo)/16, s))
		if h := value(s); h.slope < 0 {
			lo, f = s, h
		} else {
			hi, g = s, h
		}
	}
	return math.Min(f.value, g.value)
}
