package judge

import (
	"github.com/golang/geo/r3"

	"rackwright/pack/rack"
)

// leastArea in mm² is how large a pad has to be: a hose along 20 mm of a rod.
const leastArea = 40

// directions are the six that a box is held in.
var directions = []struct {
	word string
	to   r3.Vector
}{
	{"forward", r3.Vector{X: 1}},
	{"backward", r3.Vector{X: -1}},
	{"to the left", r3.Vector{Y: 1}},
	{"to the right", r3.Vector{Y: -1}},
	{"up", r3.Vector{Z: 1}},
	{"down", r3.Vector{Z: -1}},
}

// held is rule 3: in each direction a pad between the box and a part of the rack, or a box
// that is itself held in it.
func (j *scene) held() {
	good := map[int]bool{}
	for i, p := range j.rack.Pads {
		if good[i] = j.lies(p); !good[i] {
			j.say(Held, 0, "", []string{p.Part().String(), p.To}, "the %s does not fill the room between %v and %s: its thickness and place are off", p.Name(), p.Part(), p.To)
		}
	}
	all := map[string]int{}
	for _, d := range directions {
		for _, name := range j.boxesHeld(d.to, good) {
			all[name]++
		}
		held := map[string]bool{}
		for _, name := range j.boxesHeld(d.to, good) {
			held[name] = true
		}
		for _, b := range j.boxes {
			if !held[b.name] {
				j.say(Held, 0, "", []string{b.name}, "nothing keeps %s from moving %s: put a bar, a rod or a pad there", b.name, d.word)
			}
		}
	}
	for name, n := range all {
		j.heldAll[name] = n == len(directions)
	}
}

// boxesHeld are those that cannot move in a direction: by a part of the rack, or by one that
// cannot.
func (j *scene) boxesHeld(to r3.Vector, good map[int]bool) []string {
	held := map[string]bool{}
	for changed := true; changed; {
		changed = false
		for i, p := range j.rack.Pads {
			name := p.Part().String()
			if !good[i] || p.Face != to || held[name] || area(p) < leastArea {
				continue
			}
			if j.part(p.To) != nil || held[p.To] {
				held[name], changed = true, true
			}
		}
	}
	var list []string
	for _, b := range j.boxes {
		if held[b.name] {
			list = append(list, b.name)
		}
	}
	return list
}

func area(p rack.Pad) float64 {
	r := rect(p)
	return r.X * r.Y
}
