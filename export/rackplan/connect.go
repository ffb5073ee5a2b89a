package rackplan

import (
	"fmt"
	"slices"
	"strings"

	"rackwright/export/answer"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/wire"
)

// connectBefore says which posts have to be connected before a step of the judge's order: what
// comes then takes the room of the tool.
func (w *writer) connectBefore(step int) {
	var posts, first []string
	for _, r := range w.a.Report.Reach {
		own := (pack.Part{Box: r.Post.Box, Number: r.Post.Number}).String()
		switch {
		case r.Before != step || w.idle(r.Post):
		case own == w.a.Report.Order[step].Name:
			first = append(first, w.withCables(r.Post))
		default:
			posts = append(posts, w.withCables(r.Post))
		}
		if r.Before == step {
			w.early[r.Post] = true
		}
	}
	if len(first) > 0 {
		w.say("Join the cable to %s before its box goes in, and cover the cable's free end.", strings.Join(first, ", "))
	}
	if len(posts) > 0 {
		w.say("Fuse and main switch out: connect %s, one post after another, boots back on, and cover every cable's free end. No tool reaches %s any more when %s is in its place.", strings.Join(posts, ", "), map[bool]string{true: "it", false: "them"}[len(posts) == 1], w.a.Report.Order[step].Name)
	}
	w.lastLink(len(first)+len(posts) > 0)
}

// idle tells whether it is known that no cable goes to a post: it keeps its boot.
func (w *writer) idle(post pack.Part) bool {
	return w.a.Wiring != nil && slices.ContainsFunc(w.a.Wiring.Boots, func(b wire.Boot) bool { return b.Post == post && b.Unused })
}

// withCables is a post with the jumpers that go to it, as the connections number them.
func (w *writer) withCables(post pack.Part) string {
	var cables []string
	if w.a.Wiring != nil {
		for i, j := range w.a.Wiring.Jumpers {
			if j.From == post || j.To == post {
				cables = append(cables, fmt.Sprintf("jumper %d", i+1))
			}
		}
	}
	if len(cables) == 0 {
		return post.String()
	}
	return post.String() + " (" + strings.Join(cables, ", ") + ")"
}

// lastLink says so where a link that is to be left open until the last has both its ends connected on
// the way.
func (w *writer) lastLink(now bool) {
	if w.a.Wiring == nil || !now {
		return
	}
	for _, n := range w.a.Wiring.Breaks {
		if j := w.a.Wiring.Jumpers[n]; w.early[j.From] && w.early[j.To] && !w.closed[n] {
			w.closed[n] = true
			w.say("Careful: jumper %d is the last link, which halves the voltage until the end, and neither %v nor %v is reached any more then: from here on the whole voltage is there. Better turn a box, or put that link elsewhere, and make the rack again.", n+1, j.From, j.To)
		}
	}
}

// made names the jumpers that were joined at both ends on the way.
func (w *writer) made() string {
	var list []string
	for i, j := range w.a.Wiring.Jumpers {
		if w.early[j.From] && w.early[j.To] {
			list = append(list, fmt.Sprint(i+1))
		}
	}
	if len(list) == 0 {
		return ""
	}
	return ": jumpers " + strings.Join(list, ", ")
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
	if w.a.Wiring == nil {
		w.say("Connect the batteries in the order that rackwright wire FRAME PACK LAYOUT gives, fuse and main switch out.")
	}
	if w.a.Wiring != nil && len(w.early) > 0 {
		w.say("Of the connections that follow leave out those that were made on the way%s.", w.made())
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
