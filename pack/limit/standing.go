package limit

import (
	"rackwright/pack"
)

// Standing says what limits a layout exactly as its boxes stand, no box moved: the effects are
// those of measured things on the least that any relation leaves now. There are no links and no
// chain, for nothing is in balance; the relations that leave the least are the judge's to name.
// Errors are those of Of.
func Standing(problem pack.Problem, layout pack.Layout) (Analysis, error) {
	s, err := newScene(problem, layout)
	if err != nil {
		return Analysis{}, err
	}
	rows := s.allRows()
	if len(rows) == 0 {
		return Analysis{}, ErrFree
	}
	o := &optimum{scene: s, spare: least(rows), best: s.places}
	o.rows = near(rows, o.spare+tiedWithin)
	for k := range o.rows {
		o.tight = append(o.tight, k)
	}
	a := Analysis{Spare: o.spare, Layout: layout}
	a.Effects, a.Inert = o.effects(o.held)
	return a, s.fault
}

// held are the one-sided rates of the least that is left with all boxes held in their places.
func (o *optimum) held(rate []float64) (more, less float64, ok bool) {
	more, less = rate[o.tight[0]], -rate[o.tight[0]]
	for _, k := range o.tight {
		more, less = min(more, rate[k]), min(less, -rate[k])
	}
	return more, less, true
}
