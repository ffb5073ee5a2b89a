package whatif

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/search"
)

// Concession is a set of changes with which it fits.
type Concession struct {
	search.Found // judged with the changes made

	Off     []string // rails that come off for good
	Notches []Notch
	Frame   *frame.Frame // with the changes made
	Sure    bool         // still fits with everything at its worst
	// Surer is the shallowest that was found with deeper notches in the same things that
	// is sure; nil where this one is, or none was found.
	Surer *Concession
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
	// Notes say, in whole clauses, what a rail that comes off does not change by itself.
	Notes []string
	// Plain is a layout that fits with nothing changed at all, if the search came upon one;
	// then there are no others.
	Plain *search.Found
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
			t.notes()
			return t.out, err
		}
	}
	for _, set := range sets {
		if err := t.try(set); err != nil {
			return t.out, err
		}
		if t.out.Plain != nil {
			return Conceded{Plain: t.out.Plain}, nil
		}
	}
	t.order()
	t.notes()
	return t.out, nil
}

// notes tells of sides of the outline that are called after a rail that comes off: they
// stay, for the outline does not say what is beyond them.
func (t *tryer) notes() {
	for _, th := range t.things {
		for _, side := range t.problem.Frame.Opening.Sides {
			if th.rail != none && strings.Contains(strings.ToLower(side), strings.ToLower(th.name)) {
				t.out.Notes = append(t.out.Notes, fmt.Sprintf(
					"the side %q of the outline stays where it is when %s comes off; draw it further out if there is room beyond", side, th.name))
			}
		}
	}
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
		fits, err := t.reduce(set, r.Layouts[0].Layout)
		if err != nil || fits {
			return err
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
	for _, th := range t.cuts(set) {
		core, err := t.problem.Frame.KeepOuts[th.cut].Core(inside(th, depth))
		if err != nil {
			return nil, err
		}
		f = f.WithKeepOut(th.cut, core...)
	}
	return f.WithRailsOff(t.rails(set)), nil
}

// inside is how far a keep-out is moved in for notches of a depth: less by what they are
// cut wider, so that they stay within it.
func inside(th thing, depth float64) float64 { return max(0, min(depth, th.trim)-2*play) }

// cuts are the keep-outs of a set, from the last to the first, so that putting several in
// the place of one leaves the indices of the others true.
func (t *tryer) cuts(set uint64) []thing {
	list := slices.DeleteFunc(t.in(set), func(th thing) bool { return th.cut == none })
	slices.SortFunc(list, func(a, b thing) int { return cmp.Compare(b.cut, a.cut) })
	return list
}

func (t *tryer) rails(set uint64) []int {
	var off []int
	for _, th := range t.in(set) {
		if th.rail != none {
			off = append(off, th.rail)
		}
	}
	return off
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
