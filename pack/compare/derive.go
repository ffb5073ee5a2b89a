package compare

import (
	"context"
	"fmt"
	"math"
	"slices"

	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/outcome"
)

// Derive adds to rows what other rows of the same battery tell: what goes in with more of it goes in
// with fewer, and where fewer do not go in, more do not either. Each row is searched by itself, so that
// it can be anywhere; this is for all of them together. It changes no row of the list that it is given.
// It fails only where ctx ends or a layout cannot be looked at.
func Derive(ctx context.Context, job Job, rows []Row) ([]Row, error) {
	rows = slices.Clone(rows)
	for from := 0; from < len(rows); {
		to := from
		for to < len(rows) && rows[to].Battery.Name == rows[from].Battery.Name {
			to++
		}
		if err := job.fewer(ctx, rows[from:to]); err != nil {
			return nil, err
		}
		more(rows[from:to])
		from = to
	}
	return rows, nil
}

// fewer goes through the rows of a battery, their counts rising, from the most down, and takes the layout
// of more with boxes left out where that is better than what was found.
func (job Job) fewer(ctx context.Context, rows []Row) error {
	var best *Row
	for i := len(rows) - 1; i >= 0; i-- {
		r := &rows[i]
		if best != nil && best.better(r.Outcome) {
			o, ok, err := job.without(ctx, r.Entry, *best)
			if err != nil {
				return err
			}
			if ok && o.better(r.Outcome) {
				o.Bound = r.Bound
				o.Best = o.Bound-o.Spare <= outcome.Closed
				r.Outcome = o
			}
		}
		if r.Verdict.GoesIn() {
			best = r
		}
	}
	return nil
}

// better tells whether an outcome is surer than another, or as sure with more to spare by as much as
// anyone would see.
func (o Outcome) better(than Outcome) bool {
	if a, b := o.Verdict.sureness(), than.Verdict.sureness(); a != b {
		return a > b
	}
	return o.Verdict.GoesIn() && o.Spare > than.Spare+outcome.Closed
}

func (v Verdict) sureness() int {
	switch v {
	case Sure:
		return 2
	case Tight:
		return 1
	}
	return 0
}

// without is what a layout of more of a battery comes to for an entry: with boxes left out, one after
// another that whose lack leaves the most to spare. ok tells whether it is an answer, which is asked
// anew.
func (job Job) without(ctx context.Context, e Entry, of Row) (o Outcome, ok bool, err error) {
	p, err := job.Fixed.Problem(job.Frame, e)
	if err != nil {
		return Outcome{}, false, err
	}
	name := p.Pack.Kinds[0].Name
	layout := of.Layout
	for left := of.Count; left > e.Count; left-- {
		if layout, err = job.leaveOut(e, layout, name, left-1); err != nil {
			return Outcome{}, false, err
		}
	}
	layout.PackHash = p.Pack.Hash
	judged := outcome.Judge(p, layout)
	if len(judged.Report.Faults) > 0 || !judged.Holds() {
		return Outcome{}, false, nil
	}
	o = Outcome{Verdict: Tight, Spare: judged.Report.Spare, Layout: layout}
	if judged.Sure() {
		o.Verdict = Sure
	}
	if job.Settings.AnyEntry {
		return o, true, nil
	}
	way, err := entry.Plan(ctx, p, layout, job.Settings.Tool)
	if err != nil || !way.Holds() {
		return Outcome{}, false, ctx.Err()
	}
	if o.Verdict == Sure {
		atWorst, err := entry.Plan(ctx, p.AtWorst(), layout, job.Settings.Tool)
		if err != nil || !atWorst.GoesIn {
			o.Verdict = Tight
		}
	}
	o.Order = way.Order
	return o, true, ctx.Err()
}

// leaveOut leaves out the battery whose lack leaves the most to spare; so many are left.
func (job Job) leaveOut(e Entry, l pack.Layout, name string, left int) (pack.Layout, error) {
	e.Count = left
	p, err := job.Fixed.Problem(job.Frame, e)
	if err != nil {
		return pack.Layout{}, err
	}
	var best pack.Layout
	most := math.Inf(-1)
	for i, at := range l.Placements {
		if at.Box != name {
			continue
		}
		fewer := l
		fewer.Placements = renumbered(slices.Delete(slices.Clone(l.Placements), i, i+1), name)
		if spare := pack.Check(p, fewer).Spare; spare > most {
			best, most = fewer, spare
		}
	}
	return best, nil
}

// renumbered numbers the boxes of a kind from 1.
func renumbered(all []pack.Placement, name string) []pack.Placement {
	n := 0
	for i := range all {
		if all[i].Box == name {
			n++
			all[i].Number = n
		}
	}
	return all
}

// more goes through the rows of a battery, their counts rising: where fewer do not go in, more do not.
func more(rows []Row) {
	reason := ""
	for i := range rows {
		r := &rows[i]
		switch {
		case reason != "" && r.Verdict == NotKnown:
			r.Outcome = Outcome{Verdict: No, Spare: math.Inf(-1), Bound: r.Bound, Reason: reason}
		case reason == "" && r.Verdict == ProvenNo:
			reason = fmt.Sprintf("not even %d go in, which is proven", r.Count)
		case reason == "" && r.Verdict == No:
			reason = fmt.Sprintf("not even %d go in", r.Count)
		}
	}
}
