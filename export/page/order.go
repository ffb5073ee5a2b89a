package page

import (
	"fmt"
	"strings"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
)

// legsOf are the moves of an order, first to last.
func legsOf(a entry.Answer, index map[pack.Part]int) []sceneLeg {
	var all []sceneLeg
	for n, step := range a.Order.Steps {
		part := step.Part()
		first := strings.Join(connections(a, &part), " ")
		for i, leg := range step.Legs {
			all = append(all, sceneLeg{
				Box: index[part], First: i == 0, Move: pointOf(leg), Off: append([]string{}, step.Off...),
				Words: bothOf(func(u geom.Unit) string {
					words := fmt.Sprintf("%d of %d. %s: %s. %s", n+1, len(a.Order.Steps), part, step.Words(u), first)
					return strings.TrimSpace(words)
				}),
			})
		}
	}
	return all
}

// connections are the sentences on posts that have to be connected before a box goes in,
// or, with none, before something goes back on.
func connections(a entry.Answer, box *pack.Part) []string {
	var all []string
	for _, r := range a.Reach {
		switch {
		case r.When != entry.Before:
		case box == nil && len(r.Boxes) == 0, box != nil && len(r.Boxes) > 0 && r.Boxes[0] == *box:
			words := r.Words()
			all = append(all, strings.ToUpper(words[:1])+words[1:]+".")
		}
	}
	return all
}
