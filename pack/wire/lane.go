package wire

import (
	"cmp"
	"slices"

	"rackwright/pack"
	"rackwright/pack/wire/route"
)

// lane is the shortest cable from a battery to another, by posts of given polarities. Until it
// is measured its length is that of the straight line, which no cable beats.
type lane struct {
	from, to terminal
	path     route.Path
	length   float64
	measured bool
}

// lanes measures them.
type lanes struct {
	scene *route.Scene
	cable route.Cable
	posts map[pack.Part]route.Obstacle
	order []pack.Part // of posts, so that results do not depend on that of a map
	all   map[joint]*lane
	of    []battery
}

func newLanes(fixed []route.Obstacle, posts map[pack.Part]route.Obstacle, cable route.Cable, of []battery) *lanes {
	l := &lanes{cable: cable, posts: posts, all: map[joint]*lane{}, of: of}
	for part := range posts {
		l.order = append(l.order, part)
	}
	slices.SortFunc(l.order, func(a, b pack.Part) int { return cmp.Compare(a.String(), b.String()) })
	var bends []route.Obstacle
	for _, part := range l.order {
		bends = append(bends, posts[part])
	}
	l.scene = route.NewScene(cable, fixed, bends)
	return l
}

// polarities of the two posts of a joint.
func (p polarity) ends() (from, to string) {
	switch p {
	case plusToPlus:
		return "+", "+"
	case minusToMinus:
		return "-", "-"
	}
	return "+", "-"
}

// at returns the lane of a joint, measured or not.
func (l *lanes) at(t joint) *lane {
	if known := l.all[t]; known != nil {
		return known
	}
	out := &lane{length: never}
	for _, pair := range l.pairs(t) {
		out.length = min(out.length, l.straight(pair))
	}
	l.all[t] = out
	return out
}

// pairs are the posts that a joint may go between, the nearest first.
func (l *lanes) pairs(t joint) [][2]terminal {
	from, to := t.between.ends()
	var pairs [][2]terminal
	for _, a := range l.of[t.from].with(from) {
		for _, b := range l.of[t.to].with(to) {
			pairs = append(pairs, [2]terminal{a, b})
		}
	}
	slices.SortStableFunc(pairs, func(a, b [2]terminal) int { return cmp.Compare(l.straight(a), l.straight(b)) })
	return pairs
}

func (l *lanes) straight(pair [2]terminal) float64 {
	return pair[0].end(l.cable).At.Distance(pair[1].end(l.cable).At)
}

// measure finds the way of a joint: of the pair of posts with the shortest. Where there is none
// its length is never.
func (l *lanes) measure(t joint) {
	out := l.at(t)
	out.measured, out.length = true, never
	for _, pair := range l.pairs(t) {
		if l.straight(pair) >= out.length {
			break
		}
		if p, err := l.route(pair[0], pair[1], nil); err == nil && cost(p, l.cable) < out.length {
			out.from, out.to, out.path, out.length = pair[0], pair[1], p, cost(p, l.cable)
		}
	}
}

// sharpCost is what a cable that would have to be bent too sharply is longer by in the
// choice, in mm: another one is taken if there is one (found by trying).
const sharpCost = 300

func cost(p route.Path, c route.Cable) float64 {
	if p.Holds(c) {
		return p.Length
	}
	return p.Length + sharpCost
}

// route finds a way between two posts, clear of all other posts and of more.
func (l *lanes) route(from, to terminal, more []route.Obstacle) (route.Path, error) {
	for _, part := range l.order {
		if part != from.part && part != to.part {
			more = append(more, l.posts[part])
		}
	}
	return l.scene.Route(from.end(l.cable), to.end(l.cable), more)
}

// costs are the joints of the batteries by what is known of their lanes.
func (l *lanes) costs(w pack.Wiring) *joints {
	matrix := func(p polarity) [][]float64 {
		all := make([][]float64, len(l.of))
		for i := range all {
			all[i] = make([]float64, len(l.of))
			for k := range all[i] {
				if i != k {
					all[i][k] = l.at(joint{i, k, p}).length
				}
			}
		}
		return all
	}
	j := &joints{
		n: len(l.of), series: w.Series, parallel: w.Parallel, strings: w.Strings,
		link: matrix(plusToMinus), plus: matrix(plusToPlus), minus: matrix(minusToMinus),
	}
	j.fuseStrings()
	return j
}

// ordered orders the batteries. It measures the lanes that the best order uses, and orders
// again, until all of these are measured: then no other order has less, for what was not
// measured is no shorter than was reckoned. Of more batteries than all orders can be gone through, the last
// order is improved first, for as long as that brings news: a search anew takes longer.
func (l *lanes) ordered(w pack.Wiring, longest bool) ([]int, []joint, bool) {
	var last []int
	for {
		j := l.costs(w)
		if last != nil {
			j.descend(last)
			if l.measureAll(j.joined(last)) {
				continue
			}
		}
		order, proven := j.best()
		if longest {
			order, proven = j.bestByLongest()
		} else if j.n > mostExact {
			if last != nil && j.cost(last) <= j.cost(order) {
				order = last
			}
			last = order
		}
		if all := j.joined(order); !l.measureAll(all) {
			return order, all, proven
		}
	}
}

// measureAll measures joints, and tells whether one of them was not.
func (l *lanes) measureAll(all []joint) (news bool) {
	for _, t := range all {
		if !l.at(t).measured {
			l.measure(t)
			news = true
		}
	}
	return news
}
