package search

import (
	"rackwright/geom"
	"rackwright/pack/search/model"
	"rackwright/pack/search/proof"
)

// firstOfProof is the number of the first candidate of a proof, beyond those of starts.
const firstOfProof = 1 << 40

// proving is how far a proof has come. Its rounds lower the run's bound and raise its
// spare until they meet.
//
// There are two: one narrows the bound, the other only asks whether anything fits, and ends when
// that is known. They share the bodies inside round solids.
type proving struct {
	run    *run
	tree   *proof.Tree
	inside *proof.Inside
	number int      // of the next candidate
	fell   progress // when the bound last fell
	// decides is set for a proof that asks only whether anything fits: it goes depth first
	// with a cutoff just below 0, which refutes far sooner than the spare of the nearest
	// layout would.
	decides bool
}

// progress is where the bound was when it last fell by a fair part of its distance from
// the best spare, and how much work it had taken by then. A bound that creeps is no better than one
// that stands.
type progress struct {
	bound float64
	work  model.Effort
}

// standstill tells whether a proof that has done so much work has done as much since its bound fell
// as before.
func (f progress) standstill(work model.Effort) bool { return work > 2*f.work+standingWork }

// note notes where the bound is, how much the best has to spare, and how much work was done.
// Distance counts, not lengths: near the end steps are small everywhere.
func (f *progress) note(bound, best float64, work model.Effort) {
	if bound-best < (1-fairFall)*(f.bound-best) {
		*f = progress{bound, work}
	}
}

// newProvings makes the proof of the bound, and that which asks whether anything fits. Where a
// bound below 0 is known already there is nothing to decide.
func (r *run) newProvings() (bound, decision *proving) {
	in := proof.NewInside(r.m)
	decision = r.newProving(in, true)
	if r.bound < 0 {
		decision.tree.End()
	}
	return r.newProving(in, false), decision
}

// newProving hands the tree what it needs of the run, as functions.
func (r *run) newProving(in *proof.Inside, decides bool) *proving {
	a := proof.Settings{
		DepthFirst: decides, Memory: r.settings.Memory, AnyEntry: r.settings.AnyEntry, Tool: r.settings.Tool,
		Ctx: r.ctx, Enters: r.enters, Failed: r.failed, AtOnce: r.atOnce,
	}
	return &proving{
		run: r, tree: proof.New(r.m, in, r.bound, a), inside: in, number: firstOfProof,
		fell: progress{bound: r.bound}, decides: decides,
	}
}

// cutoff is the spare that layouts have to exceed. It never falls (see proof.Tree.Round): neither
// pool loses its best, and the floor is fixed.
func (p *proving) cutoff() float64 {
	if p.decides {
		return max(-Closed, p.inside.Floor)
	}
	if p.run.pool.spare() < 0 && p.run.any.spare() >= 0 {
		return max(-proof.ProvenWithin, p.inside.Floor) // what has nothing to spare is an answer too
	}
	return max(p.run.toBeat()+proof.ProvenWithin, p.inside.Floor)
}

// over tells whether no round has anything left to do, or the tasks take far more
// memory than they may. That which asks whether anything fits is over as soon as something does.
// Memory is only ever reached by problems that would not end for hours.
func (p *proving) over() bool {
	return p.tree.Left() == 0 || p.tree.Bytes > 2*p.run.settings.Memory || p.decides && (p.tree.Stuck >= 0 || p.run.any.spare() >= -Closed)
}

// keepUp makes rounds until they have taken so much work, or are over. A round does at least
// PerRound, so that its tasks are worth handing out.
func (p *proving) keepUp(with model.Effort) {
	for p.tree.Work < with && !p.over() && p.run.open() {
		p.round(max(proof.PerRound, with-p.tree.Work))
	}
}

// round makes a round, with so much work. Layouts of a round get numbers in the order in which the
// tree returns them.
func (p *proving) round(work model.Effort) {
	for _, f := range p.tree.Round(p.cutoff(), work) {
		p.run.offer(candidate{spots: f.Spots, spare: f.Spare, start: p.number})
		p.number++
	}
	p.run.asked = p.run.asked || p.tree.Barred || p.tree.AsksTools()
	p.lower()
	p.run.tell("narrowing the bound")
}

// lower sets the bound to the greatest of what is not explored, undecided or found.
//
// The proof that decides speaks only once it is through: what it then could not decide, or the
// cutoff, bounds everything. Until then its open tasks say nothing that the other does not say
// better.
func (p *proving) lower() {
	if p.decides {
		if p.tree.Left() == 0 && p.tree.Stuck < 0 && p.run.any.spare() < -Closed {
			p.run.lower(max(p.tree.Stuck, p.cutoff()), true)
		}
		return
	}
	best := p.run.toBeat()
	bound := max(p.tree.Bound(), p.cutoff())
	p.run.lower(model.OrNothing(bound, geom.Tolerance), !p.tree.AsksEntry())
	p.fell.note(p.run.bound, best, p.tree.Work)
}
