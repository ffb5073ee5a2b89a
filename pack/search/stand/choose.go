package stand

import (
	"cmp"
	"math"
	"slices"

	"rackwright/pack"
	"rackwright/pack/balance"
	"rackwright/pack/entry"
	"rackwright/pack/outcome"
	"rackwright/pack/search/model"
	"rackwright/pack/wire"
)

// Choice is a layout to offer, its air gathered, with the reasons for it. One layout may be several
// things at once, and is offered once.
type Choice struct {
	Layout pack.Layout
	Why    []outcome.Reason
}

// Choices are the layouts to offer: the easiest to build first, then the lowest, the one with
// the best balance and the one with the shortest wiring where they are others. There is none as long as none was found.
//
// Easiest to build is, with the reserve kept: what has the fewest levels, but one more where
// that brings the middle of mass down by a fifth of the opening's height; then the fewest boxes
// that are tilted; the fewest straight bearers, one under each row; the fewest boxes that must
// come out to reach another; what comes first by the preferences; the fewest posts that trays
// must stay back from; and the most to spare. Where nothing keeps the reserve, it is what has
// the most to spare.
func (s *Search) Choices(prefer []func(pack.Layout) float64) []Choice {
	n := s.easiestLevels()
	if n == 0 {
		return nil
	}
	var list []Choice
	// The first is what the builder is shown as the easiest; the others only where they are other
	// layouts.
	easiest := s.easiest(s.shelves[n-1], prefer)
	list = s.add(list, easiest, outcome.EasiestToBuild)
	if low, ok := s.lowest(); ok {
		list = s.add(list, low, outcome.Lowest)
	}
	if even, ok := s.mostBalanced(); ok {
		list = s.add(list, even, outcome.BestBalance)
	}
	if short, ok := s.shortestWired(); ok {
		list = s.add(list, short, outcome.ShortestWiring)
	}
	return list
}

// add adds a layout for a reason, or the reason to one that is like it. The layout is the one with
// its air gathered.
func (s *Search) add(list []Choice, f stood, why outcome.Reason) []Choice {
	layout := s.g.m.Layout(f.gathered.spots)
	at := slices.IndexFunc(list, func(c Choice) bool { return Twins(s.g.m, c.Layout, layout) })
	if at >= 0 {
		list[at].Why = append(list[at].Why, why)
		return list
	}
	return append(list, Choice{layout, []outcome.Reason{why}})
}

// easiestLevels is the number of levels of what is easiest to build, 0 where nothing stands. Levels
// that were asked for are taken as they are, if anything was found for them.
func (s *Search) easiestLevels() int {
	if l := s.settings.Levels; l > 0 && l <= s.most && len(s.shelves[l-1].best) > 0 {
		return l
	}
	n := slices.IndexFunc(s.shelves, func(h shelf) bool { return len(h.low) > 0 }) + 1
	if n == 0 {
		return s.mostSpare()
	}
	b := s.g.m.Problem.Frame.Opening.Outline.Bounds()
	for n < len(s.shelves) {
		more := s.shelves[n].low
		// A fifth of the height is worth a tray, less is not.
		if len(more) == 0 || more[0].gathered.middle > s.shelves[n-1].low[0].gathered.middle-b.Y.Length()/5 {
			break
		}
		n++
	}
	return n
}

// mostSpare is the least number of levels with the most to spare. A hundredth of a millimetre is
// not worth another tray.
func (s *Search) mostSpare() int {
	best, spare := 0, math.Inf(-1)
	for l, h := range s.shelves {
		if len(h.best) > 0 && h.best[0].spare > spare+0.01 {
			best, spare = l+1, h.best[0].spare
		}
	}
	return best
}

// easiest is the layout of a shelf that is easiest to build. Those of the lowest and those with the
// most to spare take turns, twins once.
func (s *Search) easiest(h shelf, prefer []func(pack.Layout) float64) stood {
	var list []stood
	// Taking turns, so that both lists are heard.
	for k := range keptOfASort {
		for _, from := range [][]stood{h.low, keeping(h)} {
			if k < len(from) && len(list) < finalists && !slices.ContainsFunc(list, func(o stood) bool { return s.g.alike(o.spots, from[k].spots) }) {
				list = append(list, from[k])
			}
		}
	}
	keys := make([][]float64, len(list))
	// Each is gathered by itself; nothing is shared.
	s.atOnce(len(list), func(k int) {
		s.gather(&list[k])
		keys[k] = s.ease(list[k], prefer)
	})
	best := 0
	for k := range list {
		if slices.CompareFunc(keys[k], keys[best], roughly) < 0 {
			best = k
		}
	}
	return list[best]
}

// keeping are the layouts with the most to spare that keep the reserve, or all where none does.
// Where nothing keeps the reserve all are as good, and the most to spare decides.
func keeping(h shelf) []stood {
	if len(h.low) == 0 {
		return h.best
	}
	return slices.DeleteFunc(slices.Clone(h.best), func(f stood) bool { return !f.keeps })
}

// roughly compares what cannot be told apart with a tape as equal. It is no total order near the
// edge of a tenth; ties are broken by what comes first in the list.
func roughly(a, b float64) int { return cmp.Compare(math.Round(a*10), math.Round(b*10)) }

// ease measures how easy a layout is to build: what comes first counts most, and less is easier.
// Keys are compared as words are, the first difference decides.
func (s *Search) ease(f stood, prefer []func(pack.Layout) float64) []float64 {
	layout := s.g.m.Layout(f.gathered.spots)
	standing := pack.StandingOf(s.g.m.Problem, layout)
	key := []float64{float64(tilted(layout)), float64(Bearers(s.g.m.Problem, layout, standing)), float64(s.hindered(layout))}
	for _, p := range prefer {
		key = append(key, p(layout))
	}
	return append(key, float64(len(standing.Back)), -f.gathered.spare)
}

// tilted counts the boxes that do not stand level.
func tilted(l pack.Layout) int {
	n := 0
	for _, p := range l.Placements {
		if p.Tilt != 0 {
			n++
		}
	}
	return n
}

// hindered is how many boxes must come out to reach another, summed over all boxes; not asked
// where ways in are not. An error of the planner counts as none in the way: it is only a
// preference.
func (s *Search) hindered(l pack.Layout) int {
	if s.settings.AnyEntry {
		return 0
	}
	undos, err := entry.Undos(s.settings.Late, s.g.m.Problem, l)
	if s.settings.Failed(err) {
		return 0
	}
	sum := 0
	for _, steps := range undos {
		sum += max(len(steps)-1, 0)
	}
	return sum
}

// lowest is the layout with the lowest middle of mass that keeps the reserve. More than a
// millimetre lower, or it is not worth another number of levels.
func (s *Search) lowest() (stood, bool) {
	var best *stood
	for _, h := range s.shelves {
		if len(h.low) > 0 && (best == nil || h.low[0].gathered.middle < best.gathered.middle-1) {
			f := h.low[0]
			best = &f
		}
	}
	if best == nil {
		return stood{}, false
	}
	s.gather(best)
	return *best, true
}

// now is where the boxes are: gathered, where that was done already. Gathering takes time, so it is
// done for what is offered.
func (f stood) now() []model.Spot {
	if f.gathered.spots != nil {
		return f.gathered.spots
	}
	return f.spots
}

// mostBalanced is the layout that brings the wheels' loads nearest to what is wanted, where the
// frame file tells of wheels. What is wanted is in the frame file; without wheels nothing is
// balanced.
func (s *Search) mostBalanced() (stood, bool) {
	p := s.g.m.Problem
	if p.Frame.Vehicle == nil {
		return stood{}, false
	}
	var best *stood
	least := math.Inf(1)
	for _, h := range s.shelves {
		for _, f := range append(keeping(h), h.low...) {
			l := s.g.m.Layout(f.now())
			if off := balance.Off(p, balance.Of(p, l)); f.keeps && off < least {
				best, least = &f, off
			}
		}
	}
	if best == nil || math.IsInf(least, 1) {
		return stood{}, false
	}
	s.gather(best)
	return *best, true
}

// shortestWired is the layout whose jumpers are shortest, from post to post, where the batteries
// can be wired. Straight lines between posts, not cables that find their way: a measure to choose
// by.
func (s *Search) shortestWired() (stood, bool) {
	var best *stood
	least := math.Inf(1)
	for _, h := range s.shelves {
		for _, f := range append(keeping(h), h.low...) {
			if length := wire.Straight(s.g.m.Problem, s.g.m.Layout(f.now())); f.keeps && length > 0 && length < least {
				best, least = &f, length
			}
		}
	}
	if best == nil {
		return stood{}, false
	}
	s.gather(best)
	return *best, true
}

// Table tells, for each number of levels that gains anything over fewer, the greatest spare
// found and how high the middle of mass is. A row has to have at least a twentieth of a millimetre
// more to spare, or a middle of mass a millimetre lower.
func (s *Search) Table() []outcome.LevelRow {
	var rows []outcome.LevelRow
	for l, h := range s.shelves {
		if len(h.best) == 0 {
			continue
		}
		r := outcome.LevelRow{Levels: l + 1, Spare: h.best[0].spare, Middle: h.best[0].middle, Keeps: len(h.low) > 0}
		if r.Keeps {
			r.Middle = h.low[0].gathered.middle
		}
		// No gain over the row before it.
		if n := len(rows); n > 0 && r.Spare < rows[n-1].Spare+0.05 && r.Middle > rows[n-1].Middle-1 {
			continue
		}
		rows = append(rows, r)
	}
	return rows
}
