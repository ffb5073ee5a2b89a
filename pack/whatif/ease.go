package whatif

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/outcome"
	"rackwright/pack/search"
)

// EasedBy says what an Easing changes.
type EasedBy int

// What may let boxes in, or a tool at their posts, from what costs least to what costs most.
const (
	ShorterTool EasedBy = iota // a shorter tool, of the same diameter
	JoinedFirst                // the cable at a post is joined before its box goes in
	OpenSide                   // nothing is at a side of the opening when boxes go in
	ComesOff                   // a rail is off while boxes go in, and back on after
	LiftsOff                   // a keep-out is
)

// String gives the word used in JSON.
func (b EasedBy) String() string {
	return [...]string{"shorter tool", "joined first", "open side", "comes off", "lifts off"}[b]
}

// Easing is one thing with which a layout is an answer, all else as it is.
type Easing struct {
	search.Found // judged with the thing changed

	By   EasedBy
	Name string // of the side, rail or keep-out, or of a kind and its post
	// Tool is the longest that was found to reach, of a ShorterTool; a longer one by a millimetre is
	// proven not to where Longest is set.
	Tool    entry.Tool
	Longest bool
	Posts   []pack.Part  // those whose cables have to be joined first, in this layout
	Problem pack.Problem // with the thing changed
}

// Eased is what came of asking which one thing would give an answer, where boxes have room beside one
// another but cannot be put in and connected.
type Eased struct {
	Gives []Easing // what costs least first, then most to spare
	// Hopeless are the things, as Easing.Name says them, that are proven not to give it by themselves.
	Hopeless []string
	Open     []string // those that nothing was found and nothing proven with
}

// Ease tries one thing at a time that may give an answer. It is nil where that is not what is missing.
// First it asks of the layouts of the result, then it searches again. It fails only where search.Fit
// does; when ctx ends, what is known by then is the answer.
func Ease(ctx context.Context, problem pack.Problem, result outcome.Result, settings Settings) (*Eased, error) {
	if !result.Stranded() {
		return nil, nil
	}
	e := &easer{ctx: ctx, problem: problem, settings: settings, result: result}
	for _, f := range result.Layouts {
		e.known = append(e.known, f.Layout)
	}
	if err := errors.Join(e.tryOthers(), e.tryTool()); err != nil {
		return nil, err
	}
	for i := range e.out.Gives {
		if err := e.raise(&e.out.Gives[i]); err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(e.out.Gives, func(a, b Easing) int {
		return cmp.Or(cmp.Compare(a.By, b.By), cmp.Compare(b.Report.Spare, a.Report.Spare))
	})
	return &e.out, nil
}

// tryOthers tries all things but the tool.
func (e *easer) tryOthers() error {
	var left []Easing
	for _, one := range e.others() {
		if !e.byKnown(&one) {
			left = append(left, one)
			continue
		}
		e.gives(one)
	}
	for _, one := range left {
		if err := e.search(one); err != nil {
			return err
		}
	}
	return nil
}

// tryTool tries shorter tools, where there are posts.
func (e *easer) tryTool() error {
	tool := e.settings.tool().Tool
	if tool.Length <= leastTool || !slices.ContainsFunc(e.problem.Pack.Kinds, func(k pack.Kind) bool { return len(k.Posts) > 0 }) {
		return nil
	}
	one := Easing{By: ShorterTool, Name: "a shorter tool", Tool: tool, Problem: e.problem}
	given := e.shortened(&one)
	return e.lengthen(one, given)
}

// easer is one run of Ease.
type easer struct {
	ctx      context.Context
	problem  pack.Problem
	settings Settings
	result   outcome.Result
	known    []pack.Layout // that fit, as the problem is
	out      Eased
}

// others are the things that may be changed, but for the tool: those that are named as in the way first.
func (e *easer) others() []Easing {
	list := append(e.joins(), e.sides()...)
	list = append(list, e.off()...)
	hinders := map[string]bool{}
	for _, f := range e.result.Layouts {
		for _, name := range f.Entry.Stuck.Obstacles {
			hinders[name] = true
		}
		for _, r := range f.Entry.Unreachable() {
			hinders[r.Post.Box+" "+r.Post.Post] = true
			for _, name := range r.Things {
				hinders[name] = true
			}
		}
	}
	slices.SortStableFunc(list, func(a, b Easing) int {
		switch {
		case hinders[a.Name] == hinders[b.Name]:
			return 0
		case hinders[a.Name]:
			return -1
		}
		return 1
	})
	return list
}

// joins are the posts whose cables may be joined before their boxes go in.
func (e *easer) joins() []Easing {
	var list []Easing
	for k, kind := range e.problem.Pack.Kinds {
		for n, post := range kind.Posts {
			if post.JoinedFirst {
				continue
			}
			p := changedPack(e.problem)
			p.Pack.Kinds[k].Posts = slices.Clone(kind.Posts)
			p.Pack.Kinds[k].Posts[n].JoinedFirst = true
			list = append(list, Easing{By: JoinedFirst, Name: kind.Name + " " + post.Name, Problem: p})
		}
	}
	return list
}

// sides are the closed sides of the opening.
func (e *easer) sides() []Easing {
	var list []Easing
	o := e.problem.Frame.Opening
	for i := range o.Outline.Corners {
		if o.SideOpen(i) {
			continue
		}
		f := *e.problem.Frame
		f.Opening.Open = make([]bool, len(o.Outline.Corners))
		copy(f.Opening.Open, o.Open)
		f.Opening.Open[i] = true
		list = append(list, Easing{By: OpenSide, Name: o.SideName(i), Problem: e.in(&f)})
	}
	return list
}

// off are the rails and keep-outs that the frame file does not say to come off.
func (e *easer) off() []Easing {
	var list []Easing
	for i, r := range e.problem.Frame.Rails {
		if r.Removable {
			continue
		}
		f := *e.problem.Frame
		f.Rails = slices.Clone(f.Rails)
		f.Rails[i].Removable = true
		list = append(list, Easing{By: ComesOff, Name: r.Name, Problem: e.in(&f)})
	}
	for i, k := range e.problem.Frame.KeepOuts {
		if k.LiftsOff {
			continue
		}
		f := *e.problem.Frame
		f.KeepOuts = slices.Clone(f.KeepOuts)
		f.KeepOuts[i].LiftsOff = true
		list = append(list, Easing{By: LiftsOff, Name: k.Name, Problem: e.in(&f)})
	}
	return list
}

// in is the problem in another frame.
func (e *easer) in(f *frame.Frame) pack.Problem {
	p := e.problem
	p.Frame = f
	return p
}

// byKnown makes an easing of the best layout that is known, if one goes in with the thing changed.
func (e *easer) byKnown(one *Easing) bool {
	ok := false
	for _, l := range e.known {
		if f, goes := e.judged(one.Problem, l, e.settings.tool()); goes && (!ok || f.Report.Spare > one.Report.Spare) {
			one.Found, ok = f, true
		}
	}
	return ok
}

// judged looks at a layout in a changed problem, with a tool, and tells whether it is an answer there.
func (e *easer) judged(problem pack.Problem, layout pack.Layout, tool entry.Settings) (search.Found, bool) {
	f := search.Found{Layout: layout, Report: pack.Check(problem, layout)}
	if !f.Report.Holds() {
		return f, false
	}
	s := e.settings
	s.Search.Tool = tool
	var ok bool
	f.Entry, ok = s.goesIn(e.ctx, problem, layout)
	return f, ok
}

// search looks for a layout with a thing changed.
func (e *easer) search(one Easing) error {
	f, verdict, err := e.fit(one.words(), one.Problem, e.settings.tool())
	switch {
	case err != nil:
		return err
	case verdict.Fits():
		one.Found = f
		e.gives(one)
	case verdict == pack.ProvenNoFit:
		e.out.Hopeless = append(e.out.Hopeless, one.Name)
	default:
		e.out.Open = append(e.out.Open, one.Name)
	}
	return nil
}

// fit searches a changed problem with a tool for a layout that is an answer, whatever it has to spare.
func (e *easer) fit(what string, problem pack.Problem, tool entry.Settings) (search.Found, pack.Verdict, error) {
	if e.ctx.Err() != nil {
		return search.Found{}, pack.NoFitFound, nil
	}
	s := e.settings.hasty()
	s.Search.Tool, s.Search.Decides = tool, true
	r, err := s.fit(e.ctx, what, problem)
	if err != nil || !r.Verdict.Fits() {
		return search.Found{}, r.Verdict, err
	}
	f, ok := e.judged(problem, r.Layouts[0].Layout, tool)
	if !ok {
		return f, pack.NoFitFound, nil
	}
	return f, r.Verdict, nil
}

// raise searches for a layout with more to spare, with a thing changed, while there is time.
func (e *easer) raise(one *Easing) error {
	if e.ctx.Err() != nil {
		return nil
	}
	tool := e.settings.tool()
	if one.By == ShorterTool {
		tool = e.toolOf(one.Tool.Length)
	}
	s := e.settings
	s.Search.Tool = tool
	r, err := s.fit(e.ctx, one.words(), one.Problem)
	if err != nil || !r.Verdict.Fits() || r.Spare <= one.Report.Spare {
		return err
	}
	if f, ok := e.judged(one.Problem, r.Layouts[0].Layout, tool); ok {
		one.Found = f
		one.Posts = e.joinedIn(*one)
	}
	return nil
}

// gives takes an easing for one, and says which cables it takes.
func (e *easer) gives(one Easing) {
	one.Posts = e.joinedIn(one)
	e.out.Gives = append(e.out.Gives, one)
}

// joinedIn are the posts whose cables have to be joined first for a layout to be an answer: those that the
// tool does not reach in its order, as the problem is.
func (e *easer) joinedIn(one Easing) []pack.Part {
	if one.By != JoinedFirst {
		return nil
	}
	list, err := entry.Reaches(e.problem, one.Layout, one.Entry.Order, e.settings.tool())
	if err != nil {
		return nil // it belongs to the problem
	}
	var posts []pack.Part
	for _, r := range list {
		if r.When == entry.Never {
			posts = append(posts, r.Post)
		}
	}
	return posts
}

// words say what is tried.
func (one Easing) words() string {
	return fmt.Sprintf("%s, %v", one.Name, one.By)
}

// leastTool is the length in mm of the shortest tool that is tried: that of the head of a spanner.
const leastTool = 10

// shortened finds the longest tool, in whole millimetres, that reaches the posts of a layout that is
// known, and tells whether there is one.
func (e *easer) shortened(one *Easing) bool {
	low, high := leastTool-1.0, math.Ceil(one.Tool.Length)
	for _, l := range e.known {
		low = longest(low, high, func(length float64) bool {
			f, goes := e.judged(e.problem, l, e.toolOf(length))
			if goes {
				one.Found = f
			}
			return goes
		})
	}
	one.Tool.Length = low
	return low >= leastTool
}

// toolOf is the tool with another length.
func (e *easer) toolOf(length float64) entry.Settings {
	return entry.Settings{Tool: entry.Tool{Diameter: e.settings.tool().Tool.Diameter, Length: length}}
}

// longest is the greatest whole length above low and below high that is found to be good, by halving; low
// where the next one is not.
func longest(low, high float64, good func(length float64) bool) float64 {
	if high-low <= 1 || !good(low+1) {
		return low
	}
	for low++; high-low > 1; {
		if middle := math.Floor((low + high) / 2); good(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

// lengthen searches for a layout in which a longer tool reaches.
func (e *easer) lengthen(one Easing, given bool) error {
	whole := math.Ceil(e.settings.tool().Tool.Length)
	var fault error
	least, proven := whole, e.result.Verdict == pack.ProvenNoFit // of what was not found
	one.Tool.Length = longest(one.Tool.Length, whole, func(length float64) bool {
		f, verdict, err := e.fit(fmt.Sprintf("a tool of %.0f mm", length), e.problem, e.toolOf(length))
		if fault = err; err != nil || !verdict.Fits() {
			least, proven = length, verdict == pack.ProvenNoFit
			return false
		}
		one.Found, given = f, true
		return true
	})
	one.Longest = proven && least <= one.Tool.Length+1
	switch {
	case given:
		e.gives(one)
	case one.Longest:
		e.out.Hopeless = append(e.out.Hopeless, one.Name)
	default:
		e.out.Open = append(e.out.Open, one.Name)
	}
	return fault
}
