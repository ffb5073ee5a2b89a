package design

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"rackwright/frame"
	"rackwright/pack/rack"
)

// try makes the racks of one choice, for each way of tying every level.
func (d *designer) try(ctx context.Context, c measures, judge Judge) []Result {
	partial := []partialRack{{rack: &rack.Rack{FrameHash: d.problem.Frame.Hash, PackHash: d.problem.Pack.Hash, Joints: d.settings.Joints, Give: d.settings.Stock.Give, Bought: d.settings.Stock.Bought}}}
	for i := range d.levels {
		var next []partialRack
		for _, p := range partial {
			next = append(next, d.addLevel(c, p, i)...)
		}
		partial = d.fewest(next)
		if len(partial) == 0 {
			return nil
		}
	}
	var list []Result
	for _, p := range partial {
		if ctx.Err() != nil {
			break
		}
		if p.short > hardly && len(list) > 0 {
			break
		}
		d.tries++
		if p.short > hardly { // judged only where nothing is in the way of any part
			return append(list, Result{Rack: p.rack, Verdict: Verdict{Violations: 1, Off: p.short, Words: lacks(p.why)}})
		}
		p.rack.Clamps = d.room.clampsOf(p.rack.Fasteners)
		for _, t := range p.trays {
			own := *t
			own.whole = p.rack
			own.padAll()
		}
		if whole := p.rack; whole.Joints == rack.Welded {
			p.rack = welded(whole)
		}
		list = append(list, Result{Rack: p.rack, Verdict: judge(p.rack, false)})
	}
	return reckoned(list, judge)
}

// lacks says what has no room, the worst first; of each thing in the way once.
func lacks(why []conflict) []string {
	why = slices.Clone(why)
	slices.SortStableFunc(why, func(a, b conflict) int { return cmp.Compare(b.short, a.short) })
	var list []string
	seen := map[string]bool{}
	for _, c := range why {
		if !seen[c.with] {
			seen[c.with] = true
			list = append(list, fmt.Sprintf("%s has no room beside %s: %.1f mm too little; free as much there, or move the boxes of its level away from it", c.part, c.with, c.short))
		}
	}
	return list
}

// hardly is how many mm in all parts may lack of the air around them.
const hardly = 1

// reckoned asks what the best of some racks holds, where nothing else is wrong with it, and
// leaves the others that are sound out: they are of the same bars.
func reckoned(list []Result, judge Judge) []Result {
	var best Result
	var rest []Result
	for _, r := range list {
		if r.Verdict.Violations > 0 {
			rest = append(rest, r)
			continue
		}
		best.consider(r)
	}
	if best.Rack == nil {
		return rest
	}
	return []Result{{Rack: best.Rack, Verdict: judge(best.Rack, true)}}
}

// partialRack is a rack with the trays of some levels.
type partialRack struct {
	rack  *rack.Rack
	trays []*tray
	short float64
	why   []conflict // what has no room, and beside what
}

// kept is how many ways of tying are followed from each level to the next.
const kept = 6

// fewest keeps the racks with the least that is in their way, then the fewest parts.
func (d *designer) fewest(list []partialRack) []partialRack {
	slices.SortStableFunc(list, func(a, b partialRack) int {
		return cmp.Or(cmp.Compare(a.short, b.short), cmp.Compare(a.rack.Parts(), b.rack.Parts()), cmp.Compare(a.rack.Mass(), b.rack.Mass()))
	})
	return list[:min(kept, len(list))]
}

// addLevel makes the tray of a level in every way of tying it.
func (d *designer) addLevel(c measures, p partialRack, i int) []partialRack {
	probe := d.newTray(c, p, i)
	probe.begin([2]float64{math.NaN(), math.NaN()})
	planes := append(probe.floorPlanes(d.mounts), probe.planes(d.mounts, p.trays)...)
	planes = append(planes, probe.legPlanes(d.mounts)...)
	if len(planes) == 0 {
		if slices.ContainsFunc(d.mounts, func(m frame.Mount) bool { return math.Abs(m.Faces.Z) < 0.7 }) {
			return nil // a tray that runs the other way can be tied to it
		}
		d.note("no mount can be reached from a tray of the %slevel (%s): mounts that face up may be up to %d mm under its bars, those that face down as much over them, but beyond the ends of its boxes; those that face across or lengthwise beside it or beyond its ends: move the boxes, or add a lug that is there to the frame file", d.levels[i].name, d.facing(), longestLeg)
		return nil
	}
	var list []partialRack
	for _, pair := range d.withHangs(probe, pairs(planes), i) {
		c.wide = probe.widen(pair)
		t := d.newTray(c, p, i)
		if !t.make(pair) {
			d.fail(t.why, t.lack)
			continue
		}
		why := t.clashes(len(p.rack.Bars), len(p.rack.Fasteners))
		next := partialRack{rack: t.whole, trays: append(slices.Clone(p.trays), t), short: p.short, why: append(slices.Clone(p.why), why...)}
		for _, c := range why {
			next.short += c.short
		}
		list = append(list, next)
	}
	return list
}

// facing says where the mounts face.
func (d *designer) facing() string {
	var words []string
	for _, m := range d.mounts {
		word := "another way"
		switch {
		case m.Faces.Z > 0.7:
			word = "up"
		case m.Faces.Z < -0.7:
			word = "down"
		case math.Abs(m.Faces.Y) > 0.7:
			word = "across"
		case math.Abs(m.Faces.X) > 0.7:
			word = "lengthwise"
		}
		words = append(words, fmt.Sprintf("%s faces %s", m.Name, word))
	}
	return strings.Join(words[:min(4, len(words))], ", ")
}

func (d *designer) newTray(c measures, p partialRack, i int) *tray {
	r := *p.rack
	r.Bars, r.Fasteners, r.Pads = slices.Clone(r.Bars), slices.Clone(r.Fasteners), slices.Clone(r.Pads)
	t := &tray{measures: c, room: d.room, level: d.levels[i], whole: &r, cross: map[string]bool{}}
	if i+1 < len(d.levels) {
		t.next = d.levels[i+1].boxes
	}
	return t
}

// apart is how far two planes have to be from each other at least, mm.
const apart = 60

// pairs are two planes each, a back one and a front one; or one alone where there is no other.
func pairs(planes []plane) [][]plane {
	var list [][]plane
	for i, a := range planes {
		for _, b := range planes[i+1:] {
			if math.Abs(a.heel-b.heel) >= apart {
				list = append(list, []plane{a, b})
			}
		}
	}
	if len(list) == 0 {
		for _, a := range planes {
			list = append(list, []plane{a})
		}
	}
	return list
}
