package whatif

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/bits"
	"slices"
	"strings"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/limit"
)

// Concession is a set of changes with which it fits.
type Concession struct {
	Off     []string // rails that come off for good
	Notches []Notch
	Frame   *frame.Frame // with the changes made
	Layout  pack.Layout
	Report  pack.Report // the judge's, with the changes made
	Entry   entry.Answer
	Sure    bool // still fits with everything at its worst
}

// Depth is that of the deepest notch, 0 without one.
func (c Concession) Depth() float64 {
	d := 0.0
	for _, n := range c.Notches {
		d = max(d, n.Depth)
	}
	return d
}

// Names are what the concession takes off and cuts, each once.
func (c Concession) Names() []string {
	names := slices.Clone(c.Off)
	for _, n := range c.Notches {
		if !slices.Contains(names, n.KeepOut) {
			names = append(names, n.KeepOut)
		}
	}
	return names
}

// Conceded is what came of trying concessions.
type Conceded struct {
	Fits []Concession // from the least to the most: things changed, then depth of cut
	// Hopeless tells that it is proven not to fit with all of them together.
	Hopeless bool
	// None tells that the frame file allows none that could matter.
	None bool
	// Refused says what cannot be conceded, and why, in whole clauses.
	Refused []string
	// Open are sets, by their names, for which nothing was found and nothing proven.
	Open []string
}

// MaxSets is the greatest number of sets of concessions that are searched.
const MaxSets = 64

// thing is one thing that may change: a rail that comes off or a keep-out that is cut.
type thing struct {
	name string
	rail int // index, or none
	cut  int
	trim float64
}

const none = -1

// Concessions tries the concessions that the frame file allows. It fails only where
// search.Fit does. When ctx ends, what is known by then is the answer.
func Concessions(ctx context.Context, problem pack.Problem, settings Settings) (Conceded, error) {
	t := &tryer{ctx: ctx, problem: problem, settings: settings}
	t.collect()
	if len(t.things) == 0 {
		t.out.None = true
		return t.out, nil
	}
	sets := t.sets()
	if all := sets[len(sets)-1]; len(sets) > 1 {
		// With everything conceded there is most room: if that is hopeless, all is.
		if err := t.try(all); err != nil || t.out.Hopeless {
			return t.out, err
		}
	}
	for _, set := range sets {
		if err := t.try(set); err != nil {
			return t.out, err
		}
	}
	t.order()
	return t.out, nil
}

// tryer is one run of Concessions.
type tryer struct {
	ctx      context.Context
	problem  pack.Problem
	settings Settings
	things   []thing
	fits     map[uint64]Concession
	hopeless []uint64
	tried    map[uint64]bool
	out      Conceded
}

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
		if _, err := k.Shrunk(k.Trim); err != nil {
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
	bounds := f.Opening.Outline.Bounds()
	across := f.Opening.AcrossAt(bounds.Y.Lo)
	for _, s := range f.Opening.Stations {
		across = across.Union(s.Across)
	}
	room := geom.Prism{Profile: f.Opening.Outline.Hull(), Depth: across}
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

// try searches one set.
func (t *tryer) try(set uint64) error {
	if t.tried[set] || t.decided(set) {
		return nil
	}
	t.tried[set] = true
	if rails := t.lastRails(set); rails != "" {
		t.refuse(fmt.Sprintf("%s: with these off no rail of the frame file is left, and something has to carry the boxes", rails))
		return nil
	}
	if t.ctx.Err() != nil {
		t.out.Open = append(t.out.Open, t.names(set))
		return nil
	}
	f, err := t.conceded(set, math.Inf(1))
	if err != nil {
		t.refuse(err.Error())
		return nil
	}
	r, err := t.settings.fit(t.ctx, "without "+t.names(set), t.with(f))
	switch {
	case err != nil:
		return err
	case r.Verdict.Fits():
		c, ok, err := t.shallowest(set, r.Layouts[0].Layout)
		if err != nil {
			return err
		}
		if ok {
			t.fits[set] = c
			return nil
		}
		t.out.Open = append(t.out.Open, t.names(set))
	case r.Verdict == pack.ProvenNoFit:
		t.hopeless = append(t.hopeless, set)
		t.out.Hopeless = t.out.Hopeless || set == 1<<min(len(t.things), 63)-1
	default:
		t.out.Open = append(t.out.Open, t.names(set))
	}
	return nil
}

func (t *tryer) refuse(why string) {
	if !slices.Contains(t.out.Refused, why) {
		t.out.Refused = append(t.out.Refused, why)
	}
}

// decided tells whether a set need not be searched: a part of it fits, or a set that has
// all of it is hopeless.
func (t *tryer) decided(set uint64) bool {
	for s := range t.fits {
		if s&set == s {
			return true
		}
	}
	return slices.ContainsFunc(t.hopeless, func(h uint64) bool { return h&set == set })
}

// lastRails names the rails of a set that takes off all of several.
func (t *tryer) lastRails(set uint64) string {
	var names []string
	for _, th := range t.in(set) {
		if th.rail != none {
			names = append(names, th.name)
		}
	}
	if n := len(t.problem.Frame.Rails); n < 2 || len(names) < n {
		return ""
	}
	return strings.Join(names, ", ")
}

// with is the problem in another frame.
func (t *tryer) with(f *frame.Frame) pack.Problem {
	p := t.problem
	p.Frame = f
	return p
}

// conceded is the frame without the rails of a set, and with keep-outs moved in by
// depth, at most by their trim.
func (t *tryer) conceded(set uint64, depth float64) (*frame.Frame, error) {
	f := t.problem.Frame
	for i, k := range f.KeepOuts {
		for _, th := range t.in(set) {
			if th.cut != i {
				continue
			}
			shrunk, err := k.Shrunk(inside(th, depth))
			if err != nil {
				return nil, err
			}
			f = f.WithKeepOut(i, shrunk)
		}
	}
	return f.WithRailsOff(t.rails(set)), nil
}

// inside is how far a keep-out is moved in for notches of a depth: less by what they are
// cut wider, so that they stay within it.
func inside(th thing, depth float64) float64 { return max(0, min(depth, th.trim)-2*play) }

func (t *tryer) rails(set uint64) []int {
	var off []int
	for _, th := range t.in(set) {
		if th.rail != none {
			off = append(off, th.rail)
		}
	}
	return off
}

// shallower is how many times a search with less depth is tried.
const shallower = 3

// shallowest makes the concession of a set with as little depth as it can find: first
// that which the layout itself needs when it moves, then by searching again with half of
// it. Depths are whole millimetres where the trim allows.
func (t *tryer) shallowest(set uint64, layout pack.Layout) (Concession, bool, error) {
	high := t.deepest(set)
	best, ok := t.made(set, high, layout)
	if high == 0 {
		return best, ok, nil
	}
	low := 0.0
	for try := 0; math.Ceil(high)-1 > low && try < shallower+10; try++ {
		d := math.Floor((low + high) / 2)
		f, err := t.conceded(set, d)
		if err != nil {
			return best, ok, err
		}
		at, spare, err := limit.Best(t.with(f), layout)
		found := err == nil && spare >= 0
		if !found && try < shallower && t.ctx.Err() == nil {
			r, err := t.settings.hasty().fit(t.ctx, fmt.Sprintf("%s, %.0f mm deep", t.names(set), d), t.with(f))
			if err != nil {
				return best, ok, err
			}
			if found = r.Verdict.Fits(); found {
				at = r.Layouts[0].Layout
			}
		}
		if found {
			if c, made := t.made(set, d, at); made {
				best, ok, high, layout = c, true, d, at
				continue
			}
		}
		low = d
	}
	return best, ok, nil
}

// margin is how much in mm a notch is cut deeper than needed where its depth allows.
const margin = 2

// made makes the concession of a set for a layout that keeps clear of everything but a
// depth of the keep-outs: cuts the notches, and has the judge look at what is left.
// Where the boxes do not get past what is left, grooves are cut.
func (t *tryer) made(set uint64, depth float64, layout pack.Layout) (Concession, bool) {
	f, err := t.conceded(set, depth)
	if err != nil {
		return Concession{}, false
	}
	more := min(max(pack.Check(t.with(f), layout).Spare, 0), margin)
	var c Concession
	for _, groove := range []bool{false, true} {
		c = Concession{Layout: layout, Frame: t.problem.Frame}
		ok := true
		// From the last keep-out to the first, so that the indices stay true.
		things := t.in(set)
		slices.SortFunc(things, func(a, b thing) int { return cmp.Compare(b.cut, a.cut) })
		for _, th := range things {
			ok = ok && t.change(&c, th, depth, more, groove)
		}
		c.Frame = c.Frame.WithRailsOff(t.rails(set))
		if ok {
			if c, ok = t.judged(c); ok {
				return c, true
			}
		}
	}
	return c, false
}

// change makes one change of a concession: all but the rails of its frame.
func (t *tryer) change(c *Concession, th thing, depth, more float64, groove bool) bool {
	if th.rail != none {
		c.Off = append(c.Off, th.name)
		return true
	}
	k := t.problem.Frame.KeepOuts[th.cut]
	cut, err := newCutter(k, inside(th, depth))
	if err != nil {
		return false
	}
	list, err := bodies(t.problem, c.Layout, k)
	if err != nil {
		return false
	}
	for _, b := range list {
		cut.cut(b, more, groove)
	}
	c.Notches = append(c.Notches, cut.notches...)
	c.Frame = c.Frame.WithKeepOut(th.cut, cut.keepOuts()...)
	return true
}

// judged looks at a concession as it would be built.
func (t *tryer) judged(c Concession) (Concession, bool) {
	problem := t.with(c.Frame)
	c.Report = pack.Check(problem, c.Layout)
	if !c.Report.Holds() {
		return c, false
	}
	if !t.settings.Search.AnyEntry {
		var err error
		c.Entry, err = entry.Plan(context.WithoutCancel(t.ctx), problem, c.Layout, t.settings.tool())
		if err != nil || !c.Entry.Holds() {
			return c, false
		}
	}
	_, spare, err := limit.Best(problem.AtWorst(), c.Layout)
	c.Sure = err == nil && spare >= 0
	return c, true
}

// order sorts what fits from the least to the most, without sets that hold more than
// another that fits.
func (t *tryer) order() {
	for set, c := range t.fits {
		more := false
		for other := range t.fits {
			more = more || other != set && other&set == other
		}
		if !more {
			t.out.Fits = append(t.out.Fits, c)
		}
	}
	slices.SortFunc(t.out.Fits, func(a, b Concession) int {
		return cmp.Or(
			cmp.Compare(len(a.Names()), len(b.Names())), cmp.Compare(a.Depth(), b.Depth()),
			cmp.Compare(strings.Join(a.Names(), " "), strings.Join(b.Names(), " ")))
	})
}
