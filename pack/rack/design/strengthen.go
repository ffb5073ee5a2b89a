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
func (d *designer) strengthen(ctx context.Context, c choice, weak Result, judge Judge) Result {
	best, bought := weak, ""
	for range mostStronger {
		if ctx.Err() != nil || !weak.onlyWeak() {
			break
		}
		next, r, section, ok := d.firstStronger(ctx, c, weak.Verdict.Weak[0], judge)
		if !ok {
			break
		}
		c, weak = next, r
		if bought = cmp.Or(bought, section); bought == "" {
			best.consider(weak)
		} else if weak.Verdict.Violations == 0 {
			d.doing = bought
		}
	}
	return best
}

// firstStronger is the first way of making a weak part stronger that breaks no other rule: a section
// of the stock, two hold-downs instead of one, then a section that shops have, which is named.
func (d *designer) firstStronger(ctx context.Context, c choice, part string, judge Judge) (choice, Result, string, bool) {
	try := func(next choice, ok bool) (Result, bool) {
		if !ok {
			return Result{}, false
		}
		list := d.try(ctx, next, judge)
		return first(list), len(list) > 0 && (list[0].Verdict.Violations == 0 || list[0].onlyWeak())
	}
	next, _, ok := d.stronger(c, part, d.settings.Stock)
	if r, ok := try(next, ok); ok {
		return next, r, "", true
	}
	next = c
	next.twice = true
	if r, ok := try(next, !c.twice && (strings.Contains(part, "rod ") || strings.Contains(part, "hold-down"))); ok {
		return next, r, "", true
	}
	next, section, ok := d.stronger(c, part, shop())
	r, ok := try(next, ok)
	return next, r, section, ok
}

func first(list []Result) Result {
	if len(list) == 0 {
		return Result{}
	}
	return list[0]
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
func (d *designer) stronger(c choice, part string, stock rack.Stock) (choice, string, bool) {
	var to *rack.Section
	from := stock.Angles
	switch {
	case strings.Contains(part, "rod ") || strings.HasPrefix(part, "bolt "):
		return thicker(c, stock.Rods)
	case strings.Contains(part, "seam bar"):
		to, from = &c.flat, stock.Flats
	case strings.Contains(part, "floor bar"):
		to, from = &c.floor, stock.Flats
	case strings.Contains(part, "hold-down"):
		to, from = &c.over, slices.Concat(stock.Flats, stock.Angles)
	case strings.Contains(part, "upright") && c.weakRiser(part):
		to, from = &c.riser, slices.Concat(stock.Flats, stock.Angles)
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

// weakRiser tells whether an upright is one between trays: those of upper trays on other sections.
func (c choice) weakRiser(part string) bool {
	return c.riser != c.upright && !strings.HasPrefix(part, "lower ") && !strings.HasPrefix(part, "upright")
}

// roomFor tells whether the legs of a section have room for the holes of rods.
func (c choice) roomFor(s rack.Section) bool {
	return s.Form == rack.Flat || gauge(s, c.rod)+c.rod.Edge() <= s.Width+0.01
}

// thicker is a choice with the next rod.
func thicker(c choice, rods []string) (choice, string, bool) {
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
	return c, best.Size + " rod", c.roomFor(c.angle) && c.roomFor(c.riser) && c.roomFor(c.over)
}

// strength in bending is the least section modulus in mm³: of an angle about an axis along a leg.
func strength(s rack.Section) float64 {
	if s.Form == rack.Flat {
		return s.Width * s.Thick * s.Thick / 6
	}
	c, _ := s.Centroid()
	return s.LegMoment() / math.Max(s.Width-c, c)
}

// widest of two sections.
func widest(a, b rack.Section) int { return cmp.Compare(a.Width, b.Width) }
