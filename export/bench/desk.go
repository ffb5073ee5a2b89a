package bench

import (
	"errors"
	"fmt"
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

// Desk holds a layout in a frame that are worked on. All its methods may be called from several
// goroutines.
type Desk struct {
	mu         sync.Mutex
	now        step
	judge      *pack.Judge // of the frame as it is now
	report     pack.Report
	undo, redo []step
	saved      step
	filed      bool // the layout is in a file
	revision   int
	scene      int // counts frames and packs
	moves      int
	saying     string // what was last done, for who cannot see it
	question   *Question
}

// NewDesk puts work on a desk as saved; filed tells whether its layout is in a file.
func NewDesk(w Work, filed bool) *Desk {
	d := &Desk{filed: filed}
	d.now = stepOf(w)
	d.saved = d.now.copied()
	d.reframed()
	d.judged()
	return d
}

// reframed makes the judge of another frame or pack.
func (d *Desk) reframed() {
	d.judge = pack.NewJudge(d.now.framed.problem)
	d.scene++
}

// judged asks the judge, and counts the change.
func (d *Desk) judged() {
	d.report = d.judge.Check(d.now.layout)
	d.revision++
}

// ErrNoBox is wrapped by errors about boxes that are not on the desk.
var ErrNoBox = errors.New("there is no such box on the bench")

// ErrPinned is wrapped by errors about boxes that are pinned.
var ErrPinned = errors.New("the box is pinned: take its pin out first")

// find is the place of a box in the layout.
func (d *Desk) find(box string, number int) (*pack.Placement, error) {
	for i := range d.now.layout.Placements {
		if p := &d.now.layout.Placements[i]; p.Box == box && p.Number == number {
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
			d.remember()
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

// Pin puts a pin into a box, or takes it out.
func (d *Desk) Pin(box string, number int) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	p, err := d.find(box, number)
	if err != nil {
		return err
	}
	d.remember()
	p.Pinned = !p.Pinned
	d.saying = fmt.Sprintf("%v is pinned.", p.Part())
	if !p.Pinned {
		d.saying = fmt.Sprintf("%v is free.", p.Part())
	}
	d.judged()
	return nil
}

// Scene is the number of the frame and pack on the desk: another one when they change.
func (d *Desk) Scene() int {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.scene
}

// Replace puts another layout on the desk, as one step, where its scene is still on it.
func (d *Desk) Replace(l pack.Layout, scene int, saying string) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	if scene != d.scene {
		return false
	}
	d.remember()
	pinned := map[pack.Part]bool{}
	for _, p := range d.now.layout.Placements {
		pinned[p.Part()] = p.Pinned
	}
	l = clone(l)
	for i := range l.Placements {
		l.Placements[i].Pinned = pinned[l.Placements[i].Part()]
	}
	l.FrameHash, l.PackHash = d.now.layout.FrameHash, d.now.layout.PackHash
	d.now.layout, d.saying = l, saying
	d.judged()
	return true
}
