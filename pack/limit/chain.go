package limit

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// Chain is the limiting relations as a walk from one part of the frame through boxes to
// another: From, Gaps[0], Boxes[0], Gaps[1], … Boxes[n−1], Gaps[n], To.
type Chain struct {
	From, To pack.Part
	Boxes    []Crossed
	Gaps     []float64 // required
	// Straight tells that all gaps lie in one line. Then Room is the distance from From
	// to To along it, Need the sizes and required gaps on the way, and what is short or
	// left over is shared equally by the gaps.
	Straight   bool
	Room, Need float64
	// Also are limiting relations beside the walk: from several sides at once, as in a
	// corner of slanted sides.
	Also []pack.Relation
}

// Crossed is a box of a chain, and its size along the chain.
type Crossed struct {
	Part pack.Part // a post where that is what touches
	Size float64   // mm from the one gap to the next, along the chain
}

// chain walks through the weighted rows: from the frame at the heaviest, and at every
// box on by the row that carries most of the push onwards.
func (o *optimum) chain() Chain {
	var c Chain
	at, into := -1, r3.Vector{}
	used := map[int]bool{}
	k := o.heaviest()
	if k < 0 {
		return c
	}
	first := o.rows[k]
	used[k] = true
	c.From = first.partB(o.scene)
	c.Gaps = append(c.Gaps, first.need.Required)
	at, into = first.a.box, first.u.Mul(-1)
	entered := first.a
	c.Straight = true
	c.Room = o.spare + first.need.Required
	for {
		k, next, u := o.onward(at, into, used)
		if k < 0 {
			c.Straight = false // held by several others at once
			break
		}
		used[k] = true
		leaving, other := o.rows[k].a, o.rows[k].b
		if o.rows[k].a.box != at {
			leaving, other = other, leaving
		}
		size := leaving.bar.Extent(u).Hi - entered.bar.Extent(u).Lo
		c.Boxes = append(c.Boxes, Crossed{crossedPart(entered.part, leaving.part), size})
		c.Straight = c.Straight && u.Dot(into) > 1-1e-9
		c.Gaps = append(c.Gaps, o.rows[k].need.Required)
		c.Room += size + o.spare + o.rows[k].need.Required
		if next == onFrame {
			c.To = o.rows[k].partB(o.scene)
			break
		}
		at, into, entered = next, u, other
	}
	c.finish(o, used)
	return c
}

// crossedPart is the box where both gaps are at its case, or a post that touches.
func crossedPart(a, b pack.Part) pack.Part {
	if a.Post != "" {
		return a
	}
	return b
}

// heaviest is the weighted row with the frame that has the greatest weight.
func (o *optimum) heaviest() int {
	best := -1
	for k, r := range o.rows {
		if r.j == onFrame && o.y[k] > leastWeight && (best < 0 || o.y[k] > o.y[best]+leastWeight) {
			best = k
		}
	}
	return best
}

// onward is the unused weighted row at a box that carries most along into, the box
// behind it, and its normal from the box outwards.
func (o *optimum) onward(box int, into r3.Vector, used map[int]bool) (row, next int, u r3.Vector) {
	row, most := -1, leastWeight
	for k, r := range o.rows {
		if used[k] || o.y[k] <= leastWeight {
			continue
		}
		var out r3.Vector
		to := onFrame
		switch box {
		case r.a.box:
			out, to = r.u, r.j
		case r.j:
			out, to = r.u.Mul(-1), r.a.box
		default:
			continue
		}
		if carried := o.y[k] * out.Dot(into); carried > most {
			row, next, u, most = k, to, out, carried
		}
	}
	return row, next, u
}

// finish adds up a straight chain, and lists what is beside the walk.
func (c *Chain) finish(o *optimum, used map[int]bool) {
	for k, r := range o.rows {
		if o.y[k] > leastWeight && !used[k] {
			c.Also = append(c.Also, o.relation(r))
		}
	}
	c.Straight = c.Straight && len(c.Also) == 0 && c.To != (pack.Part{})
	if !c.Straight {
		c.Room, c.Need = math.NaN(), math.NaN()
		return
	}
	c.Need = c.Room - float64(len(c.Gaps))*o.spare
}
