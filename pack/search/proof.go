package search

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// The tree of choices is worked through in rounds. In each the tasks with the
// greatest bounds are explored, every one with the best spare as it stood when the
// round began and with a fixed number of nodes; then what they found and what they
// left open is gathered in order. So the result does not depend on the workers.
const (
	tasksARound  = 8
	nodesATask   = 60
	mostOpen     = 50000 // tasks; beyond it a proof is given up for want of memory
	nodesPerOpen = 1     // more nodes a task for each open one, which keeps the list short
)

// prove lowers the bound, and raises the spare, until they meet or the search ends.
func (r *run) prove() {
	if !r.provable() {
		return
	}
	open := []task{{bound: r.bound}}
	floor := r.floor()
	stuck := floor
	provers := make([]*prover, tasksARound)
	found := 3 * maxStarts
	for len(open) > 0 && r.open() && len(open) < mostOpen {
		now := open[:min(len(open), tasksARound)]
		rest := slices.Clone(open[len(now):])
		r.atOnce(len(now), func(k int) {
			if provers[k] == nil {
				provers[k] = r.newProver()
			}
			provers[k].reset(max(r.pool.spare()+provenWithin, floor), nodesATask+nodesPerOpen*len(open))
			provers[k].explore(now[k])
		})
		for k := range now {
			v := provers[k]
			r.take(v.best, &found)
			rest = append(rest, v.open...)
			stuck = max(stuck, v.stuck)
		}
		slices.SortStableFunc(rest, func(a, b task) int { return cmp.Compare(b.bound, a.bound) })
		open = rest
		r.lower(open, stuck)
		r.tell("narrowing the bound")
	}
}

// lower sets the bound to the greatest of what is open, undecided or found.
func (r *run) lower(open []task, stuck float64) {
	bound := max(stuck, r.pool.spare()+provenWithin)
	if len(open) > 0 {
		bound = max(bound, open[0].bound)
	}
	r.bound = min(r.bound, bound)
}

// take adds what a prover found to the pool, under a number of its own.
func (r *run) take(c candidate, number *int) {
	if c.spots != nil {
		c.start = *number
		*number++
		r.offer(c)
	}
}

// provable tells whether the tables of the proof can hold the problem.
func (r *run) provable() bool {
	for _, ps := range r.poses {
		if len(ps) == 0 || len(ps) > maxPoses {
			return false
		}
	}
	return true
}

func (r *run) newProver() *prover {
	v := &prover{
		relaxation: newRelaxation(r.model), ctx: r.ctx, sortBy: r.sortAxis(),
		x: make([]float64, 3*len(r.boxes)+1), enters: r.enters,
	}
	for _, ps := range r.poses {
		var all poseSet
		for p := range ps {
			all.add(p)
		}
		v.allowed = append(v.allowed, all)
	}
	v.middle, v.mirrored = r.middle, r.mirrored
	return v
}

func (v *prover) reset(cutoff float64, budget int) {
	v.best = candidate{spare: cutoff - provenWithin}
	v.cutoff = cutoff
	v.budget = budget
	v.open, v.stuck = nil, math.Inf(-1)
}

// sortAxis is the longer of the opening's x and z: boxes of a kind are ordered along it.
func (m *model) sortAxis() r3.Vector {
	if m.room[2].Length() > m.room[0].Length() {
		return r3.Vector{Z: 1}
	}
	return r3.Vector{X: 1}
}
