package bench

import (
	"errors"
	"fmt"
	"slices"
	"sync"

	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// Move is a box put somewhere by hand.
type Move struct {
	Box    string     `json:"box"`
	Number int        `json:"number"`
	Centre [3]float64 `json:"centre"` // mm
	// Snap asks for the required gap to be met exactly where the box is within SnapReach of it,
	// along the axes that it is moved along (0, 1, 2: x, y, z).
	Snap []int `json:"snap,omitempty"`
	// Begins tells that a new drag begins: it is one step of what can be undone.
	Begins bool `json:"begins,omitempty"`
}

// Desk holds a layout that is worked on. All its methods may be called from several goroutines.
type Desk struct {
	mu         sync.Mutex
	problem    pack.Problem
	judge      *pack.Judge
	layout     pack.Layout
	report     pack.Report
	undo, redo []pack.Layout
	saved      pack.Layout
	revision   int
	moves      int
	saying     string // what was last done, for who cannot see it
}

// NewDesk puts a layout of a problem on a desk, as saved.
func NewDesk(problem pack.Problem, layout pack.Layout) *Desk {
	d := &Desk{}
	d.load(problem, layout)
	return d
}

func (d *Desk) load(problem pack.Problem, layout pack.Layout) {
	d.problem, d.judge = problem, pack.NewJudge(problem)
	d.layout, d.saved = clone(layout), clone(layout)
	d.judged()
}

func clone(l pack.Layout) pack.Layout {
	l.Placements = slices.Clone(l.Placements)
	return l
}

// judged asks the judge, and counts the change.
func (d *Desk) judged() {
	d.report = d.judge.Check(d.layout)
	d.revision++
}

// Load takes up files that were changed elsewhere. What was on the desk can be had back by Undo,
// as far as the new pack has the same boxes. Where the layout places no box, its file was not
// changed, and what is on the desk stays.
func (d *Desk) Load(problem pack.Problem, layout pack.Layout) {
	if layout.Placements == nil {
		d.Reframe(problem, "The files were changed elsewhere, and are read again.")
		return
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	before := d.layout
	d.load(problem, layout)
	if !sameBoxes(before, layout) {
		d.undo, d.redo = nil, nil
	} else {
		d.undo, d.redo = append(d.undo, before), nil
	}
	d.saying = "The files were changed elsewhere, and are read again."
}

func sameBoxes(a, b pack.Layout) bool {
	names := func(l pack.Layout) (list []string) {
		for _, p := range l.Placements {
			list = append(list, p.Part().String())
		}
		slices.Sort(list)
		return list
	}
	return slices.Equal(names(a), names(b))
}

// ErrNoBox is wrapped by errors about boxes that are not on the desk.
var ErrNoBox = errors.New("there is no such box on the bench")

// ErrPinned is wrapped by errors about boxes that are pinned.
var ErrPinned = errors.New("the box is pinned: take its pin out first")

// find is the place of a box in the layout.
func (d *Desk) find(box string, number int) (*pack.Placement, error) {
	for i := range d.layout.Placements {
		if p := &d.layout.Placements[i]; p.Box == box && p.Number == number {
			return p, nil
		}
	}
	return nil, fmt.Errorf("%w: %s %d", ErrNoBox, box, number)
}

// free is find for boxes that may be moved.
func (d *Desk) free(box string, number int) (*pack.Placement, error) {
	p, err := d.find(box, number)
	if err == nil && p.Pinned {
		err = fmt.Errorf("%v: %w", p.Part(), ErrPinned)
	}
	return p, err
}

// step remembers the layout as it is, to be undone.
func (d *Desk) step() {
	d.undo, d.redo = append(d.undo, clone(d.layout)), nil
}

// Moves carries out moves in the order in which they were made by hand, and judges where the
// last one ends.
func (d *Desk) Moves(moves []Move) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	for _, m := range moves {
		p, err := d.free(m.Box, m.Number)
		if err != nil {
			return err
		}
		to := r3.Vector{X: m.Centre[0], Y: m.Centre[1], Z: m.Centre[2]}
		if !within(to) {
			return fmt.Errorf("%v: its middle has to be within %d mm of the origin along each axis", p.Part(), pack.MaxCentre)
		}
		if m.Begins || len(d.undo) == 0 {
			d.step()
		}
		p.Centre = to
		d.moves++
	}
	if len(moves) == 0 {
		return nil
	}
	last := moves[len(moves)-1]
	d.snap(last)
	p, _ := d.find(last.Box, last.Number)
	d.saying = fmt.Sprintf("%v is moved.", p.Part())
	d.judged()
	return nil
}

func within(v r3.Vector) bool {
	for _, c := range []float64{v.X, v.Y, v.Z} {
		if !(c >= -pack.MaxCentre && c <= pack.MaxCentre) { // NaN too
			return false
		}
	}
	return true
}

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
	kind, _ := d.problem.Kind(box)
	next, ok := nextOf(kind.Orientations(), p.Orientation, how)
	if !ok {
		return fmt.Errorf("%v: the pack allows no other %s of it", p.Part(), how)
	}
	d.step()
	p.Orientation = next
	d.saying = fmt.Sprintf("%v: %s up, %s forward, tilted by %.4g degrees.", p.Part(), p.Up, p.Front, p.Tilt.Degrees())
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

// Pin puts a pin into a box, or takes it out.
func (d *Desk) Pin(box string, number int) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	p, err := d.find(box, number)
	if err != nil {
		return err
	}
	d.step()
	p.Pinned = !p.Pinned
	d.saying = fmt.Sprintf("%v is pinned.", p.Part())
	if !p.Pinned {
		d.saying = fmt.Sprintf("%v is free.", p.Part())
	}
	d.judged()
	return nil
}

// Replace puts another layout of the same boxes on the desk, as one step.
func (d *Desk) Replace(l pack.Layout, saying string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.step()
	pinned := map[pack.Part]bool{}
	for _, p := range d.layout.Placements {
		pinned[p.Part()] = p.Pinned
	}
	l = clone(l)
	for i := range l.Placements {
		l.Placements[i].Pinned = pinned[l.Placements[i].Part()]
	}
	l.FrameHash, l.PackHash = d.layout.FrameHash, d.layout.PackHash
	d.layout, d.saying = l, saying
	d.judged()
}

// Undo takes the last step back; Redo makes it again. Both tell whether there was one.
func (d *Desk) Undo() bool { return d.back(&d.undo, &d.redo, "Taken back.") }

// Redo makes a step again that was taken back.
func (d *Desk) Redo() bool { return d.back(&d.redo, &d.undo, "Made again.") }

func (d *Desk) back(from, to *[]pack.Layout, saying string) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	n := len(*from)
	if n == 0 {
		return false
	}
	*to = append(*to, clone(d.layout))
	d.layout, *from = (*from)[n-1], (*from)[:n-1]
	d.saying = saying
	d.judged()
	return true
}

// Layout is what is on the desk, and its problem with the pins as such.
func (d *Desk) Layout() (pack.Problem, pack.Layout) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.problem.WithPins(d.layout.PinsOf()), clone(d.layout)
}

// Saved tells the desk that a layout is in its file now.
func (d *Desk) Saved(l pack.Layout) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.saved, d.saying = clone(l), "Saved."
	d.revision++
}
