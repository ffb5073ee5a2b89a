// Package design makes racks for layouts whose boxes stand on levels. Each level gets a tray:
// two side members of angle with cross bars on them, end bars whose upright legs stop the
// boxes lengthwise, flats under the joints of boxes; hold-downs over the boxes with a rod at
// each end; pads in all that is left; and uprights to mounts of the frame or to the tray
// below, or bolts down into mounts that face up, with a floor bar where no side member is over
// them. It tries what few choices there are (which way the tray runs, sizes of rods and bars,
// which mounts), has each whole rack judged by what it is given, and keeps the one with the
// fewest parts, then the least mass; what gives too early gets stronger sections. It never judges
// itself. Tilted levels, boxes that others carry and mounts that face down it leaves to the builder,
// and says so. Seek looks for layouts that take a rack.
package design

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/rack"
)

// Judge says what is wrong with a rack: how many violations, and by how much they are off, in
// mm, in all; and the worst in words. Only when loads is true does it reckon what the rack
// holds, which takes longer than all else.
type Judge func(r *rack.Rack, loads bool) Verdict

// Verdict of a judge. Holds is the least number of g of six directions, 0 where it was not
// asked for.
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

// ErrNotStanding is returned for layouts whose boxes do not stand on levels.
var ErrNotStanding = errors.New("boxes of this layout hang in the air")

// ErrManyLevels is returned for layouts on more levels than MostLevels.
var ErrManyLevels = errors.New("this layout has too many levels for a rack")

// MostLevels is how many levels a rack is designed for.
const MostLevels = 4

// New designs a rack. The judge is asked for each try.
func New(ctx context.Context, p pack.Problem, l pack.Layout, s Settings, judge Judge) (Result, error) {
	d, err := newDesigner(p, l, s)
	if err != nil {
		return Result{}, err
	}
	var best Result
	for _, rod := range d.settings.Stock.Rods {
		t, err := rack.ThreadOf(rod)
		if err != nil || t.D > thickestRod {
			continue
		}
		best.consider(d.with(ctx, t, judge))
		if best.Rack != nil && !(best.onlyWeak() && best.weakIn("rod ")) {
			break // thicker rods take more room
		}
	}
	best.Tried = d.tries
	best.Why = d.reasons(best)
	return best, nil
}

// thickestRod is the diameter of the thickest rod in mm that boxes are held down with.
const thickestRod = 8

// with looks for the best rack with one size of rod, and ends at the first sound one.
func (d *designer) with(ctx context.Context, rod rack.Thread, judge Judge) Result {
	var best Result
	for _, c := range d.choices(rod) {
		if ctx.Err() != nil || d.tries >= cmp.Or(d.settings.Tries, mostTries) {
			break
		}
		for _, r := range d.try(ctx, c, judge) {
			best.consider(r)
			if r.onlyWeak() && d.settings.Tries == 0 {
				best.consider(d.strengthen(ctx, c, r, judge))
			}
		}
		if best.Rack != nil && (best.Verdict.Violations == 0 || best.onlyWeak()) {
			break
		}
	}
	return best
}

// weakIn tells whether a part of such a name gives too early.
func (r Result) weakIn(name string) bool {
	return slices.ContainsFunc(r.Verdict.Weak, func(part string) bool { return strings.Contains(part, name) })
}

// mostTries is how many racks are judged for one layout at most.
const mostTries = 160

// onlyWeak tells whether a rack breaks no rule but that it holds less than is aimed at.
func (r Result) onlyWeak() bool {
	return r.Rack != nil && r.Verdict.Violations > 0 && len(r.Verdict.Weak) >= r.Verdict.Violations
}

// consider keeps the better of two racks: fewer violations, then less off, then fewer parts,
// then less mass.
func (b *Result) consider(r Result) {
	if r.Rack == nil {
		return
	}
	if b.Rack == nil || cmp.Or(
		cmp.Compare(r.Verdict.Violations, b.Verdict.Violations), cmp.Compare(r.Verdict.Off, b.Verdict.Off),
		cmp.Compare(r.Rack.Parts(), b.Rack.Parts()), cmp.Compare(r.Rack.Mass(), b.Rack.Mass()),
	) < 0 {
		b.Rack, b.Verdict = r.Rack, r.Verdict
	}
}

// designer holds what all tries share.
type designer struct {
	problem  pack.Problem
	settings Settings
	room     *room
	levels   []level
	mounts   []frame.Mount
	why      map[string]int
	failed   string // why the tray that came nearest could not be made
	lack     float64
	tries    int    // racks judged
	doing    string // the section that is not in the stock with which the best rack would hold
}

func newDesigner(p pack.Problem, l pack.Layout, s Settings) (*designer, error) {
	d := &designer{problem: p, settings: s, why: map[string]int{}}
	if len(d.settings.Stock.Angles) == 0 {
		d.settings.Stock = rack.DefaultStock()
	}
	if d.settings.Joints == "" {
		d.settings.Joints = rack.Bolted
	}
	d.room = &room{obstacles: p.Obstacles(), gaps: p.Pack.Gaps}
	for _, o := range d.room.obstacles {
		low, high := geom.Bounds(o.Solid)
		d.room.blocks = append(d.room.blocks, [2]r3.Vector{low, high})
	}
	for _, at := range l.Placements {
		if at.Tilt != 0 {
			return nil, fmt.Errorf("%v is tilted: racks are designed for boxes that stand level; fit again with tilt: [0]", at.Part())
		}
		bodies, err := p.Bodies(at)
		if err != nil {
			return nil, err
		}
		low, high := geom.Bounds(bodies.Case)
		d.room.boxes = append(d.room.boxes, newPlaced(at.Part(), low, high, bodies))
	}
	d.levels = levels(d.room.boxes)
	switch n := len(d.levels); {
	case n > 1 && !pack.StandingOf(p, l).Stands():
		return nil, fmt.Errorf("%w: %d boxes at %d heights; rackwright fit FRAME PACK --levels 2 looks for a layout in which they stand", ErrNotStanding, len(d.room.boxes), n)
	case n > MostLevels:
		return nil, fmt.Errorf("%w: its boxes stand on %d levels, and racks are designed for %d at most; rackwright fit FRAME PACK --rack --levels %d looks for a layout on fewer; undersides within %.3g mm of each other are one level", ErrManyLevels, n, MostLevels, MostLevels, float64(sameLevel))
	}
	if err := untied(p); err != nil {
		return nil, err
	}
	mounts, err := rack.Mounts(p, l)
	d.mounts, d.room.mounts = mounts, mounts
	return d, err
}

// ErrHangs is returned where something hangs on the rack: no tie for it is designed.
var ErrHangs = errors.New("ties for what hangs on the rack are not designed")

// untied names the first thing that hangs on the rack, and how a rack with a tie for it is made.
func untied(p pack.Problem) error {
	for _, k := range p.Frame.KeepOuts {
		if len(k.Hangs) == 0 {
			continue
		}
		h := k.Hangs[0]
		return fmt.Errorf("%w: %s hangs on it by %s at [%g, %g, %g]; take its hangs_on_rack out of a copy of the frame file and design the rack with that; put a bar at the point and a bolt through both into the rack file (joins: the bar and %q); then have it judged with the frame file as it is: rackwright check FRAME PACK LAYOUT --rack FILE", ErrHangs, k.Name, h.Bolt, h.At.X, h.At.Y, h.At.Z, k.Name)
	}
	return nil
}

func newPlaced(part pack.Part, low, high r3.Vector, bodies pack.Bodies) placed {
	b := placed{part: part, name: part.String(), low: low, high: high, posts: bodies.Posts, body: bodies.Case}
	for _, post := range bodies.Posts {
		low, high := geom.Bounds(post)
		b.blocks = append(b.blocks, [2]r3.Vector{low, high})
	}
	return b
}

// choice is one set of sizes for all trays.
type choice struct {
	measures
}

// choices with a size of rod are tried in this order: the plainest and lightest first.
func (d *designer) choices(rod rack.Thread) []choice {
	var list []choice
	stock := d.settings.Stock
	thinnest, _ := rack.ThreadOf("M5") // of the bolts of uprights
	for _, run := range []axes{{r3.Vector{X: 1}, r3.Vector{Y: 1}}, {r3.Vector{Y: 1}, r3.Vector{X: 1}}} {
		for _, angle := range stock.Angles {
			if gauge(angle, rod)+rod.Edge() > angle.Width+0.01 || gauge(angle, rod) < angle.Thick+rod.Corners()/2 {
				continue
			}
			for _, riser := range d.risers() {
				if gauge(riser, rod)+rod.Edge() > riser.Width+0.01 || len(d.levels) > 1 && !roomForTwo(riser, angle, thinnest) {
					continue
				}
				for _, pad := range d.pads() {
					list = append(list, choice{measures: measures{
						axes: run, angle: angle, upright: d.upright(), riser: riser, flat: stock.Flats[0], over: stock.Flats[0], floor: d.floorSection(), rod: rod, foam: 3, pad: pad,
					}})
				}
			}
		}
	}
	return list
}

// pads are the least thicknesses of pads at ends that are tried: with one that brings end bars beyond
// posts on the ends of boxes.
func (d *designer) pads() []float64 {
	list := []float64{7, leastEnd}
	if len(d.levels) == 1 {
		list = append(list, 2)
	}
	for _, axis := range []r3.Vector{{X: 1}, {Y: 1}} {
		if most := d.postsBeyond(axis); most > -geom.Tolerance {
			list = append(list, math.Ceil(most+d.room.gaps.Bar)+1)
		}
	}
	return slices.Compact(list)
}

// postsBeyond is how far in mm posts stand out of the ends of boxes along an axis; −Inf where no post
// is on an end.
func (d *designer) postsBeyond(axis r3.Vector) float64 {
	most := math.Inf(-1)
	for _, l := range d.levels {
		for _, b := range l.boxes {
			for _, p := range b.blocks {
				most = max(most, b.low.Sub(p[0]).Dot(axis), p[1].Sub(b.high).Dot(axis))
			}
		}
	}
	return most
}

// risers are the sections that uprights between trays are tried with: the first angle, the
// narrowest, the widest flat.
func (d *designer) risers() []rack.Section {
	angles, flats := d.settings.Stock.Angles, d.settings.Stock.Flats
	list := []rack.Section{angles[0]}
	if len(d.levels) == 1 {
		return list
	}
	if narrow := slices.MinFunc(angles, widest); narrow != angles[0] {
		list = append(list, narrow)
	}
	return append(list, slices.MaxFunc(flats, widest))
}

// floorSection is that of floor bars: the widest flat.
func (d *designer) floorSection() rack.Section {
	return slices.MaxFunc(d.settings.Stock.Flats, widest)
}

// upright is the section of uprights: the widest angle, for the bolts of mounts.
func (d *designer) upright() rack.Section {
	return slices.MaxFunc(d.settings.Stock.Angles, widest)
}

// try makes the racks of one choice, for each way of tying every level.
func (d *designer) try(ctx context.Context, c choice, judge Judge) []Result {
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
func (d *designer) addLevel(c choice, p partialRack, i int) []partialRack {
	probe := d.newTray(c, p, i)
	probe.begin([2]float64{math.NaN(), math.NaN()})
	c.wide = probe.widen(d.mounts)
	probe.measures = c.measures
	planes := append(probe.floorPlanes(d.mounts), probe.planes(d.mounts, p.trays)...)
	if len(planes) == 0 {
		if slices.ContainsFunc(d.mounts, func(m frame.Mount) bool { return math.Abs(m.Faces.Z) < 0.7 }) {
			return nil // a tray that runs the other way can be tied to it
		}
		d.note("no mount can be reached from a tray of the %slevel (%s): uprights are bolted to mounts that face left or right, or front or back; mounts that face up have to be right under the lowest level, at most 60 mm lower than its bars: lower the boxes, or add a lug that is there to the frame file", d.levels[i].name, d.facing())
		return nil
	}
	var list []partialRack
	for _, pair := range pairs(planes) {
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

func (d *designer) newTray(c choice, p partialRack, i int) *tray {
	r := *p.rack
	r.Bars, r.Fasteners, r.Pads = slices.Clone(r.Bars), slices.Clone(r.Fasteners), slices.Clone(r.Pads)
	t := &tray{measures: c.measures, room: d.room, level: d.levels[i], whole: &r, cross: map[string]bool{}}
	if i+1 < len(d.levels) {
		t.next = d.levels[i+1].boxes
	}
	return t
}

// fail notes why no tray could be made where it lacks less than what was noted so far.
func (d *designer) fail(why string, lack float64) {
	if d.failed == "" || lack < d.lack {
		d.failed, d.lack = why, lack
	}
}

func (d *designer) note(format string, args ...any) { d.why[fmt.Sprintf(format, args...)]++ }

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

// make builds the tray with its ties.
func (t *tray) make(ties []plane) bool {
	heels := [2]float64{math.NaN(), math.NaN()}
	serving := make([]int, len(ties))
	for k, p := range ties {
		serving[k] = -1
		for end := range 2 {
			if t.serves(p, end) && math.IsNaN(heels[end]) {
				serving[k], heels[end] = end, p.heel
				break
			}
		}
	}
	t.meetNext(&heels)
	t.begin(heels)
	for k, p := range ties {
		if serving[k] < 0 {
			t.extend(p)
		}
	}
	t.endBars()
	for k, p := range ties {
		t.tie(k+1, p, serving[k])
	}
	if !t.seamBars() {
		return false
	}
	t.sideMembers()
	return t.hoops()
}

// nearEnds is how far in mm the ends of one tray and of the next may be apart where the lower one is
// made longer, so that one upright goes straight past both.
const nearEnds = 50

// meetNext puts ends that are not given where those of the next level are, when these are a little
// farther out.
func (t *tray) meetNext(heels *[2]float64) {
	if len(t.next) == 0 {
		return
	}
	mine, theirs := around(t.level.boxes, t.axes.u), around(t.next, t.axes.u)
	least := t.pad + t.angle.Thick
	if d := mine.Lo - theirs.Lo; math.IsNaN(heels[0]) && d > 0 && d < nearEnds {
		heels[0] = theirs.Lo - least
	}
	if d := theirs.Hi - mine.Hi; math.IsNaN(heels[1]) && d > 0 && d < nearEnds {
		heels[1] = theirs.Hi + least
	}
}

// clashes are the parts of the tray that meet what is around them.
func (t *tray) clashes(bars, fasteners int) []conflict {
	var list []conflict
	add := func(name string, c conflict) {
		if c.short > 0.01 {
			c.part = name
			list = append(list, c)
		}
	}
	for _, b := range t.whole.Bars[bars:] {
		for _, s := range b.Solids() {
			add(b.Name, t.room.meets(s, true))
		}
	}
	for _, f := range t.whole.Fasteners[fasteners:] {
		own := t.own(f)
		for _, s := range f.Solids() {
			add(f.Name, t.room.meetsIn(s, true, !own))
		}
		if !f.Rod && own {
			add("the way in of "+f.Name, t.room.blocked(f.WayIn()))
		}
	}
	return list
}

// own tells whether a bolt joins nothing but bars of the rack: its head needs the way in.
func (t *tray) own(f rack.Fastener) bool {
	return !slices.ContainsFunc(f.Joins, func(name string) bool {
		return slices.ContainsFunc(t.room.mounts, func(m frame.Mount) bool { return m.Name == name })
	})
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
	var list []string
	if d.failed != "" {
		return []string{d.failed}
	}
	for text := range d.why {
		list = append(list, text)
	}
	slices.SortFunc(list, func(a, b string) int { return cmp.Or(cmp.Compare(d.why[b], d.why[a]), cmp.Compare(a, b)) })
	return list[:min(6, len(list))]
}
