package rackplan

import (
	"fmt"
	"slices"
	"strings"

	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
)

// clampItems are the clamps of a parts list.
func clampItems(r *rack.Rack) []Item {
	at := map[string][]string{}
	for _, c := range r.Clamps {
		at[c.String()] = append(at[c.String()], c.Name)
	}
	var list []Item
	for what, names := range at {
		slices.Sort(names)
		list = append(list, Item{len(names), what, strings.Join(names, ", ")})
	}
	slices.SortFunc(list, func(a, b Item) int { return strings.Compare(a.What, b.What) })
	return list
}

// clamp puts a clamp on its rail.
func (w *writer) clamp(s judge.Step, c rack.Clamp) {
	w.there[c.Name] = true
	w.add(Step{
		Words: fmt.Sprintf("Mark %s at [%.0f, %.0f, %.0f], clean it there, and put %s on it with its nut %s, its two bolts so that it can still be turned by hand.", c.Rail, c.At.X, c.At.Y, c.At.Z, c.Name, towards(c.Faces)),
		Comes: []Coming{{s.Name, s.Legs}}, With: []string{c.Name},
	})
}

// closeClamps closes the clamps when all that is bolted into them is there.
func (w *writer) closeClamps() {
	into := func(f rack.Fastener) bool {
		return slices.ContainsFunc(f.Joins, func(n string) bool { _, ok := w.a.Rack.Clamp(n); return ok })
	}
	for _, f := range w.left {
		if into(f) {
			return
		}
	}
	if !w.clamped && slices.ContainsFunc(w.a.Rack.Fasteners, into) {
		w.clamped = true
		w.say("Close all clamps: both bolts of each by turns to %g N·m, and no more. Draw a line of paint over each clamp and its rail.", rack.ClampTorque)
	}
}

// clampWords say by how much clamps are closed.
func clampWords(r *rack.Rack) []string {
	if len(r.Clamps) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("Clamps: both bolts of each by turns to %g N·m, when all that is bolted to them is there, and no more: more may crush the rail. No torque for the bolts in their welded nuts: ask their maker.", rack.ClampTorque)}
}

// clampCautions are what is to be known of clamps.
func clampCautions(r *rack.Rack) []string {
	if len(r.Clamps) == 0 {
		return nil
	}
	return []string{
		fmt.Sprintf("Clamps hold by friction alone, reckoned as steel on steel (%g) and bolts of %g N·m: where their maker allows less, that counts. They are for rails of steel with a wall of %g mm or more: others may be crushed, so ask someone qualified.", rack.Friction, rack.ClampTorque, rack.ClampWall),
		"Look at the lines of paint over clamps and rails after the first rides and then with each service; a clamp that has moved is to be closed anew, and looked into why.",
	}
}
