package design

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"

	"rackwright/pack/rack"
)

// mostStronger is how many times a weak part gets a stronger section.
const mostStronger = 8

// strengthen gives the parts of a sound rack that give too early stronger sections of the stock, one
// after another, and returns the best rack that it comes to. Where the stock has none it tries
// what shops have, to name what would do.
func (d *designer) strengthen(ctx context.Context, c measures, weak Result, judge Judge) Result {
	best := weak
	for range mostStronger {
		if ctx.Err() != nil || !weak.onlyWeak() {
			return best
		}
		var r Result
		if c, r = d.bestStronger(ctx, c, weak, d.settings.Stock, judge); r.Rack == nil {
			break
		}
		weak = r
		best.consider(weak)
	}
	d.wouldDo(ctx, c, weak, judge)
	return best
}

// wouldDo finds the section that shops have with which the rack would hold.
func (d *designer) wouldDo(ctx context.Context, c measures, weak Result, judge Judge) {
	name := ""
	for range mostStronger / 2 {
		if ctx.Err() != nil || !weak.onlyWeak() {
			return
		}
		next, section, ok := d.stronger(c, weak.Verdict.Weak[0], shop())
		list := d.attempt(ctx, next, ok, judge)
		if len(list) == 0 || !list[0].onlyWeak() && list[0].Verdict.Violations > 0 {
			return
		}
		if c, weak, name = next, list[0], cmp.Or(name, section); weak.Verdict.Violations == 0 {
			d.doing = name
		}
	}
}

func (d *designer) attempt(ctx context.Context, c measures, ok bool, judge Judge) []Result {
	if !ok {
		return nil
	}
	return d.try(ctx, c, judge)
}

// bestStronger is the best of the ways of making a weak part stronger that break no other rule and
// hold more: another section, for rods such of class 8.8, which have the same size, and stiffer hold-downs or two of
// them instead of one.
func (d *designer) bestStronger(ctx context.Context, c measures, weak Result, stock rack.Stock, judge Judge) (measures, Result) {
	part := weak.Verdict.Weak[0]
	best, from := Result{}, c
	ask := func(next measures, ok bool) {
		for _, r := range d.attempt(ctx, next, ok, judge) {
			if r.Verdict.Violations > 0 && (!r.onlyWeak() || r.Verdict.Off > 0.95*weak.Verdict.Off) {
				continue
			}
			was := best.Rack
			if best.consider(r); best.Rack != was {
				c = next
			}
		}
	}
	if next := from; strings.Contains(part, "rod ") && !from.strong {
		next.strong = true
		if ask(next, true); best.Rack != nil && best.Verdict.Violations == 0 {
			return c, best
		}
	}
	next, _, ok := d.stronger(from, part, stock)
	ask(next, ok)
	if !strings.Contains(part, "rod ") && !strings.Contains(part, "hold-down") || best.Rack != nil && best.Verdict.Violations == 0 {
		return c, best
	}
	if next, _, ok = d.stronger(from, "hold-down", stock); strings.Contains(part, "rod ") {
		ask(next, ok)
	}
	next, ok = from, !from.twice
	next.twice = true
	ask(next, ok)
	return c, best
}

// shop is what a rack may be made of that holds more than one of the default stock: sizes of EN
// 10056-1 and of flats that are commonly sold.
func shop() rack.Stock {
	return rack.Stock{
		Angles: []rack.Section{{Form: rack.Angle, Width: 25, Thick: 4}, {Form: rack.Angle, Width: 30, Thick: 4}, {Form: rack.Angle, Width: 35, Thick: 4}, {Form: rack.Angle, Width: 40, Thick: 4}, {Form: rack.Angle, Width: 40, Thick: 5}},
		Flats:  []rack.Section{{Form: rack.Flat, Width: 30, Thick: 5}, {Form: rack.Flat, Width: 40, Thick: 5}, {Form: rack.Flat, Width: 40, Thick: 6}},
		Rods:   []string{"M8", "M10"},
	}
}

// stronger is a choice with the section of a weak part replaced by the next stronger one, and that
// section's name.
func (d *designer) stronger(c measures, part string, stock rack.Stock) (measures, string, bool) {
	var to *rack.Section
	from := stock.Angles
	switch {
	case strings.Contains(part, "rod ") || strings.HasPrefix(part, "bolt "):
		return d.thicker(c, stock.Rods)
	case strings.Contains(part, "seam bar"):
		to, from = &c.flat, stock.Flats
	case strings.Contains(part, "floor bar"):
		to, from = &c.floor, stock.Flats
	case strings.Contains(part, "hold-down"):
		to, from = &c.over, slices.Concat(stock.Flats, stock.Angles)
	case strings.Contains(part, "upright") && c.weakRiser(part):
		to, from = &c.riser, slices.Concat(stock.Flats, stock.Angles, plates(stock))
	case strings.Contains(part, "upright"):
		to = &c.upright
	default:
		to = &c.angle
	}
	var best rack.Section
	for _, s := range from {
		if strength(s) > 1.05*strength(*to) && (best.Width == 0 || strength(s) < strength(best)) {
			best = s
		}
	}
	if best.Width == 0 || !c.roomFor(best) {
		return c, "", false
	}
	*to = best
	return c, best.String(), true
}

// plates are those that uprights between trays may be cut as.
func plates(stock rack.Stock) []rack.Section {
	var list []rack.Section
	for _, thick := range stock.Plates {
		for _, wide := range []float64{40, 60, 80} {
			list = append(list, rack.Section{Form: rack.Plate, Width: wide, Thick: thick})
		}
	}
	return list
}

// weakRiser tells whether an upright is one between trays: those of upper trays on other sections.
func (c measures) weakRiser(part string) bool {
	return c.riser != c.upright && !strings.HasPrefix(part, "lower ") && !strings.HasPrefix(part, "upright")
}

// roomFor tells whether the legs of a section have room for the holes of rods.
func (c measures) roomFor(s rack.Section) bool {
	return s.Form != rack.Angle || gauge(s, c.rod)+c.rod.Edge() <= s.Width+0.01
}

// thicker is a choice with the next rod, and with angle that has room for it.
func (d *designer) thicker(c measures, rods []string) (measures, string, bool) {
	var best rack.Thread
	for _, size := range rods {
		if t, err := rack.ThreadOf(size); err == nil && t.D > c.rod.D && (best.D == 0 || t.D < best.D) {
			best = t
		}
	}
	if best.D == 0 {
		return c, "", false
	}
	c.rod = best
	for _, to := range []*rack.Section{&c.angle, &c.riser, &c.over} {
		if from := slices.Concat(d.settings.Stock.Angles, d.settings.Stock.Flats); !c.roomFor(*to) {
			i := slices.IndexFunc(from, func(s rack.Section) bool { return s.Form == to.Form && c.roomFor(s) })
			if i < 0 {
				return c, "", false
			}
			*to = from[i]
		}
	}
	return c, best.Size + " rod", true
}

// strength in bending is the least section modulus in mm³: of an angle about an axis along a leg.
func strength(s rack.Section) float64 {
	if s.Form != rack.Angle {
		return s.Width * s.Thick * s.Thick / 6
	}
	c, _ := s.Centroid()
	return s.LegMoment() / math.Max(s.Width-c, c)
}

// widest of two sections.
func widest(a, b rack.Section) int { return cmp.Compare(a.Width, b.Width) }
