package rackplan

import "rackwright/pack/rack"

// twins notes which parts are mirror images of each other: on the bench they look alike.
func twins(list []Part) {
	keys := map[string]int{}
	for i, p := range list {
		keys[pattern(p.Bar, p.Holes, p.spots)] = i
	}
	for i, p := range list {
		holes, welded := p.mirror()
		if k, ok := keys[pattern(p.Bar, holes, welded)]; ok && k != i {
			list[i].Twin = list[k].Letter
		}
	}
}

// mirror are the part's holes and welds as they are in its mirror image: from the other end, on the
// same legs.
func (p Part) mirror() (holes []rack.Hole, welded []spot) {
	for _, h := range p.Holes {
		h.At = p.Bar.Length() - h.At
		holes = append(holes, h)
	}
	for _, s := range p.spots {
		s.at = p.Bar.Length() - s.at
		welded = append(welded, s)
	}
	return holes, welded
}

// mirrored says of which part it is the mirror image.
func (p Part) mirrored() string {
	if p.Twin == "" {
		return ""
	}
	return " – mirror image of " + p.Twin + ", not alike: letter it before you drill"
}
