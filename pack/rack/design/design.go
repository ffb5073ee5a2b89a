// Package design makes racks for layouts whose boxes stand on levels. Each level gets a tray:
// two side members of angle with cross bars on them, end bars whose upright legs stop the
// boxes lengthwise, flats under the joints of boxes; hold-downs over the boxes with a rod at
// each end; pads in all that is left; and uprights to mounts of the frame or to the tray
// below, or bolts down into mounts that face up, with a floor bar where no side member is over
// them. It tries what few choices there are (which way the tray runs, sizes of rods and bars,
// which mounts), has each whole rack judged by what it is given, and keeps the one with the
// fewest parts, then the least mass; what gives too early gets stronger sections. It never judges
// itself. Boxes that are all tilted alike it sees along their trays (rack.AlongTrays). Boxes that others carry
// get stops at their ends. Mounts that face down it leaves to the builder, and says so. Seek looks for layouts that take a rack.
package design

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"rackwright/pack"
	"rackwright/pack/rack"
)

// Judge says what is wrong with a rack: how many violations, and by how much they are off, in
// mm, in all; and the worst in words. Only when loads is true does it reckon what the rack
// holds, which takes longer than all else.
type Judge func(r *rack.Rack, loads bool) Verdict

// Verdict of a judge: how many violations, by how many mm they are off in all, and what they are.
type Verdict struct {
	Violations int
	Off        float64
	Words      []string
	Weak       []string // the parts that give too early, where nothing else is wrong
}

// Settings steer a design. The zero value means the defaults.
type Settings struct {
	Joints rack.Joints
	Stock  rack.Stock // zero: rack.DefaultStock
	Tries  int        // how many racks are judged at most, without stronger parts for what gives too early; 0: 160, with such
}

// Result is the best rack found, and what the judge says of it; Why says what could not be
// had where there is none without violation.
type Result struct {
	Rack    *rack.Rack
	Verdict Verdict
	Why     []string
	Tried   int
}

// New designs a rack. The judge is asked for each try.
func New(ctx context.Context, p pack.Problem, l pack.Layout, s Settings, judge Judge) (Result, error) {
	d, err := newDesigner(p, l, s)
	if err != nil {
		return Result{}, err
	}
	best := d.best(ctx, judge)
	if ctx.Err() == nil && (best.Rack == nil || best.Verdict.Violations > 0) && d.withClamps() {
		d.budget += d.tries
		best.consider(d.best(ctx, judge))
	}
	best.Tried = d.tries
	best.Why = d.reasons(best)
	if best.Rack != nil {
		best.Rack = best.Rack.Tilted(d.tilt)
	}
	return best, nil
}

// best is the best rack of any size of rod.
func (d *designer) best(ctx context.Context, judge Judge) Result {
	var best Result
	for _, rod := range d.settings.Stock.Rods {
		t, err := rack.ThreadOf(rod)
		if err != nil || t.D > thickestRod {
			continue
		}
		best.consider(d.with(ctx, t, d.tilting(judge)))
		if best.Rack != nil && !(best.onlyWeak() && best.weakIn("rod ")) {
			break // thicker rods take more room
		}
	}
	return best
}

// tilting asks a judge of racks that are designed along their trays.
func (d *designer) tilting(judge Judge) Judge {
	return func(r *rack.Rack, loads bool) Verdict { return judge(r.Tilted(d.tilt), loads) }
}

// thickestRod is the diameter of the thickest rod in mm that boxes are held down with.
const thickestRod = 8

// with looks for the best rack with one size of rod, and ends at the first sound one.
func (d *designer) with(ctx context.Context, rod rack.Thread, judge Judge) Result {
	var best Result
	tried := map[rack.Section]int{}
	for _, c := range d.roomiest(d.choices(rod)) {
		if d.settings.Tries > 0 && tried[c.angle] == triesOfAngle {
			continue
		}
		tried[c.angle]++
		if ctx.Err() != nil || d.tries >= d.budget {
			break
		}
		for _, r := range d.try(ctx, c, judge) {
			best.consider(r)
			if r.onlyWeak() && d.settings.Tries == 0 {
				best.consider(d.strengthen(ctx, c, r, judge))
			}
		}
		if best.Rack != nil && best.usable() {
			break
		}
	}
	return best
}

// weakIn tells whether a part of such a name gives too early.
func (r Result) weakIn(name string) bool {
	return slices.ContainsFunc(r.Verdict.Weak, func(part string) bool { return strings.Contains(part, name) })
}

// triesOfAngle is how often each angle is tried where a layout has few tries.
const triesOfAngle = 4

// mostTries is how many racks are judged for one layout at most.
const mostTries = 160

// onlyWeak tells whether a rack breaks no rule but that it holds less than is aimed at.
func (r Result) onlyWeak() bool {
	return r.Rack != nil && r.Verdict.Violations > 0 && len(r.Verdict.Weak) >= r.Verdict.Violations
}

// usable tells whether a rack breaks no rule but that it may hold less than is aimed at: then it is
// given, with that said.
func (r Result) usable() bool { return r.Verdict.Violations == 0 || r.onlyWeak() }

// consider keeps the better of two racks: one that can be given, then fewer violations, then less
// off, then fewer parts, then less mass.
func (b *Result) consider(r Result) {
	if r.Rack == nil {
		return
	}
	if b.Rack == nil || r.usable() && !b.usable() {
		b.Rack, b.Verdict = r.Rack, r.Verdict
		return
	}
	if r.usable() == b.usable() && cmp.Or(
		cmp.Compare(r.Verdict.Violations, b.Verdict.Violations), cmp.Compare(r.Verdict.Off, b.Verdict.Off),
		cmp.Compare(r.Rack.Parts(), b.Rack.Parts()), cmp.Compare(r.Rack.Mass(), b.Rack.Mass()),
	) < 0 {
		b.Rack, b.Verdict = r.Rack, r.Verdict
	}
}

// reasons says what could not be had, the commonest first.
func (d *designer) reasons(best Result) []string {
	if best.Rack != nil && best.Verdict.Violations == 0 {
		return nil
	}
	if best.Rack != nil && len(best.Verdict.Words) > 0 {
		if words := best.Verdict.Words; d.doing != "" {
			return append(slices.Clone(words), d.doing+" would do there: add it to the sections of your stock file, see rackwright help rack")
		}
		return best.Verdict.Words
	}
	if d.failed != "" {
		return []string{d.failed}
	}
	var list []string
	for text := range d.why {
		list = append(list, text)
	}
	slices.SortFunc(list, func(a, b string) int { return cmp.Or(cmp.Compare(d.why[b], d.why[a]), cmp.Compare(a, b)) })
	return list[:min(6, len(list))]
}

// fail notes why no tray could be made where it lacks less than what was noted so far.
func (d *designer) fail(why string, lack float64) {
	if d.failed == "" || lack < d.lack {
		d.failed, d.lack = why, lack
	}
}

func (d *designer) note(format string, args ...any) { d.why[fmt.Sprintf(format, args...)]++ }
