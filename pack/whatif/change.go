package whatif

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/s1"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/search"
)

// Change is a change to the pack that was tried.
type Change struct {
	What    string // what is changed, as a clause: "one block fewer"
	Caution string // what to make sure of first; may be empty
	Problem pack.Problem
	Result  search.Result
	// eases is how many of the changes listed before this one ask for no less: what holds with one
	// of them holds with this as well.
	eases int
}

// Tilts that are tried where the pack does not allow them, in degrees.
var otherTilts = []float64{-15, -10, 10, 15}

// Changes lists the changes to a pack that may help, not searched yet: one box fewer,
// each gap at its floor and all of them together, one stand more, another tilt. Gaps of
// posts stay as they are, and what has posts or volts is not turned upside down.
func Changes(problem pack.Problem) []Change {
	list := fewer(problem)
	list = append(list, floors(problem)...)
	list = append(list, stands(problem)...)
	return append(list, tilts(problem)...)
}

// Try searches changes one after the other for the greatest spare and returns those that it came
// to before ctx ended. What one of them finds counts for a later one that eases more. It fails
// only where search.Fit does.
func Try(ctx context.Context, changes []Change, settings Settings) ([]Change, error) {
	var done []Change
	for _, c := range changes {
		if ctx.Err() != nil {
			break
		}
		var err error
		if c.Result, err = settings.fit(ctx, c.What, c.Problem); err != nil {
			return done, err
		}
		for _, o := range done[max(0, len(done)-c.eases):] {
			if len(o.Result.Layouts) > 0 {
				settings.Offer(ctx, c.Problem, &c.Result, o.Result.Layouts[0].Layout)
			}
		}
		done = append(done, c)
	}
	return done, nil
}

// changedPack is the problem with a copy of its pack, kinds and all, that may be changed.
func changedPack(problem pack.Problem) pack.Problem {
	p := *problem.Pack
	p.Kinds = slices.Clone(p.Kinds)
	problem.Pack = &p
	return problem
}

func fewer(problem pack.Problem) []Change {
	var list []Change
	for i, k := range problem.Pack.Kinds {
		if k.Count == 1 && len(problem.Pack.Kinds) == 1 {
			continue // nothing would be left
		}
		q := changedPack(problem)
		q.Pack.Kinds[i].Count--
		what := "one " + k.Name + " fewer"
		if k.Count == 1 {
			q.Pack.Kinds = slices.Delete(q.Pack.Kinds, i, i+1)
			what = "the " + k.Name + " somewhere else"
		}
		caution := ""
		if k.Volts > 0 {
			caution = "voltage and range change with it; charger, controller and motor have to match"
		}
		list = append(list, Change{What: what, Caution: caution, Problem: q})
	}
	return list
}

// floorOf names a gap that may go down to its floor. Those of posts are not among them:
// they keep live metal from metal.
var floorOf = []struct {
	name string
	of   func(*pack.Gaps) *float64
}{
	{"beside", func(g *pack.Gaps) *float64 { return &g.Beside }},
	{"above", func(g *pack.Gaps) *float64 { return &g.Above }},
	{"wall", func(g *pack.Gaps) *float64 { return &g.Wall }},
	{"rail", func(g *pack.Gaps) *float64 { return &g.Rail }},
	{"keepout", func(g *pack.Gaps) *float64 { return &g.KeepOut }},
}

func floors(problem pack.Problem) []Change {
	if problem.Pack.Floor == nil {
		return nil
	}
	var list []Change
	all := changedPack(problem)
	length := func(mm float64) string { return geom.FormatLength(mm, problem.Pack.Unit) }
	bare := func(text string) string { return strings.TrimSuffix(text, " "+problem.Pack.Unit.String()) }
	for _, f := range floorOf {
		floor, now := *f.of(problem.Pack.Floor), *f.of(&problem.Pack.Gaps)
		if floor >= now {
			continue
		}
		q := changedPack(problem)
		*f.of(&q.Pack.Gaps), *f.of(&all.Pack.Gaps) = floor, floor
		list = append(list, Change{What: fmt.Sprintf("the gap %s at its floor of %s instead of %s", f.name, length(floor), bare(length(now))), Problem: q})
	}
	if len(list) > 1 {
		list = append(list, Change{What: "all these gaps at their floors", Problem: all, eases: len(list)})
	}
	return list
}

// makerSays is the caution of stands and tilts that the pack file does not allow.
const makerSays = "only if the maker allows it; flooded batteries stay upright"

// stands are the stands that the pack does not allow, one more for one kind.
func stands(problem pack.Problem) []Change {
	var list []Change
	for i, k := range problem.Pack.Kinds {
		for s := pack.Upright; s <= pack.Inverted; s++ {
			if slices.Contains(k.Stands, s) || s == pack.Inverted && live(k) || k.Flooded {
				continue
			}
			q := changedPack(problem)
			q.Pack.Kinds[i].Stands = append(slices.Clone(k.Stands), s)
			list = append(list, Change{What: fmt.Sprintf("%s allowed %v as well", k.Name, s), Caution: cautionFor(k), Problem: q})
		}
	}
	return list
}

// live tells whether a kind has something to short or to spill.
func live(k pack.Kind) bool { return len(k.Posts) > 0 || k.Volts > 0 }

// cautionFor is the caution of a stand or tilt more of a kind.
func cautionFor(k pack.Kind) string {
	if live(k) {
		return makerSays
	}
	return ""
}

// tilts are tilts that the pack does not allow, one more for one kind.
func tilts(problem pack.Problem) []Change {
	var list []Change
	for i, k := range problem.Pack.Kinds {
		if k.Flooded {
			continue
		}
		for _, d := range otherTilts {
			tilt := s1.Angle(d) * s1.Degree
			if slices.ContainsFunc(k.Tilts, func(t s1.Angle) bool { return math.Abs(float64(t-tilt)) < 0.05 }) {
				continue // that or one within 3° is allowed
			}
			q := changedPack(problem)
			q.Pack.Kinds[i].Tilts = append(slices.Clone(k.Tilts), tilt)
			nose := "nose down"
			if d < 0 {
				nose = "nose up"
			}
			list = append(list, Change{What: fmt.Sprintf("%s allowed tilted by %g° %s as well", k.Name, math.Abs(d), nose), Caution: cautionFor(k), Problem: q})
		}
	}
	return list
}
