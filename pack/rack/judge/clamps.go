package judge

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/pack/rack"
)

// clamps is rule 1 for two-piece clamps: each sits on a straight length of a rail that may carry
// clamps, square to it and of its size, and holds a bolt of the rack.
func (j *scene) clamps() {
	tubes := rack.Tubes(j.problem.Frame)
	for i := range j.rack.Clamps {
		c := &j.rack.Clamps[i]
		if slices.ContainsFunc(j.problem.Frame.Mounts, func(m frame.Mount) bool { return hasSide(m, c.Name) }) {
			j.say(FrameUntouched, 0, "", []string{c.Name}, "the clamp %s has the name of a mount of the frame: give it another", c.Name)
		}
		j.onRail(c, tubes)
		if !slices.ContainsFunc(j.rack.Fasteners, func(f rack.Fastener) bool { return slices.Contains(f.Joins, c.Name) }) {
			j.say(Holds, 0, "", []string{c.Name}, "no bolt of the rack goes into %s: it holds nothing", c.Name)
		}
	}
}

// hasSide tells whether a mount, or one of its two sides, has a name.
func hasSide(m frame.Mount, name string) bool {
	return slices.ContainsFunc(m.Sides(), func(s frame.Mount) bool { return s.Name == name })
}

// onRail looks for the length of rail that a clamp sits on.
func (j *scene) onRail(c *rack.Clamp, tubes []rack.Tube) {
	parts := []string{c.Name, c.Rail}
	var off, end float64
	least := math.Inf(1)
	var on *rack.Tube
	for i := range tubes {
		t := &tubes[i]
		if t.Rail != c.Rail || math.Abs(t.Along().Dot(c.Along)) < 0.9999 {
			continue
		}
		from := c.At.Sub(t.From)
		at := from.Dot(t.Along())
		beside, short := from.Sub(t.Along().Mul(at)).Norm(), rack.ClampWide/2.0-math.Min(at, t.To.Sub(t.From).Norm()-at)
		if worst := math.Max(beside, short); worst < least {
			on, off, end, least = t, beside, short, worst
		}
	}
	switch {
	case on == nil:
		j.say(FrameUntouched, 0, "", parts, "%s holds on to %q, which is no rail along it that may carry clamps: clamps: true in the frame file says of a rail that it may", c.Name, c.Rail)
	case off > touch:
		j.say(FrameUntouched, off, "mm", parts, "%s sits %.1f mm beside the middle of %s", c.Name, off, c.Rail)
	case end > touch:
		j.say(FrameUntouched, end, "mm", parts, "%s is %.1f mm over an end or a bend of %s: it needs %d mm of straight tube", c.Name, end, c.Rail, rack.ClampWide)
	case math.Abs(on.Diameter-c.Diameter) > touch:
		j.say(FrameUntouched, math.Abs(on.Diameter-c.Diameter), "mm", parts, "%s is for %g mm, and %s is %g mm thick", c.Name, c.Diameter, c.Rail, on.Diameter)
	}
}

// nutOfClamp asks that a bolt ends within a clamp's nut: one that is longer presses on the band.
func (j *scene) nutOfClamp(f *rack.Fastener, m frame.Mount) {
	c, ok := j.rack.Clamp(m.Name)
	if !ok {
		return
	}
	if long := f.Length() - m.At.Sub(f.From).Dot(f.Along()) - c.Nut(); long > touch {
		j.say(FrameUntouched, long, "mm", []string{f.Name, m.Name}, "%s is %.1f mm longer than the nut of %s is deep: it would press on the rail; take a shorter one, or washers", f.Name, long, m.Name)
	}
}

// unclamps opens a clamp: each half comes off to its side, past what is there, when no bolt is in its
// nut. The opening's sides do not count, beyond which rails are.
func (j *scene) unclamps(t item, around []solid, gone map[string]bool) ([]r3.Vector, bool) {
	c := t.clamp
	for _, f := range j.rack.Fasteners {
		if slices.Contains(f.Joins, c.Name) && !gone[f.Name] {
			return nil, false
		}
	}
	out := c.Faces.Mul(c.Diameter/2 + rack.ClampHigh)
	if !free(solidsOf(c.Half(true)), out, around) || !free(solidsOf(c.Half(false)), out.Mul(-1), around) {
		return nil, false
	}
	return []r3.Vector{out}, true
}

// passes tells whether a clamp may be where something of the frame is: on its rail, and beyond the sides
// of the opening.
func passes(c *rack.Clamp, o frame.Obstacle) bool {
	return c != nil && (o.Name == c.Rail || o.Kind == frame.Side || o.Kind == frame.Width)
}
