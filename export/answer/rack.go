package answer

import (
	"fmt"
	"strings"
)

// rackRoom says what room a rack has beside the boxes.
func (p printer) rackRoom(in Input) []string {
	k := in.Rack
	if k == nil {
		return nil
	}
	room := fmt.Sprintf("%s at either side for rods and side members, %s at walls for end bars, %s under boxes for trays, %s from one level to the next, and the bolts of mounts", p.spare(k.Beside), p.spare(k.Ends), p.spare(k.Under), p.spare(k.Over))
	if k.Built {
		return []string{"Room for a rack is kept: " + room + ". A rack goes in for the layout that says so: rackwright rack FRAME PACK LAYOUT makes it. What is to spare is beside that of the frame itself."}
	}
	if k.Lack == 0 {
		return append([]string{"Room for a rack is kept: " + room + ". What is to spare is beside that of the frame itself; no rack that breaks no rule was found in the time for a layout; the rack command says of each what is in its way, and more --time or another --levels or --seed may find one."}, p.rackNearest(k)...)
	}
	lines := []string{fmt.Sprintf("No layout was found that keeps the room which a rack takes: %s. The nearest lacks %s of it.", room, p.short(k.Lack))}
	if k.Proven {
		lines = append(lines, "That none keeps it is proven; a rack that takes less room may still be had: check FRAME PACK LAYOUT --rack FILE judges one of your own.")
	}
	return append(lines, p.rackNearest(k)...)
}

// rackNearest says what is in the way of the rack or rows that come nearest, and what to do.
func (p printer) rackNearest(k *RackRoom) []string {
	const help = "fewer boxes (count in the pack file) or smaller ones, another --levels, more mounts, or more width (opening.across)"
	switch {
	case len(k.Wants) > 0:
		var wants []string
		for _, w := range k.Wants {
			wants = append(wants, fmt.Sprintf("%s at %s (%s)", p.short(w.Short), w.At, w.Key))
		}
		return []string{
			fmt.Sprintf("Racks are made for boxes in rows on levels. The nearest such, %s, want more room: %s.", k.Rows, strings.Join(wants, ", ")),
			"What to do: make that room on the vehicle and change the file there; or " + help + ".",
		}
	case len(k.Why) > 0:
		return []string{"Of boxes in rows on levels, the rack that comes nearest: " + strings.Join(k.Why, "; ") + ".", "What would help else: " + help + "."}
	}
	return []string{"What would help: " + help + "."}
}
