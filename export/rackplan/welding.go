package rackplan

import (
	"fmt"
	"slices"
	"strings"

	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
)

// weldAll says how the trays of a welded rack are made on the bench.
func (w *writer) weldAll() {
	for _, s := range w.a.Report.Order {
		if len(s.Bars) == 0 {
			continue
		}
		var bars []string
		for _, name := range s.Bars {
			bars = append(bars, w.called(name))
		}
		w.say("On the bench, with no battery and no electronics near: grind paint and rust off where the %s is welded, clamp its bars flat, %s; measure both diagonals until they are equal, tack every joint, measure again, weld from joint to joint across so that it stays flat: %s.", s.Name, strings.Join(bars, ", "), strings.Join(w.weldsOf(s.Bars), "; "))
		w.say("Let the %s cool, knock off slag, look at every weld for holes and cracks, check that it is flat, paint it.", s.Name)
	}
}

// weldsOf says the welds among some bars, those that are alike together.
func (w *writer) weldsOf(bars []string) []string {
	var alike []string
	pairs := map[string][]string{}
	for _, x := range w.a.Rack.Welds {
		if !slices.Contains(bars, x.Joins[0]) {
			continue
		}
		how := Fillets(x)
		if pairs[how] == nil {
			alike = append(alike, how)
		}
		pairs[how] = append(pairs[how], w.called(x.Joins[0])+" to "+w.letters[x.Joins[1]])
	}
	var all []string
	for _, how := range alike {
		all = append(all, fmt.Sprintf("%s, at each of %s", how, strings.Join(pairs[how], ", ")))
	}
	return all
}

// Fillets says how two bars are welded: the throat of the fillets, and their lengths.
func Fillets(w rack.Weld) string {
	var words []string
	for _, r := range w.Runs {
		words = append(words, fmt.Sprintf("%.0f mm", r.Length()))
	}
	slices.Sort(words)
	return fmt.Sprintf("fillet a%.1f (throat; leg %.0f mm): %s", w.Throat, w.Leg(), strings.Join(counted(words), " + "))
}

// welded puts in its place what was welded together.
func (w *writer) welded(s judge.Step) {
	var comes []Coming
	w.supports(s.Name)
	for _, name := range s.Bars {
		w.there[name] = true
		comes = append(comes, Coming{name, s.Legs})
	}
	bolts, with := w.bolts()
	w.add(Step{Words: fmt.Sprintf("Put the welded %s in its place%s.", s.Name, moves(s.Legs)) + bolts, Comes: comes, With: append(with, s.Bars...)})
}

// weldItems are the welds as lines of the parts list.
func weldItems(r *rack.Rack) []Item {
	length, runs := map[float64]float64{}, map[float64]int{}
	for _, w := range r.Welds {
		for _, run := range w.Runs {
			length[w.Throat] += run.Length()
			runs[w.Throat]++
		}
	}
	var list []Item
	for throat, l := range length {
		list = append(list, Item{runs[throat], fmt.Sprintf("fillet welds a%.1f, %.2f m in all", throat, l/1000), "filler for S235 steel, as its packet says"})
	}
	slices.SortFunc(list, func(a, b Item) int { return strings.Compare(a.What, b.What) })
	return list
}

// weldingCautions are those of welding a rack's trays.
func weldingCautions() []string {
	return []string{
		"Weld trays on the bench, never on the vehicle, with batteries, foam and fuel elsewhere: before any welding near the vehicle disconnect every battery and the electronics; the current strays into them, and a spark lights gas.",
		"Welds that carry load are for someone qualified. They are reckoned by EN 1993-1-8 4.5.3.3, which is written for metal from 4 mm on; thinner metal burns through sooner: weld a piece of waste first and break it.",
		"Grind zinc and paint off before welding: their fumes are poisonous. Mask, gloves, an extinguisher at hand; the metal stays hot for long.",
	}
}
