package design

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"rackwright/pack"
	"rackwright/pack/rack/shelf"
)

// mostShelved layouts get a rack designed for, of each way of keeping room.
const mostShelved = 16

// mostSettled layouts without a rack have their levels moved: the ones nearest to a rack, of those that
// lack the same the first.
const mostSettled = 4

// mostFull is for how many layouts whose racks hold too little stronger parts are tried.
const mostFull = 3

// Asks are what Seek asks of a layout: whether it is an answer, and what rack is to be had for it;
// quickly, with few tries.
type Asks struct {
	Holds  func(pack.Layout) bool
	Design func(l pack.Layout, quickly bool) (Result, error)
}

// asking is Asks with what is asked so far.
type asking struct {
	Asks
	tries int // racks that were tried
}

// mostInAll is how many racks are tried for all layouts together, before stronger parts.
const mostInAll = 800

func (a *asking) spent() bool { return a.tries >= mostInAll }

func (a *asking) try(l pack.Layout, quickly bool) Tried {
	r, err := a.Design(l, quickly)
	if quickly {
		a.tries += max(1, r.Tried)
	}
	return Tried{l, r, err}
}

// ErrNoRows is that no layout in rows on levels leaves room for a rack.
var ErrNoRows = errors.New("no rows of boxes on levels leave the room that a rack takes")

// NoRows is ErrNoRows with what lacks for the rows that come nearest.
type NoRows struct{ shelf.Lack }

func (e NoRows) Error() string {
	var wants []string
	for _, w := range e.Wants[:min(3, len(e.Wants))] {
		wants = append(wants, fmt.Sprintf("%.1f mm at %s", w.Short, w.Obstacle))
	}
	return fmt.Sprintf("%v: the nearest, %s, lack %s; free as much there and change the frame file, or take a box out (count in the pack file)", ErrNoRows, e.Boxes(), strings.Join(wants, ", "))
}

func (e NoRows) Unwrap() error { return ErrNoRows }

// nearestRows is what lacks for the rows that come nearest, with room kept in any of the ways.
func nearestRows(ctx context.Context, kept []Kept) error {
	var best shelf.Lack
	for _, k := range kept {
		if ctx.Err() != nil {
			break
		}
		if l, ok := shelf.Nearest(k.Problem, shelf.Room{Over: k.Over}); ok && (best.Wants == nil || l.Sum() < best.Sum()) {
			best = l
		}
	}
	if best.Wants == nil {
		return ErrNoRows
	}
	return NoRows{best}
}

// Seek looks for a layout with a rack that breaks no rule, among layouts in rows on levels with the
// room kept that a rack takes, and moves levels of those that come near. Where there is none it
// returns the one nearest to it; where no rows go in its error is ErrNoRows or NoRows. It counts its tries, and
// ends with ctx.
func Seek(ctx context.Context, p pack.Problem, kept []Kept, asks Asks) Tried {
	a := &asking{Asks: asks}
	var near []Tried
	seen := map[string]bool{}
	full := 0
	for _, k := range kept {
		tried := 0
		for _, l := range halfRound(p, shelf.Layouts(k.Problem, shelf.Room{Over: k.Over}, 2*mostShelved)) {
			if ctx.Err() != nil || tried == mostShelved || full == mostFull || a.spent() {
				break
			}
			key := fmt.Sprint(l.Placements)
			if seen[key] || !a.Holds(l) {
				continue
			}
			seen[key] = true
			tried++
			t := a.try(l, true)
			if t.Weak() {
				full++
				t = a.try(l, false)
			}
			if t.Sound() && !t.Weak() {
				return t
			}
			near = append(near, t)
		}
	}
	if len(near) == 0 {
		return Tried{Err: nearestRows(ctx, kept)}
	}
	slices.SortStableFunc(near, func(x, y Tried) int { return cmp.Compare(x.off(), y.off()) })
	if near[0].Sound() {
		return near[0] // it holds less than is aimed at, and breaks no other rule
	}
	return a.settled(ctx, p, near)
}

// settled moves levels of the layouts that come nearest to a rack, each short of something else.
func (a *asking) settled(ctx context.Context, p pack.Problem, near []Tried) Tried {
	best := near[0]
	seen := map[string]bool{}
	for _, n := range near {
		key := strings.Join(n.Result.Why, "\n")
		if len(seen) == mostSettled || ctx.Err() != nil || a.spent() {
			break
		}
		if seen[key] {
			continue
		}
		seen[key] = true
		t := Settle(ctx, p, n.Layout, a.Holds, func(l pack.Layout) (Result, error) {
			t := a.try(l, true)
			return t.Result, t.Err
		})
		if t.Weak() {
			t = a.try(t.Layout, false)
		}
		if t.Sound() && !t.Weak() {
			return t
		}
		if t.Sound() && !best.Sound() || t.Sound() == best.Sound() && t.off() < best.off() {
			best = t
		}
	}
	return best
}

// halfRound are layouts, each with the same after it but with the boxes turned half round about the
// upright axis that have posts on their sides: bars may have room on the other side.
func halfRound(p pack.Problem, list []pack.Layout) []pack.Layout {
	var both []pack.Layout
	for _, l := range list {
		both = append(both, l)
		turned, changed := pack.Layout{Placements: slices.Clone(l.Placements)}, false
		for i := range turned.Placements {
			at := &turned.Placements[i]
			if k := p.Pack.Kinds[slices.IndexFunc(p.Pack.Kinds, func(k pack.Kind) bool { return k.Name == at.Box })]; sidePosts(k, at.Orientation) {
				at.Front, changed = at.Front.Opposite(), true
			}
		}
		if changed {
			both = append(both, turned)
		}
	}
	return both
}

// sidePosts tells whether posts of a kind are on the sides of a box that stands so.
func sidePosts(k pack.Kind, o pack.Orientation) bool {
	return slices.ContainsFunc(k.Posts, func(post pack.Post) bool { return post.Face != o.Up })
}
