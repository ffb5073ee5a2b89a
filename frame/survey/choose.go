package survey

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r2"
	"gonum.org/v1/gonum/stat/distuv"
)

// unlikely is by how much the cost of a network may be above that of another that is then a
// thousand times as likely: twice the logarithm.
var unlikely = 2 * math.Log(1000)

// mostFound is how many networks with the same distances are looked at.
const mostFound = 48

// solution is a state that no small movement makes better.
type solution struct {
	state
	cost float64
}

// solutions are the different networks that starts lead to, the best first.
func (n *Network) solutions() []solution {
	var found finder
	_, all := n.told()
	for i, s := range n.starts() {
		if i > 0 && (found.enough(n) || all && i > builtStarts) {
			break
		}
		found.add(n, n.placed(s, false))
		if i > 0 || !all {
			found.addMirrored(n, s)
		}
	}
	if !all || !found.enough(n) {
		found.turnParts(n)
	}
	slices.SortStableFunc(found.list, func(a, b solution) int { return cmp.Compare(a.cost, b.cost) })
	return found.list
}

type finder struct{ list []solution }

// add goes down from a start and keeps where that leads to, unless it was there before.
func (f *finder) add(n *Network, start state) {
	s, cost := n.descend(start)
	if math.IsNaN(cost) {
		return
	}
	for i, other := range f.list {
		if apart(s.at, other.at) < sameNetwork*span(s.at) {
			if cost < other.cost {
				f.list[i] = solution{s, cost}
			}
			return
		}
	}
	f.list = append(f.list, solution{s, cost})
}

// addMirrored adds what a start leads to when it is turned over. Distances alone do not see
// that: then it is the last network turned over.
func (f *finder) addMirrored(n *Network, start state) {
	if n.has(Height) || n.has(Slope) || len(n.known()) > 0 {
		f.add(n, n.placed(start, true))
		return
	}
	for _, s := range slices.Clone(f.list) {
		over := n.placed(s.state, true)
		if !f.holds(over) {
			f.list = append(f.list, solution{over, n.cost(over)})
		}
	}
}

func (f *finder) holds(s state) bool {
	return slices.ContainsFunc(f.list, func(o solution) bool { return apart(s.at, o.at) < sameNetwork*span(s.at) })
}

// sameNetwork is how far apart, over the network's size, the marks of two that are the same
// may lie where rounding ended the way down.
const sameNetwork = 1e-4

// closeTogether is how near to another, over its size, a network lies between which nobody
// could choose: it counts as the same.
const closeTogether = 2e-3

// distinct leaves out networks that lie close to another before them.
func distinct(list []solution) []solution {
	var kept []solution
	for _, s := range list {
		if !slices.ContainsFunc(kept, func(o solution) bool { return apart(s.at, o.at) < closeTogether*span(o.at) }) {
			kept = append(kept, s)
		}
	}
	return kept
}

// enough tells whether one was found that measurements may well have been taken of. Where
// few check each other, others may suit as well, and every start is tried.
func (f *finder) enough(n *Network) bool {
	spare := len(n.Measurements) - 2*len(n.Marks) + 3
	if spare < 2 {
		return false
	}
	most := distuv.ChiSquared{K: float64(spare)}.Quantile(0.999)
	return slices.ContainsFunc(f.list, func(s solution) bool { return s.cost < most })
}

// turnParts adds the networks that others become when parts of them are turned over.
func (f *finder) turnParts(n *Network) {
	hinges := n.hinges()
	for i := 0; i < len(f.list) && len(f.list) < mostFound; i++ {
		best := slices.MinFunc(f.list, func(a, b solution) int { return cmp.Compare(a.cost, b.cost) })
		if f.list[i].cost > best.cost+unlikely {
			continue
		}
		for _, h := range hinges {
			f.add(n, n.placed(h.turned(f.list[i].state), false))
		}
	}
}

// apart is the greatest distance between the places of a mark in two networks.
func apart(a, b []r2.Point) float64 {
	most := 0.0
	for i := range a {
		most = max(most, a[i].Sub(b[i]).Norm())
	}
	return most
}

// span is the size of a network.
func span(at []r2.Point) float64 {
	size := r2.RectFromPoints(at...).Size()
	return max(size.X, size.Y, math.SmallestNonzeroFloat64)
}

// choose returns the network that was measured, of those that suit the measurements: the
// one whose marks are near where they are said to be. Without a word about that the first
// mark off the datum's line lies above it, and lines with a slope rise to the front; assumed
// tells that then.
func (n *Network) choose(found []solution) (chosen solution, assumed assumptions, fault *Fault) {
	assumed.above = -1
	likely := slices.DeleteFunc(slices.Clone(found), func(s solution) bool { return s.cost > found[0].cost+unlikely })
	likely = n.nearest(likely)
	if len(likely) > 1 && !n.Datum.Free && len(n.known()) == 0 {
		if mark, above := n.above(likely); len(above) > 0 && len(above) < len(likely) {
			likely, assumed.above = above, mark
		}
	}
	if forward := n.forward(likely); len(forward) < len(likely) {
		likely, assumed.forward = forward, true
	}
	likely = distinct(likely)
	if len(likely) > 1 {
		return likely[0], assumed, n.twofold(likely[0], likely[1])
	}
	return likely[0], assumed, nil
}

// assumptions are what was taken to be so because nothing says it.
type assumptions struct {
	above   int // the mark taken to lie above the datum's line; −1 for none
	forward bool
}

// forward keeps the networks in which most lines with a slope rise to the front, of those
// whose slope is told without its direction.
func (n *Network) forward(list []solution) []solution {
	count := func(s solution) int {
		sum := 0
		for _, m := range n.Measurements {
			if m.Sort == Slope && math.Abs(m.Value) <= math.Pi/2 && s.at[m.To].X > s.at[m.From].X {
				sum++
			}
		}
		return sum
	}
	most := count(slices.MaxFunc(list, func(a, b solution) int { return cmp.Compare(count(a), count(b)) }))
	return slices.DeleteFunc(slices.Clone(list), func(s solution) bool { return count(s) < most })
}

// nearest keeps the networks whose marks are nearest to where they are said to be.
func (n *Network) nearest(list []solution) []solution {
	misfit := func(s solution) float64 {
		sum := 0.0
		for i, m := range n.Marks {
			if m.Near != nil {
				sum += s.at[i].Sub(*m.Near).Norm()
			}
		}
		return sum
	}
	best := slices.MinFunc(list, func(a, b solution) int { return cmp.Compare(misfit(a), misfit(b)) })
	return slices.DeleteFunc(slices.Clone(list), func(s solution) bool {
		return misfit(s) > misfit(best)+sameNetwork*span(best.at)
	})
}

// above keeps the networks in which the first mark that is off the datum's line in all of
// them lies above it.
func (n *Network) above(list []solution) (mark int, kept []solution) {
	height := func(s solution, i int) float64 {
		sin, cos := math.Sincos(n.Datum.Slope)
		d := s.at[i].Sub(s.at[n.Datum.From])
		return (cos*d.Y - sin*d.X) / span(s.at)
	}
	for i := range n.Marks {
		if slices.ContainsFunc(list, func(s solution) bool { return math.Abs(height(s, i)) < 0.01 }) {
			continue
		}
		return i, slices.DeleteFunc(slices.Clone(list), func(s solution) bool { return height(s, i) < 0 })
	}
	return 0, nil
}
