package whatif

import (
	"cmp"
	"math/bits"
	"slices"
	"strings"

	"rackwright/frame"
	"rackwright/geom"
)

// collect lists the things that may change and could matter.
func (t *tryer) collect() {
	t.fits, t.tried = map[uint64]Concession{}, map[uint64]bool{}
	f := t.problem.Frame
	for i, r := range f.Rails {
		if r.Removable && t.matters(frame.RailTube, i) {
			t.things = append(t.things, thing{r.Name, i, none, 0})
		}
	}
	for i, k := range f.KeepOuts {
		if k.Trim <= 0 || !t.matters(frame.KeptOut, i) {
			continue
		}
		if _, err := k.Core(k.Trim); err != nil {
			t.out.Refused = append(t.out.Refused, err.Error())
			continue
		}
		t.things = append(t.things, thing{k.Name, none, i, k.Trim})
	}
	slices.SortStableFunc(t.things, func(a, b thing) int { return cmp.Compare(a.trim, b.trim) })
}

// matters tells whether a rail or keep-out is near enough to the opening to keep any
// box or post out.
func (t *tryer) matters(kind frame.ObstacleKind, source int) bool {
	f, g := t.problem.Frame, t.problem.Pack.Gaps
	room := geom.Prism{Profile: f.Opening.Outline.Hull(), Depth: f.Opening.Widest()}
	for _, o := range t.problem.Obstacles() {
		if o.Kind != kind || o.Source != source {
			continue
		}
		most := max(g.Rail, g.KeepOut)
		if o.Gap != nil {
			most = *o.Gap
		}
		if o.Metal {
			most = max(most, g.Post)
		}
		if geom.Distance(room, o.Solid) < most {
			return true
		}
	}
	return false
}

// sets are the subsets of the things, as bits, from the least to the most: number of
// things, then depth. The last is the whole.
func (t *tryer) sets() []uint64 {
	n := min(len(t.things), 63)
	var list []uint64
	if n <= bits.Len(MaxSets)-1 {
		for s := uint64(1); s < 1<<n; s++ {
			list = append(list, s)
		}
	} else {
		// Too many for all: every one, every two, and the whole.
		for i := range n {
			list = append(list, 1<<i)
			for j := range i {
				list = append(list, 1<<i|1<<j)
			}
		}
		list = append(list, 1<<n-1)
	}
	slices.SortStableFunc(list, func(a, b uint64) int {
		return cmp.Or(cmp.Compare(bits.OnesCount64(a), bits.OnesCount64(b)), cmp.Compare(t.deepest(a), t.deepest(b)))
	})
	if len(list) > MaxSets {
		list = append(list[:MaxSets-1], list[len(list)-1])
	}
	return list
}

// in are the things of a set.
func (t *tryer) in(set uint64) []thing {
	var list []thing
	for i, th := range t.things {
		if set&(1<<i) != 0 {
			list = append(list, th)
		}
	}
	return list
}

func (t *tryer) deepest(set uint64) float64 {
	d := 0.0
	for _, th := range t.in(set) {
		d = max(d, th.trim)
	}
	return d
}

// names are what a set is called.
func (t *tryer) names(set uint64) string {
	var list []string
	for _, th := range t.in(set) {
		list = append(list, th.name)
	}
	return strings.Join(list, " and ")
}
