package bench

import (
	"bytes"
	"slices"

	"rackwright/pack"
)

// step is what is undone and redone: a layout, and the frame round it.
type step struct {
	layout pack.Layout
	framed *framed // never changed, for steps share it
}

// framed is a frame file's text, and the problem that it makes with the pack.
type framed struct {
	text    []byte
	problem pack.Problem
}

func stepOf(w Work) step {
	return step{known(w.Problem, w.Layout), &framed{w.Frame, w.Problem}}
}

// known is a layout without boxes of which the pack has no kind: they cannot be drawn.
func known(p pack.Problem, l pack.Layout) pack.Layout {
	l.Placements = slices.DeleteFunc(slices.Clone(l.Placements), func(at pack.Placement) bool {
		_, is := p.Kind(at.Box)
		return !is
	})
	return l
}

func (s step) copied() step { return step{clone(s.layout), s.framed} }

func (s step) work() Work { return Work{s.framed.text, s.framed.problem, clone(s.layout)} }

func clone(l pack.Layout) pack.Layout {
	l.Placements = slices.Clone(l.Placements)
	return l
}

// remember keeps what is on the desk, to be undone.
func (d *Desk) remember() {
	d.undo, d.redo = append(d.undo, d.now.copied()), nil
}

// Undo takes the last step back, of boxes or of the frame. It tells whether there was one.
func (d *Desk) Undo() bool { return d.back(&d.undo, &d.redo, "Taken back.") }

// Redo makes a step again that was taken back. It tells whether there was one.
func (d *Desk) Redo() bool { return d.back(&d.redo, &d.undo, "Made again.") }

func (d *Desk) back(from, to *[]step, saying string) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	n := len(*from)
	if n == 0 {
		return false
	}
	*to = append(*to, d.now.copied())
	before := d.now.framed
	d.now, *from = (*from)[n-1], (*from)[:n-1]
	if d.now.framed != before {
		d.reframed()
	}
	d.saying = saying
	d.judged()
	return true
}

// Reframe puts another frame round the boxes, which stay where they are, as one step.
func (d *Desk) Reframe(text []byte, p pack.Problem, saying string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.remember()
	d.now.framed, d.saying = &framed{text, p}, saying
	d.reframed()
	d.judged()
}

// Take puts on the desk what was read again of some parts of the files, as one step and as saved.
// Where the pack is another, problem makes its problem with the frames of earlier steps. Steps
// with other boxes are forgotten.
func (d *Desk) Take(w Work, parts Parts, problem func(frame []byte) (pack.Problem, error), saying string) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	to := stepOf(w)
	if !parts.Frame && !bytes.Equal(d.now.framed.text, w.Frame) { // own corners that are not saved
		p, err := problem(d.now.framed.text)
		if err != nil {
			return err
		}
		to.framed = &framed{d.now.framed.text, p}
	}
	if !parts.Layout {
		to.layout = known(to.framed.problem, d.now.layout)
	}
	d.keepSteps(to, parts, problem)
	d.saved.framed = &framed{w.Frame, w.Problem}
	if parts.Layout {
		d.saved.layout, d.filed = clone(to.layout), true
	}
	d.now, d.saying = to, saying
	d.reframed()
	d.judged()
	return nil
}

// keepSteps keeps what can be undone before something is taken, as far as it is of the same boxes.
func (d *Desk) keepSteps(to step, parts Parts, problem func([]byte) (pack.Problem, error)) {
	d.remember()
	if !sameBoxes(d.now.layout, to.layout) || parts.Pack && !repack(d.undo, problem) {
		d.undo = nil
	}
}

// repack makes the problems of steps anew, for a pack that has changed. It tells whether that can be.
func repack(steps []step, problem func([]byte) (pack.Problem, error)) bool {
	anew := map[*framed]*framed{}
	for i, s := range steps {
		if anew[s.framed] == nil {
			p, err := problem(s.framed.text)
			if err != nil {
				return false
			}
			anew[s.framed] = &framed{s.framed.text, p}
		}
		steps[i].framed = anew[s.framed]
	}
	return true
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

// Layout is what is on the desk, and its problem with the pins as such.
func (d *Desk) Layout() (pack.Problem, pack.Layout) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.now.framed.problem.WithPins(d.now.layout.PinsOf()), clone(d.now.layout)
}

// Work is what is on the desk, and what of it is not saved.
func (d *Desk) Work() (Work, Parts) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.now.work(), d.unsaved()
}

func (d *Desk) unsaved() Parts {
	return Parts{
		Frame:  !bytes.Equal(d.now.framed.text, d.saved.framed.text),
		Layout: !d.filed || !same(d.now.layout, d.saved.layout),
	}
}

// Saved tells the desk which parts of work are in their files now.
func (d *Desk) Saved(w Work, parts Parts, saying string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if parts.Frame {
		d.saved.framed = &framed{w.Frame, w.Problem}
	}
	if parts.Layout {
		d.saved.layout, d.filed = clone(w.Layout), true
	}
	d.saying = saying
	d.revision++
}

// Say tells those who look at the desk something.
func (d *Desk) Say(words string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.saying = words
	d.revision++
}

// Ask puts a question on the desk; nil takes it away.
func (d *Desk) Ask(q *Question) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.question = q
	d.revision++
}
