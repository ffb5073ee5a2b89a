package wire

import "rackwright/pack"

// mostQuick is up to how many batteries Straight goes through all orders.
const mostQuick = 10

// Straight is a quick measure of how long the jumpers of a layout are, in mm: the least sum of
// straight distances from post to post over the orders of the batteries, or, with more than ten,
// over those that changing one order leads to. It is 0 for a pack that is not wired.
func Straight(p pack.Problem, l pack.Layout) float64 {
	w, faults := p.Pack.Wired()
	if len(faults) > 0 {
		return 0
	}
	batteries, err := batteriesOf(p, l)
	if err != nil || len(batteries) != w.Series*w.Parallel*w.Strings {
		return 0
	}
	j := straightJoints(w, batteries)
	if j.n > mostQuick {
		order := make([]int, j.n)
		for i := range order {
			order[i] = i
		}
		return j.descend(order)
	}
	order, _ := j.best()
	return j.cost(order)
}

// straightJoints are the joints of batteries by the nearest of their posts.
func straightJoints(w pack.Wiring, batteries []battery) *joints {
	matrix := func(p polarity) [][]float64 {
		from, to := p.ends()
		all := make([][]float64, len(batteries))
		for i, a := range batteries {
			all[i] = make([]float64, len(batteries))
			for k, b := range batteries {
				if i != k {
					all[i][k] = nearest(a.with(from), b.with(to))
				}
			}
		}
		return all
	}
	j := &joints{
		n: len(batteries), series: w.Series, parallel: w.Parallel, strings: w.Strings,
		link: matrix(plusToMinus), plus: matrix(plusToPlus), minus: matrix(minusToMinus),
	}
	j.fuseStrings()
	return j
}

func nearest(a, b []terminal) float64 {
	least := float64(never)
	for _, p := range a {
		for _, q := range b {
			least = min(least, p.bar.Centre.Distance(q.bar.Centre))
		}
	}
	return least
}
