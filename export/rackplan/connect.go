package rackplan

import (
	"strings"

	"rackwright/export/answer"
	"rackwright/pack"
	"rackwright/pack/rack"
)

// connectBefore says which posts have to be connected before a step of the judge's order: what
// comes then takes the room of the tool.
func (w *writer) connectBefore(step int) {
	var posts, first []string
	for _, r := range w.a.Report.Reach {
		own := (pack.Part{Box: r.Post.Box, Number: r.Post.Number}).String()
		switch {
		case r.Before != step:
		case own == w.a.Report.Order[step].Name:
			first = append(first, r.Post.String())
		default:
			posts = append(posts, r.Post.String())
		}
	}
	if len(first) > 0 {
		w.early = true
		w.say("Join the cable to %s before its box goes in, and cover the cable's free end.", strings.Join(first, ", "))
	}
	if len(posts) > 0 {
		w.early = true
		w.say("Fuse and main switch out: connect %s, then boots back on. No tool reaches %s any more when %s is in its place.", strings.Join(posts, ", "), map[bool]string{true: "it", false: "them"}[len(posts) == 1], w.a.Report.Order[step].Name)
	}
}

// finish says what comes after the boxes are held: the connections, in their order, and what
// came off the frame.
func (w *writer) finish() {
	for _, x := range w.a.Removals {
		w.say("Fit what goes instead of %s, made by someone qualified: no welding on the vehicle with batteries in it or anything connected. Until it is in, the vehicle stays held up.", x.Rail)
	}
	w.say("Look at all of it: pull at every box, no nut without thread showing, no bar nearer to a post than its boot allows.")
	for _, r := range w.a.Report.Reach {
		if r.Before == len(w.a.Report.Order) && len(r.Things) > 0 {
			w.say("Connect %v while %s is off.", r.Post, strings.Join(r.Things, " and "))
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
