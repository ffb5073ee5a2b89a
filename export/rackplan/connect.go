package rackplan

import (
	"fmt"
	"slices"
	"strings"

	"rackwright/export/answer"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/rack"
)

// connectFirst says which posts have to be connected before a box goes in: those that it hides
// as the first in the order of building.
func (w *writer) connectFirst(box string) string {
	var now, before []string
	for _, r := range w.a.Reach {
		if r.When != entry.Before || len(r.Boxes) == 0 || w.firstOf(r.Boxes) != box {
			continue
		}
		if own := (pack.Part{Box: r.Post.Box, Number: r.Post.Number}).String(); w.there[own] {
			now = append(now, r.Post.String())
		} else {
			before = append(before, r.Post.String())
		}
	}
	text := ""
	if len(now) > 0 {
		w.early = true
		text = fmt.Sprintf("First, fuse out, connect %s, boots back on: they are out of reach then. ", strings.Join(now, ", "))
	}
	if len(before) > 0 {
		w.early = true
		text += fmt.Sprintf("Out of reach from now on: %s. Put their leads on before their boxes go in. ", strings.Join(before, ", "))
	}
	return text
}

// firstOf is the box of some that goes in first.
func (w *writer) firstOf(boxes []pack.Part) string {
	for _, s := range w.a.Report.Order {
		if s.Box && slices.ContainsFunc(boxes, func(p pack.Part) bool { return p.String() == s.Name }) {
			return s.Name
		}
	}
	return ""
}

// finish says what comes after the boxes are held: the connections, in their order, and what
// came off the frame.
func (w *writer) finish() {
	for _, x := range w.a.Removals {
		w.say("Fit what goes instead of %s, made by someone qualified: no welding on the vehicle with batteries in it or anything connected. Until it is in, the vehicle stays held up.", x.Rail)
	}
	w.say("Look at all of it: pull at every box, no nut without thread showing, no bar nearer to a post than its boot allows.")
	for _, r := range w.a.Reach {
		if words := r.Words(); words != "" && r.When == entry.Before && len(r.Boxes) == 0 {
			w.say("%s.", strings.ToUpper(words[:1])+words[1:])
		}
	}
	if w.a.Wiring != nil && w.early {
		w.say("Of the connections that follow leave out those that were made on the way.")
	}
	if w.a.Wiring != nil {
		for _, text := range answer.JoiningSteps(*w.a.Wiring) {
			w.say("%s", strings.ToUpper(text[:1])+text[1:])
		}
	}
	if w.offNow = nil; len(w.off) > 0 {
		w.say("Put back %s.", strings.Join(w.off, " and "))
	}
	w.say("After the first ride, and every few hundred kilometres (practice): look at nuts, foam and boots again.")
}

// lettersOf are those by which drawings call bars.
func lettersOf(r *rack.Rack) map[string]string {
	letters := map[string]string{}
	for _, p := range Parts(r) {
		for _, n := range p.Names {
			letters[n] = p.Letter
		}
	}
	return letters
}
