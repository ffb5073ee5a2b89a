package search

import (
	"rackwright/pack/search/lattice"
	"rackwright/pack/search/model"
)

// exactly decides a puzzle of whole sizes: it offers a layout, or lowers the bound below 0 and
// says so.
func (r *run) exactly() (cannotFit bool) {
	t, ok := asLattice(r.m)
	if !ok {
		return false
	}
	switch verdict, places := t.decide(r.m); verdict {
	case lattice.Fits:
		spots, spare := raise(r.m, places, new(model.Effort))
		r.offer(candidate{spots: spots, spare: spare, start: firstOfProof - 1})
	case lattice.CannotFit:
		r.bound = min(r.bound, t.bound(r.m))
		r.reason = "the boxes do not go together in any way, which trying all places in steps of their common measure has shown"
		return true
	}
	return false
}
