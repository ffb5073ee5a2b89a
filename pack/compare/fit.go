package compare

import (
	"bytes"
	"context"
	"errors"
	"math"
	"time"

	"rackwright/pack"
	"rackwright/pack/certificate"
	"rackwright/pack/entry"
	"rackwright/pack/search"
	"rackwright/pack/search/model"
	"rackwright/pack/whatif"
)

// Verdict tells whether an entry goes in.
type Verdict int

const (
	NotKnown Verdict = iota // nothing found, and not shown that there is nothing
	Sure                    // it goes in with everything at its worst
	Tight                   // it goes in as measured
	No                      // the search has shown that nothing fits, but that could not be written out to be checked
	ProvenNo                // nothing fits, and the written proof was checked
)

var verdictWords = [...]string{"not known", "sure", "tight", "no", "proven no"}

// String gives the word that tables, CSV and JSON have.
func (v Verdict) String() string { return verdictWords[v] }

// ParseVerdict is the verdict of a word, and whether there is one.
func ParseVerdict(word string) (Verdict, bool) {
	for i, w := range verdictWords {
		if w == word {
			return Verdict(i), true
		}
	}
	return 0, false
}

// GoesIn tells whether a layout is known.
func (v Verdict) GoesIn() bool { return v == Sure || v == Tight }

// Settings steer what is done for each entry.
type Settings struct {
	Work     time.Duration // of one core, for each, counted: about so long
	Seed     uint64
	AnyEntry bool // layouts that cannot be put in or connected are answers too
	Tool     entry.Settings
}

// Outcome is what came of an entry.
type Outcome struct {
	Verdict Verdict
	// Spare in mm is that of Layout, or less than 0 what the nearest layout is short; −Inf where there
	// is none.
	Spare  float64
	Bound  float64 // no layout has a greater spare; +Inf when not known
	Best   bool    // the spare is proven to be the greatest
	Layout pack.Layout
	Order  entry.Order
	Reason string // why it does not go in, in the builder's words; may be empty
	Proof  []byte // the written proof, as a proof file has it; nil with none
}

// Reasons of what is not known, where no layout is told of.
const (
	NoWayIn  = "fits, but no way in was found"
	TooLarge = "more than can be searched"
)

// tooLarge is the outcome of a problem that cannot be searched: one with too many boxes, posts and parts
// of the frame together.
func tooLarge(err error) (Outcome, bool) {
	if !errors.Is(err, search.ErrTooLarge) && !errors.Is(err, pack.ErrProblem) {
		return Outcome{}, false
	}
	return Outcome{Spare: math.Inf(-1), Bound: math.Inf(1), Reason: TooLarge}, true
}

// Shares of Work that go beyond the search: its worst case, and a written proof.
const (
	sureShare  = 4       // a quarter for the worst case
	proofSteps = 200_000 // nodes of a proof tree gone through in a second
)

// Fit finds out what comes of a problem. It depends on problem and settings alone, unless ctx ends:
// then it returns ctx's error.
func Fit(ctx context.Context, problem pack.Problem, s Settings) (Outcome, error) {
	result, err := search.Fit(ctx, problem, s.search(1))
	if err == nil && result.Verdict.Fits() {
		err = whatif.AskSure(ctx, problem, &result, whatif.Settings{Search: s.search(sureShare)})
	}
	if err != nil {
		return Outcome{}, err
	}
	return s.outcome(ctx, problem, result)
}

// Look is Fit for what can be seen without a search; done tells that it was enough.
func Look(ctx context.Context, problem pack.Problem, s Settings) (o Outcome, done bool, err error) {
	result, err := search.Look(ctx, problem)
	if err != nil || result.Verdict != pack.ProvenNoFit {
		return Outcome{}, false, errors.Join(err, ctx.Err())
	}
	o, err = s.outcome(ctx, problem, result)
	return o, true, err
}

// search are the settings of a search with a part of the work, on one core.
func (s Settings) search(part int) search.Settings {
	return search.Settings{
		Layouts: 1, Seed: s.Seed, Workers: 1, AnyEntry: s.AnyEntry, Tool: s.Tool,
		Work: model.Effort(s.Work) / model.Effort(part), Decides: true,
	}
}

// outcome says what a result comes to. What is proven is written out and checked, or it does not
// count as that.
func (s Settings) outcome(ctx context.Context, problem pack.Problem, r search.Result) (Outcome, error) {
	o := Outcome{Spare: r.Spare, Bound: r.Bound, Best: r.Proven && r.Verdict.Fits(), Reason: r.Reason}
	switch {
	case r.Verdict == pack.ProvenNoFit:
		o.Spare = math.Inf(-1)
		if err := o.prove(ctx, problem, s); err != nil {
			return Outcome{}, err
		}
	case r.Verdict.Fits():
		o.take(r)
	case len(r.Layouts) > 0 && r.Spare >= 0:
		o.Spare, o.Reason = math.Inf(-1), NoWayIn
	}
	return o, ctx.Err()
}

// take takes the layout that is the answer: that which is sure, if there is one.
func (o *Outcome) take(r search.Result) {
	answer := r.Layouts[0]
	o.Verdict = Tight
	if r.Sure != nil && r.Sure.Holds() {
		o.Verdict, answer = Sure, r.Sure.Moved
	}
	o.Best = o.Best && answer.Report.Spare >= r.Spare
	o.Spare, o.Layout, o.Order = answer.Report.Spare, answer.Layout, answer.Entry.Order
}

// prove writes the proof that nothing fits, and has it checked as a file would be.
func (o *Outcome) prove(ctx context.Context, problem pack.Problem, s Settings) error {
	o.Verdict = No
	steps := &counted{Context: ctx, left: int(s.Work.Seconds() * proofSteps)}
	proof, err := search.Certify(steps, problem, o.Bound)
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case errors.Is(err, search.ErrUncertified):
		return nil
	case err != nil:
		return err
	}
	var text bytes.Buffer
	if certificate.Write(&text, proof) != nil {
		return nil // it is too large to be checked
	}
	again, err := certificate.Read(bytes.NewReader(text.Bytes()), "proof")
	if err != nil || certificate.Verify(problem, again) != nil {
		return nil
	}
	o.Verdict, o.Proof = ProvenNo, text.Bytes()
	return nil
}

// counted is a context that ends when it has been asked so often whether it has. One goroutine may
// ask.
type counted struct {
	context.Context
	left int
}

// Err counts.
func (c *counted) Err() error {
	if err := c.Context.Err(); err != nil {
		return err
	}
	if c.left--; c.left < 0 {
		return context.DeadlineExceeded
	}
	return nil
}
