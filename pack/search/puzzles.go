package search

import (
	"rackwright/pack/search/improve"
	"rackwright/pack/search/model"
	"rackwright/pack/search/puzzle"
)

// exactly decides a puzzle of whole sizes: it offers a layout, or lowers the bound below 0 and
// says so. It is asked once, after the first starts, where nothing fits yet: a puzzle that goes in
// at once needs no deciding.
func (r *run) exactly() (cannotFit bool) {
	if r.m.Restricted() {
		return false // pieces of a puzzle know no pins or ranges
	}
	t, ok := puzzle.Of(r.m)
	if !ok {
		return false
	}
	switch verdict, places := t.Decide(r.m); verdict {
	case puzzle.Fits:
		spots, spare := improve.Raise(r.m, places, new(model.Effort))
		r.offer(candidate{spots: spots, spare: spare, start: firstOfProof - 1})
	case puzzle.CannotFit:
		r.lower(t.Bound(r.m), true)
		r.reason = "the boxes do not go together in any way, which trying all places in steps of their common measure has shown"
		return true
	}
	return false
}
