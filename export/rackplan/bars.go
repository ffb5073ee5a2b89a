package rackplan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"rackwright/pack/rack"
)

// Part is bars that are cut and drilled alike.
type Part struct {
	Letter string // by which drawings and lists call it
	Bar    rack.Bar
	Holes  []rack.Hole
	Names  []string
	Ways   map[string]string // by name, which way round it lies in the vehicle
	Twin   string            // letter of the part that is its mirror image; empty where none is
	spots  []spot            // where others are welded to it
}

// Parts gathers the bars that are alike, the longest first.
func Parts(r *rack.Rack) []Part {
	var list []Part
	at := map[string]int{}
	for _, b := range r.Bars {
		holes := r.Holes(b)
		welded := spots(r, b)
		key := pattern(b, holes, welded)
		i, ok := at[key]
		if !ok {
			i = len(list)
			at[key] = i
			list = append(list, Part{Bar: b, Holes: holes, spots: welded})
		}
		list[i].Names = append(list[i].Names, b.Name)
	}
	slices.SortStableFunc(list, func(a, b Part) int {
		return cmp.Or(cmp.Compare(a.Bar.Section.String(), b.Bar.Section.String()), cmp.Compare(b.Bar.Length(), a.Bar.Length()))
	})
	for i := range list {
		list[i].Letter = letter(i)
		list[i].Ways = list[i].facings(r)
	}
	lettersOfSpots(list, r)
	twins(list)
	return list
}

// letter counts A, B, … Z, AA, AB.
func letter(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letter(i/26-1) + letter(i%26)
}

// pattern is the same for bars that are alike, whichever way round they lie: an angle turned
// end for end about the line between its legs changes its legs too, a flat turned over its
// sides or its faces.
func pattern(b rack.Bar, holes []rack.Hole, welded []spot) string {
	text := func(w way) string {
		var words []string
		for _, h := range holes {
			h = w.seen(h, b)
			words = append(words, fmt.Sprintf("%s %.1f %.1f %.1f", h.Leg, h.At, h.Across, h.Diameter))
		}
		for _, s := range welded {
			words = append(words, w.spot(s, b).key())
		}
		slices.Sort(words)
		return strings.Join(words, ";")
	}
	var all []string
	// Of a bar whose legs are the other way round, A is B.
	for _, w := range ways(b, rack.Bar{Section: b.Section, To: r3.Vector{X: 1}, A: r3.Vector{Y: 1}, B: r3.Vector{Z: 1}}) {
		all = append(all, text(w))
	}
	return b.Section.String() + fmt.Sprintf(" %.1f ", b.Length()) + slices.Min(all)
}

// leftHanded tells whether A × B points against the bar's direction: then leg A of it is leg B
// of one that points along it.
func leftHanded(b rack.Bar) bool { return b.A.Cross(b.B).Dot(b.Along()) < 0 }
