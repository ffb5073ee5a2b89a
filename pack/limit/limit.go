package limit

import (
	"cmp"
	"math"
	"slices"

	"rackwright/pack"
)

// Link is a relation that the spare hangs on.
type Link struct {
	pack.Relation
	// Weight is by how much the spare grows for each millimetre that this relation
	// alone is given. The weights of all links add up to 1.
	Weight float64
}

// Effect is what a measured thing does to the spare.
type Effect struct {
	Measured
	More float64 // change of the spare for one millimetre more
	Less float64 // change of the spare for one millimetre less
}

// Decides is the spare that the thing's accuracy is worth, in millimetres: what is lost
// when it is off the wrong way.
func (e Effect) Decides() float64 { return e.Accuracy * max(-e.More, -e.Less, 0) }

// Analysis is what limits a layout.
type Analysis struct {
	Spare   float64     // of the best with the layout's own choice of sheets
	Layout  pack.Layout // the boxes at that best
	Links   []Link      // heaviest first
	Chain   Chain
	Effects []Effect   // of everything measured or chosen that has one, greatest first
	Inert   []Measured // what has none, as the layout is
}

// Of says what limits a layout of a problem. Boxes keep their orientations and, as far
// as the spare allows, their neighbours; they are moved to where the spare is greatest.
// The error wraps ErrLayout for a layout that cannot be measured, or is ErrFree.
func Of(problem pack.Problem, layout pack.Layout) (Analysis, error) {
	o, err := climb(problem, layout)
	if err != nil {
		return Analysis{}, err
	}
	o.findTight()
	a := Analysis{Spare: o.spare, Layout: layout, Links: o.links()}
	a.Effects, a.Inert = o.effects(o.sided)
	if o.fault != nil {
		return Analysis{}, o.fault
	}
	a.Layout.Placements = slices.Clone(o.best)
	a.Chain = o.chain()
	return a, nil
}

// Best moves the boxes of a layout to where the spare is greatest, with their
// orientations and, as far as it can be had in small steps, their neighbours kept. Errors
// are those of Of.
func Best(problem pack.Problem, layout pack.Layout) (pack.Layout, float64, error) {
	o, err := climb(problem, layout)
	if err != nil {
		return pack.Layout{}, 0, err
	}
	layout.Placements = slices.Clone(o.best)
	return layout, o.spare, nil
}

// Fitting is Best for those who ask only whether it fits there.
func Fitting(problem pack.Problem, layout pack.Layout) (pack.Layout, bool) {
	layout, spare, err := Best(problem, layout)
	return layout, err == nil && spare >= 0
}

// links are the rows with a weight.
func (o *optimum) links() []Link {
	var list []Link
	for k, r := range o.rows {
		if o.y[k] > leastWeight {
			list = append(list, Link{o.relation(r), o.y[k]})
		}
	}
	slices.SortStableFunc(list, func(a, b Link) int { return cmp.Compare(b.Weight, a.Weight) })
	return list
}

// relation is a row as it stands at the optimum, where a row with a weight leaves
// exactly the spare. The shortest distance is not told.
func (o *optimum) relation(r row) pack.Relation {
	gap := o.spare + r.need.Required
	return pack.Relation{
		A: r.a.part, B: r.partB(o.scene), Rule: r.need.Rule, Required: r.need.Required,
		Gap: gap, Distance: math.NaN(), Left: o.spare, Normal: r.u,
	}
}

// effects are those of all measured things that have one, and the others. sided gives the change
// of the spare from those of the rows, for more of a thing and for less.
func (o *optimum) effects(sided func(rate []float64) (more, less float64, ok bool)) (list []Effect, inert []Measured) {
	rate := make([]float64, len(o.rows))
	for _, m := range o.measured() {
		counts := false
		for _, k := range o.tight {
			rate[k] = m.rate(o.rows[k])
			counts = counts || rate[k] != 0
		}
		more, less, ok := 0.0, 0.0, true
		if counts {
			more, less, ok = sided(rate)
		}
		if !ok || settled(more) == 0 && settled(less) == 0 {
			inert = append(inert, m)
			continue
		}
		list = append(list, Effect{m, settled(more), settled(less)})
	}
	slices.SortStableFunc(list, func(a, b Effect) int { return cmp.Compare(b.size(), a.size()) })
	return list, inert
}

// settled takes the rounding of the solver out of zeros.
func settled(v float64) float64 {
	if math.Abs(v) < leastWeight {
		return 0
	}
	return v
}

func (e Effect) size() float64 { return max(math.Abs(e.More), math.Abs(e.Less)) }

// Again are at most n measurements worth taking again: those whose accuracy decides
// the most, first.
func (a Analysis) Again(n int) []Effect {
	var list []Effect
	for _, e := range a.Effects {
		if e.Decides() > 0 {
			list = append(list, e)
		}
	}
	slices.SortStableFunc(list, func(a, b Effect) int { return cmp.Compare(b.Decides(), a.Decides()) })
	return list[:min(n, len(list))]
}
