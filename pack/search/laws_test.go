package search_test

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/search"
)

// Laws of whole runs, true whatever the answer is: what changes nothing for a builder
// changes no figure, and what takes room or choice away never gives more to spare. They
// are held on random problems with rails, drums, posts and tilts. A search that is cut
// half-way has a spare and a bound that still have to fit together; where both searches
// are proven, their spares agree.
//
// RACKWRIGHT_LAWS=100 takes so many problems instead of a few, RACKWRIGHT_LAWS=20-39 those
// with these seeds.
func TestLawsOfRuns(t *testing.T) {
	seeds := seedsOf(t, "RACKWRIGHT_LAWS")
	if seeds == nil {
		seeds = []uint64{0, 1, 4} // quickly proven
	}
	proven, runs := 0, 0
	for _, seed := range seeds {
		l := lawsFor(t, seed)
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
			l.T = t
			l.sameAs("mirrored", l.mirrored(), 1)
			l.sameAs("twice as large", l.scaled(2), 2)
			l.sameAs("renamed and reordered", l.renamed(), 1)
			l.noMoreThan("one more keep-out", l.withKeepOut())
			l.unionOfStands()
		})
		proven, runs = proven+l.proven, runs+l.runs
	}
	require.Positive(t, proven, "no law was held to a proven answer")
	t.Logf("%d problems, %d runs, %d of them proven", len(seeds), runs, proven)
}

// seedsOf reads a number of seeds, or seeds such as 20-39, from the environment; nil where
// it gives none.
func seedsOf(t *testing.T, name string) (seeds []uint64) {
	t.Helper()
	which := os.Getenv(name)
	if which == "" {
		return nil
	}
	var from, to uint64
	if _, err := fmt.Sscanf(which, "%d-%d", &from, &to); err != nil {
		to, err = strconv.ParseUint(which, 10, 64)
		require.NoError(t, err, "%s is a number, or seeds such as 20-39", name)
		from, to = 0, to-1 // from has been read into
	}
	for seed := from; seed <= to; seed++ {
		seeds = append(seeds, seed)
	}
	return seeds
}

// laws are held on one problem.
type laws struct {
	*testing.T
	files
	g            generator
	base         search.Result
	runs, proven int
}

func lawsFor(t *testing.T, seed uint64) *laws {
	t.Helper()
	g := generatorFor(seed ^ 0x1a3)
	l := &laws{T: t, g: g, files: randomFiles(seed+5000, g.between(1, 3))}
	g.addRound(&l.Frame)
	l.Pack.Gaps["rail"] = g.between(0, 8) // all are given, so that all can be scaled
	l.base = l.fit(l.files)
	return l
}

// fit searches for a while, cut by what the search tells.
func (l *laws) fit(f files) search.Result {
	l.Helper()
	r := searchUntil(l.T, f.problem(l.T), 1, 14)
	l.runs++
	if r.Proven {
		l.proven++
	}
	return r
}

// sameAs holds that a problem has the spare and the bound of the base, times scale.
func (l *laws) sameAs(what string, f files, scale float64) {
	l.Helper()
	r := l.fit(f)
	require.GreaterOrEqual(l, r.Bound, scale*l.base.Spare-exactly, "%s\n%v", what, l.files)
	require.GreaterOrEqual(l, scale*l.base.Bound, r.Spare-exactly, "%s\n%v", what, l.files)
	if r.Proven && l.base.Proven {
		if r.Bound >= 0 && l.base.Bound >= 0 {
			require.InDelta(l, scale*l.base.Spare, r.Spare, scale*search.Closed+exactly, "%s\n%v", what, l.files)
		}
		require.Equal(l, l.base.Verdict == pack.ProvenNoFit, r.Verdict == pack.ProvenNoFit, "%s\n%v", what, l.files)
	}
}

// noMoreThan holds that a problem has no more to spare than the base may have.
func (l *laws) noMoreThan(what string, f files) {
	l.Helper()
	requireNoMore(l.T, what, l.fit(f), l.base, l.files)
}

// requireNoMore holds that less has no more to spare than more has.
func requireNoMore(t *testing.T, what string, less, more search.Result, f files) {
	t.Helper()
	require.LessOrEqual(t, less.Spare, more.Bound+exactly, "%s\n%v", what, f)
	if less.Proven && more.Proven && more.Bound >= 0 {
		require.LessOrEqual(t, less.Spare, more.Spare+search.Closed+exactly, "%s\n%v", what, f)
	}
}

// unionOfStands holds that each stand alone, and all but one, have no more to spare than
// all together.
func (l *laws) unionOfStands() {
	l.Helper()
	all := l.files
	all.Pack.Boxes = slices.Clone(l.Pack.Boxes)
	all.Pack.Boxes[0].Stand = []string{"upright", "on-side", "on-end"}
	union := l.fit(all)
	for _, stands := range [][]string{{"upright"}, {"on-side"}, {"on-end"}, {"upright", "on-end"}} {
		some := all
		some.Pack.Boxes = slices.Clone(all.Pack.Boxes)
		some.Pack.Boxes[0].Stand = stands
		requireNoMore(l.T, fmt.Sprint(stands), l.fit(some), union, all)
	}
}

// withKeepOut has one more keep-out.
func (l *laws) withKeepOut() files {
	f := l.files
	f.Frame.KeepOuts = append(slices.Clone(f.Frame.KeepOuts), l.g.keepOut("one more", f.Frame.Opening))
	return f
}

// renamed has all names changed and all lists in another order.
func (l *laws) renamed() files {
	f := l.files
	f.Pack.Boxes = slices.Clone(f.Pack.Boxes)
	for i := range f.Pack.Boxes {
		f.Pack.Boxes[i].Name = fmt.Sprint("z", 9-i)
		f.Pack.Boxes[i].Stand = slices.Clone(f.Pack.Boxes[i].Stand)
		slices.Reverse(f.Pack.Boxes[i].Stand)
		f.Pack.Boxes[i].Posts = slices.Clone(f.Pack.Boxes[i].Posts)
		slices.Reverse(f.Pack.Boxes[i].Posts)
	}
	slices.Reverse(f.Pack.Boxes)
	f.Frame.KeepOuts = slices.Clone(f.Frame.KeepOuts)
	for i := range f.Frame.KeepOuts {
		f.Frame.KeepOuts[i].Name = fmt.Sprint("a", i)
	}
	slices.Reverse(f.Frame.KeepOuts)
	o := f.Frame.Opening.Outline
	f.Frame.Opening.Outline = append(slices.Clone(o[1:]), o[0])
	return f
}

// scaled has all lengths times n.
func (l *laws) scaled(n int) files {
	f := l.files
	plane := func(list [][2]int) (out [][2]int) {
		for _, c := range list {
			out = append(out, [2]int{n * c[0], n * c[1]})
		}
		return out
	}
	space := func(c [3]int) [3]int { return [3]int{n * c[0], n * c[1], n * c[2]} }
	across := func(a *[2]int) *[2]int {
		if a == nil {
			return nil
		}
		return &[2]int{n * a[0], n * a[1]}
	}
	f.Frame.Accuracy *= n
	f.Frame.Opening.Outline = plane(f.Frame.Opening.Outline)
	f.Frame.Opening.Across *= n
	f.Frame.Opening.Stations = nil
	for _, s := range l.Frame.Opening.Stations {
		f.Frame.Opening.Stations = append(f.Frame.Opening.Stations, stationJSON{n * s.Z, *across(&s.Across)})
	}
	f.Frame.Rails, f.Frame.KeepOuts = nil, nil
	for _, r := range l.Frame.Rails {
		f.Frame.Rails = append(f.Frame.Rails, railJSON{r.Name, [][3]int{space(r.Path[0]), space(r.Path[1])}, n * r.Diameter})
	}
	for _, k := range l.Frame.KeepOuts {
		k.Outline, k.Across = plane(k.Outline), across(k.Across)
		if k.Box != nil {
			k.Box = &cornJSON{space(k.Box.Low), space(k.Box.High)}
		}
		if k.Round != nil {
			k.Round = &roundJSON{space(k.Round.From), space(k.Round.To), n * k.Round.Diameter}
		}
		if k.Gap != nil {
			gap := n * *k.Gap
			k.Gap = &gap
		}
		f.Frame.KeepOuts = append(f.Frame.KeepOuts, k)
	}
	f.Pack.Gaps = map[string]int{}
	for name, gap := range l.Pack.Gaps {
		f.Pack.Gaps[name] = n * gap
	}
	f.Pack.Boxes = nil
	for _, k := range l.Pack.Boxes {
		k.Size, k.Accuracy = space(k.Size), n*k.Accuracy
		posts := k.Posts
		k.Posts = nil
		for _, p := range posts {
			k.Posts = append(k.Posts, postJSON{p.Name, p.Face, [2]int{n * p.At[0], n * p.At[1]}, n * p.Diameter, n * p.Height})
		}
		f.Pack.Boxes = append(f.Pack.Boxes, k)
	}
	return f
}

// mirrored has right and left changed.
func (l *laws) mirrored() files {
	f := l.files
	swap := func(a [2]int) [2]int { return [2]int{-a[1], -a[0]} }
	image := func(p [3]int) [3]int { return [3]int{p[0], -p[1], p[2]} }
	f.Frame.Opening.Stations = nil
	for _, s := range l.Frame.Opening.Stations {
		f.Frame.Opening.Stations = append(f.Frame.Opening.Stations, stationJSON{s.Z, swap(s.Across)})
	}
	f.Frame.Rails, f.Frame.KeepOuts = nil, nil
	for _, r := range l.Frame.Rails {
		f.Frame.Rails = append(f.Frame.Rails, railJSON{r.Name, [][3]int{image(r.Path[0]), image(r.Path[1])}, r.Diameter})
	}
	for _, k := range l.Frame.KeepOuts {
		switch {
		case k.Box != nil:
			lo, hi := k.Box.Low, k.Box.High
			k.Box = &cornJSON{[3]int{lo[0], -hi[1], lo[2]}, [3]int{hi[0], -lo[1], hi[2]}}
		case k.Round != nil:
			k.Round = &roundJSON{image(k.Round.From), image(k.Round.To), k.Round.Diameter}
		default:
			across := swap(*k.Across)
			k.Across = &across
		}
		f.Frame.KeepOuts = append(f.Frame.KeepOuts, k)
	}
	f.Pack.Boxes = nil
	for _, k := range l.Pack.Boxes {
		posts := k.Posts
		k.Posts = nil
		for _, p := range posts {
			k.Posts = append(k.Posts, p.mirrored(k.Size[1]))
		}
		f.Pack.Boxes = append(f.Pack.Boxes, k)
	}
	return f
}

// mirrored is the post on the mirror image of a box of that width.
func (p postJSON) mirrored(width int) postJSON {
	switch p.Face {
	case "left":
		p.Face = "right"
	case "right":
		p.Face = "left"
	case "front", "back":
		p.At[0] = width - p.At[0]
	default:
		p.At[1] = width - p.At[1]
	}
	return p
}
