package bench

import (
	"fmt"
	"slices"

	"rackwright/pack"
)

// Change is a way of turning a box.
type Change string

// The ways of turning a box: to the next of those that the pack allows.
const (
	Turn  Change = "turn"  // the same face up, another forward
	Stand Change = "stand" // another face up
	Tilt  Change = "tilt"  // the same faces, another tilt
)

// Reorient turns a box to its next orientation of a kind of change.
func (d *Desk) Reorient(box string, number int, how Change) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	p, err := d.free(box, number)
	if err != nil {
		return err
	}
	kind, _ := d.now.framed.problem.Kind(box)
	next, ok := nextOf(kind.Orientations(), p.Orientation, how)
	if !ok {
		return fmt.Errorf("%v: the pack allows no other %s of it", p.Part(), how)
	}
	d.remember()
	p.Orientation = next
	d.saying = fmt.Sprintf("%v: %s up, %s forward.", p.Part(), p.Up, p.Front)
	if p.Tilt != 0 {
		d.saying = fmt.Sprintf("%v: %s up, %s forward, tilted by %.4g degrees.", p.Part(), p.Up, p.Front, p.Tilt.Degrees())
	}
	d.judged()
	return nil
}

// nextOf is the next orientation after one, round and round.
func nextOf(all []pack.Orientation, now pack.Orientation, how Change) (pack.Orientation, bool) {
	at := slices.Index(all, now)
	for i := range all {
		o := all[(at+1+i)%len(all)]
		switch how {
		case Turn:
			if o.Up == now.Up && o.Front != now.Front && o.Tilt == now.Tilt {
				return o, true
			}
		case Stand:
			if o.Up != now.Up && o.Tilt == now.Tilt {
				return o, true
			}
		case Tilt:
			if o.Up == now.Up && o.Front == now.Front && o.Tilt != now.Tilt {
				return o, true
			}
		}
	}
	return now, false
}
