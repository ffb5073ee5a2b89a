package answer

import "fmt"

// rackRoom says what room a rack has beside the boxes.
func (p printer) rackRoom(in Input) []string {
	k := in.Rack
	if k == nil {
		return nil
	}
	room := fmt.Sprintf("%s at either side for rods and side members, %s at walls for end bars, %s under boxes for trays, and the bolts of mounts", p.spare(k.Beside), p.spare(k.Ends), p.spare(k.Under))
	if k.Lack == 0 {
		return []string{"Room for a rack is kept: " + room + ". What is to spare is beside that of the frame itself; the rack command tells whether a rack goes in."}
	}
	lines := []string{fmt.Sprintf("No layout was found that keeps the room which a rack takes: %s. The nearest lacks %s of it.", room, p.short(k.Lack))}
	if k.Proven {
		lines = append(lines, "That none keeps it is proven; a rack that takes less room may still be had: check FRAME PACK LAYOUT --rack FILE judges one of your own.")
	}
	return append(lines, "What would help: one box fewer or smaller ones, another --levels, mounts that are farther out, or more width.")
}
