package rackplan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"rackwright/pack/rack"
)

// Part is bars that are cut and drilled alike.
type Part struct {
	Letter string // by which drawings and lists call it
	Bar    rack.Bar
	Holes  []rack.Hole
	Names  []string
}

// Parts gathers the bars that are alike, the longest first.
func Parts(r *rack.Rack) []Part {
	var list []Part
	at := map[string]int{}
	for _, b := range r.Bars {
		holes := r.Holes(b)
		key := pattern(b, holes)
		i, ok := at[key]
		if !ok {
			i = len(list)
			at[key] = i
			list = append(list, Part{Bar: b, Holes: holes})
		}
		list[i].Names = append(list[i].Names, b.Name)
	}
	slices.SortStableFunc(list, func(a, b Part) int {
		return cmp.Or(cmp.Compare(a.Bar.Section.String(), b.Bar.Section.String()), cmp.Compare(b.Bar.Length(), a.Bar.Length()))
	})
	for i := range list {
		list[i].Letter = letter(i)
	}
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
func pattern(b rack.Bar, holes []rack.Hole) string {
	text := func(ends, legs, sides bool) string {
		var words []string
		for _, h := range holes {
			at, across, leg := h.At, h.Across, h.Leg
			if ends {
				at = b.Length() - at
			}
			if sides {
				across = b.Section.Width - across
			}
			if legs {
				leg = map[rack.Leg]rack.Leg{rack.LegA: rack.LegB, rack.LegB: rack.LegA}[leg]
			}
			words = append(words, fmt.Sprintf("%s %.1f %.1f %.1f", leg, at, across, h.Diameter))
		}
		slices.Sort(words)
		return strings.Join(words, ";")
	}
	all := []string{text(false, false, false), text(true, false, false), text(false, false, true), text(true, false, true)}
	if b.Section.Form == rack.Angle {
		// Of a bar whose legs are the other way round, A is B.
		swap := leftHanded(b)
		all = []string{text(false, swap, false), text(true, !swap, false)}
	}
	return b.Section.String() + fmt.Sprintf(" %.1f ", b.Length()) + slices.Min(all)
}

// leftHanded tells whether A × B points against the bar's direction: then leg A of it is leg B
// of one that points along it.
func leftHanded(b rack.Bar) bool { return b.A.Cross(b.B).Dot(b.Along()) < 0 }
