package stand

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"sync/atomic"

	"rackwright/pack/entry"
	"rackwright/pack/search/internal/crew"
	"rackwright/pack/search/model"
)

// Settings steer a search. The zero value is valid and means the defaults.
type Settings struct {
	Seed     uint64
	Workers  int            // goroutines; 0 means one. Never changes the result
	AnyEntry bool           // layouts that do not go in, or whose posts no tool reaches, are answers too
	Tool     entry.Settings // the room for tools
	Levels   int            // what is looked for: so many levels; 0 means whatever is easiest to build
	// Keep is the spare in millimetres that a layout to be built has to keep; negative means
	// what makes it sure. See Choices.
	Keep float64
	// Late is asked by what finds out how boxes go in; nil for no end.
	Late context.Context
	Stop func() bool // tells whether the search has to end; nil for never
	// Failed is asked whether there is an error, and keeps it; nil for those who want to know only
	// whether there is one.
	Failed func(error) bool
}

// MaxLevels is how many levels are looked for. More trays are no rack for a home builder.
const MaxLevels = 4

// Search looks for layouts that stand, with as much to spare as there is for one level, two
// levels, and so on. It goes on in batches of starts, whose content depends on their number
// and on the batches before alone.
//
// It is not safe for several goroutines but for the workers that it starts itself.
type Search struct {
	settings Settings
	g, worst *staging // with everything as measured, and at its worst
	most     int      // levels that are looked for
	shelves  []shelf  // by number of levels, from one
	starts   int
	fresh    int // start of the last batch that found something better
	work     atomic.Int64
	hanging  []stance // made of layouts that hang, to start from
}

// shelf is what was found for one number of levels. Both lists are short, sorted and without twins.
type shelf struct {
	best []stood // by spare
	low  []stood // those that keep the reserve, the lowest first
}

// stood is a layout that stands. The spare is that of the stance as it was found, not as it was
// gathered.
type stood struct {
	s      stance
	spots  []model.Spot
	spare  float64
	middle float64 // height of the middle of its mass
	keeps  bool    // the reserve
	// gathered is the layout with its boxes as low and near one another as the reserve, or
	// where that is not kept the spare, lets them be.
	gathered gathered
}

// New makes a search for the problem of two models: as measured, and with everything at its
// worst, which have the same poses; worst is nil where the files give no accuracy. It is nil
// where some box has no way to stand. The problem's own limit on levels is what a home builder can
// weld: MaxLevels.
func New(m, worst *model.Model, settings Settings) *Search {
	if settings.Stop == nil {
		settings.Stop = func() bool { return false }
	}
	if settings.Failed == nil {
		settings.Failed = func(err error) bool { return err != nil }
	}
	if settings.Late == nil {
		settings.Late = context.Background()
	}
	settings.Workers = max(1, settings.Workers)
	g := newStaging(m)
	if !g.stands() {
		return nil
	}
	s := &Search{settings: settings, g: g, most: min(MaxLevels, max(len(m.Boxes), 1))}
	if settings.Levels > 0 {
		s.most = min(max(settings.Levels, 1), max(len(m.Boxes), 1))
	}
	if worst != nil {
		s.worst = g.atWorst(worst)
	}
	// One for each number of levels, from one on.
	s.shelves = make([]shelf, s.most)
	return s
}

// Over tells whether the search has looked for long enough without finding anything better. It only
// ends the looking; Choices can be asked at any time.
func (s *Search) Over() bool { return s.starts-s.fresh > staleStarts*s.most }

// KeepUp makes batches of starts until the work comes to due, or the search is over or has
// to end. Work is counted, so the same batches are made on every machine.
func (s *Search) KeepUp(due model.Effort) {
	for model.Effort(s.work.Load()) < due && !s.Over() && !s.settings.Stop() {
		s.Batch()
	}
}

// Batch makes a few starts. Results are taken in the order of the starts, not of the workers.
func (s *Search) Batch() {
	made := make([]start, startsPerBatch)
	s.atOnce(startsPerBatch, func(k int) { made[k] = s.start(s.starts + k) })
	s.starts += startsPerBatch
	for _, m := range made {
		s.work.Add(int64(m.work))
		if m.ok && s.offer(m.stood) {
			s.fresh = s.starts
		}
	}
}

// atOnce calls do(0) … do(n−1) from the workers.
func (s *Search) atOnce(n int, do func(int)) { crew.AtOnce(s.settings.Workers, n, do) }

// start is what one start found. It is not ok where nothing came of it.
type start struct {
	stood
	ok   bool
	work model.Effort
}

// levelsOf is for how many levels start n looks: each in turn. Where a number is asked for, half of
// the starts look for that.
func (s *Search) levelsOf(n int) int {
	if l := s.settings.Levels; l > 0 && n%2 == 0 {
		return s.most
	}
	return 1 + n%s.most
}

// start makes a stance, cools it and raises its spare. Its source of chance is made of the seed and
// its number alone.
func (s *Search) start(n int) (out start) {
	// So a start is the same whoever makes it, and when.
	rng := rand.New(rand.NewPCG(s.settings.Seed, uint64(n)))
	levels := s.levelsOf(n)
	from, hot := s.from(levels, n/s.most, rng)
	if from == nil {
		return out
	}
	a := newAnnealer(s.g, *from, s.aim(levels, rng), rng)
	a.run(s.moves(n), hot, coldestHeat, s.settings.Stop)
	// What cooling leaves nearly right the program puts right, or it is nothing.
	v := s.g.newLevelled(a.s, nil)
	v.run(promisingPart * s.spare(levels))
	out.work = a.work + v.work
	if v.spare < 0 { // or −Inf
		return out
	}
	out.stood, out.ok = s.stood(v.s, v.spare), true
	return out
}

// moves is how many moves start n makes: now and then four times as many. Cooling more slowly finds
// what quick starts miss, at four times the price.
func (s *Search) moves(n int) int {
	moves := 2500 * len(s.g.m.Boxes)
	if n/s.most%8 == 7 {
		return 4 * moves
	}
	return moves
}

// spare is the best for a number of levels, 0 with none.
func (s *Search) spare(levels int) float64 {
	if b := s.shelves[levels-1].best; len(b) > 0 {
		return b[0].spare
	}
	return 0
}

// aim draws the spare to look for: a little more than the best has. As start.Aim, with more: levels
// take away more of the freedom.
func (s *Search) aim(levels int, rng *rand.Rand) float64 {
	return s.spare(levels) + 0.02*s.g.m.Size/float64(len(s.g.m.Boxes))*rng.Float64()*rng.Float64()
}

// from is what a start begins with, and how hot: a stance drawn at random, one found before, or
// one made of a layout that hangs. Every second round begins with what is known, every fourth with
// what hangs; a stance that is known needs less heat, for it is to be changed and not forgotten.
func (s *Search) from(levels, round int, rng *rand.Rand) (*stance, float64) {
	if round%2 == 0 {
		if known := s.known(levels, rng); known != nil {
			return known, heatOfKnown
		}
	}
	if k := len(s.hanging); k > 0 && round%4 == 1 {
		c := s.g.merged(s.hanging[rng.IntN(k)], levels, rng)
		return &c, heatOfMerged
	}
	c, ok := s.g.newStance(levels, s.planeFor(round, rng), rng)
	if !ok {
		return nil, 0
	}
	return &c, heatOfDrawn
}

// planeFor is the tilt of a stance that is drawn: mostly none. Tilted trays are rarely worth it,
// but where they are nothing else is.
func (s *Search) planeFor(round int, rng *rand.Rand) int {
	if n := len(s.g.planes); n > 1 && round%8 == 3 {
		return rng.IntN(n)
	}
	return s.g.flattest
}

// known is a stance found before, or, now and then, one with a level less and a new level. Nil
// where nothing is known yet.
func (s *Search) known(levels int, rng *rand.Rand) *stance {
	here := s.shelves[levels-1]
	// Those with the most to spare twice as often.
	lists := [][]stood{here.best, here.best, here.low}
	if levels > 1 {
		lists = append(lists, s.shelves[levels-2].best)
	}
	list := lists[rng.IntN(len(lists))]
	if len(list) == 0 {
		return nil
	}
	c := list[rng.IntN(len(list))].s.clone()
	for c.levels < levels {
		c = s.g.withLevel(c, rng)
	}
	return &c
}

// stood is a stance that stands, with the number of levels that it really has. Heights that have
// come together are one level.
func (s *Search) stood(c stance, spare float64) stood {
	c = s.g.tidied(c)
	spots := s.g.spots(&c)
	return stood{s: c, spots: spots, spare: spare, middle: s.g.middle(spots)}
}

// offer takes what a start found where it is better than what there is, and tells whether it
// was.
//
// Ways in are asked last, since they cost most, and only of what would be kept.
func (s *Search) offer(f stood) bool {
	if f.s.levels > s.most {
		return false
	}
	shelf := &s.shelves[f.s.levels-1]
	if len(shelf.best) >= keptOfASort && f.spare <= shelf.best[len(shelf.best)-1].spare && !s.lower(shelf, f) {
		return false
	}
	if slices.ContainsFunc(append(shelf.best[:len(shelf.best):len(shelf.best)], shelf.low...), func(o stood) bool {
		return f.spare <= o.spare+leastGain && s.g.alike(o.spots, f.spots)
	}) || !s.enters(f.spots) {
		return false
	}
	// Better is more to spare, or lower with the reserve kept.
	before := s.spare(f.s.levels)
	was := math.Inf(1)
	if len(shelf.low) > 0 {
		was = shelf.low[0].gathered.middle
	}
	s.finish(&f)
	shelf.take(f, s.g)
	return f.spare > before+leastGain || f.keeps && f.gathered.middle < was-1
}

// lower tells whether a layout may be among the lowest that keep the reserve.
func (s *Search) lower(shelf *shelf, f stood) bool {
	return len(shelf.low) < keptOfASort || f.middle < shelf.low[len(shelf.low)-1].middle
}

// enters tells whether the boxes go in and a tool reaches the posts. An error of the planner counts
// as no.
func (s *Search) enters(spots []model.Spot) bool {
	if s.settings.AnyEntry {
		return true
	}
	m := s.g.m
	s.work.Add(int64(model.PerEntry * model.Effort(len(spots))))
	ok, err := entry.Holds(s.settings.Late, m.Problem, m.Layout(spots), s.settings.Tool)
	return !s.settings.Failed(err) && ok
}

// take puts a layout among the best and, if it keeps the reserve, among the lowest.
func (h *shelf) take(f stood, g *staging) {
	h.best = taken(h.best, f, g, func(a, b stood) bool { return a.spare > b.spare })
	if f.keeps {
		h.low = taken(h.low, f, g, func(a, b stood) bool { return a.gathered.middle < b.gathered.middle })
	}
}

// taken puts a layout into a list in its order, in the stead of what is like it and worse. One of
// the twins stays, the better by the order of the list.
func taken(list []stood, f stood, g *staging, before func(a, b stood) bool) []stood {
	// A twin that is at least as good stays, and what is new is let go.
	for _, o := range list {
		if !before(f, o) && g.alike(o.spots, f.spots) {
			return list
		}
	}
	list = slices.DeleteFunc(slices.Clone(list), func(o stood) bool { return g.alike(o.spots, f.spots) })
	at := slices.IndexFunc(list, func(o stood) bool { return before(f, o) })
	if at < 0 {
		at = len(list)
	}
	list = slices.Insert(list, at, f)
	return list[:min(len(list), keptOfASort)]
}

// Consider takes a layout that need not stand, whose heights may be merged to levels. The last few
// are kept.
func (s *Search) Consider(spots []model.Spot) {
	if c, ok := s.g.hung(spots); ok {
		s.hanging = append(s.hanging, c)
		s.hanging = s.hanging[max(0, len(s.hanging)-keptOfASort):]
	}
}

// Best is the layout with the most to spare, nil where there is none.
func (s *Search) Best() ([]model.Spot, float64) {
	n := s.mostSpare()
	if n == 0 {
		return nil, 0
	}
	return s.shelves[n-1].best[0].spots, s.shelves[n-1].best[0].spare
}
