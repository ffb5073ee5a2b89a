package outcome

import (
	"rackwright/pack"
	"rackwright/pack/limit"
)

// commonError is how much every measurement may be off with a layout still an answer, in mm, and
// the layout then. Its boxes are moved to where their gaps bear the most. Where they do not go in
// there, or a tool reaches a post no more, they are moved only part of the way, as far as is found
// by halving: the error is then one that the layout bears, and may not be the greatest.
func (m Means) commonError(problem pack.Problem, layout pack.Layout) (float64, pack.Layout) {
	bears := func(e float64, at pack.Layout) bool {
		_, ok := m.answer(problem, limit.Off(problem, e), at)
		return ok
	}
	most, moved, err := limit.CommonError(problem, layout)
	if err != nil || most < 0 {
		return -1, layout
	}
	for _, e := range []float64{most, most - limit.Step} { // less one step for rounding
		if bears(e, moved) {
			return e, moved
		}
	}
	there := m.bearing(problem, layout)
	if !there(limit.Off(problem, 0)) {
		return -1, layout
	}
	standing := halved(halvings, func(part float64) bool { return there(limit.Off(problem, part*most)) }) * most
	e := func(part float64) float64 { return standing + part*(most-standing) }
	part := halved(halvings, func(part float64) bool { return bears(e(part), between(layout, moved, part)) })
	return limit.Down(e(part)), between(layout, moved, part)
}

// asWritten is how much every measurement may be off with a layout still an answer where its boxes
// stand, in mm, rounded down; negative where it is none.
func (m Means) asWritten(problem pack.Problem, layout pack.Layout) float64 {
	there := m.bearing(problem, layout)
	bears := func(e float64) bool { return there(limit.Off(problem, e)) }
	if !bears(0) {
		return -1
	}
	// Every pair of boxes loses e of its gap: no more than the spare can be borne.
	spare := pack.Check(problem, layout).Spare
	gaps := halved(finely, func(part float64) bool { return pack.Check(limit.Off(problem, part*spare), layout).Holds() }) * spare
	if bears(gaps) {
		return limit.Down(gaps)
	}
	return limit.Down(halved(halvings, func(part float64) bool { return bears(part * gaps) }) * gaps)
}

// How often a part is halved: to a thousandth where each time takes a plan of ways in, and to where
// only rounding is left where it takes a look at gaps.
const (
	halvings = 10
	finely   = 36
)

// halved is the greatest part from 0 to 1 that is found to be good by halving so often; 0 is good.
func halved(times int, good func(part float64) bool) float64 {
	low, high := 0.0, 1.0
	for range times {
		if middle := (low + high) / 2; good(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

// between is a layout with its boxes part of the way to where another has them.
func between(from, to pack.Layout, part float64) pack.Layout {
	at := from
	at.Placements = make([]pack.Placement, len(from.Placements))
	for i, p := range from.Placements {
		p.Centre = p.Centre.Add(to.Placements[i].Centre.Sub(p.Centre).Mul(part))
		at.Placements[i] = p
	}
	return at
}
