package compare

import (
	"context"
	"errors"
	"sync"

	"rackwright/frame"
	"rackwright/pack"
)

// Job is what is to be compared: entries, the frame, and what goes in beside them.
type Job struct {
	Frame    *frame.Frame
	Fixed    Fixed
	Entries  []Entry
	Settings Settings
}

// Stage tells how far a run is.
type Stage struct {
	Looking bool // at bounds that need no search
	Done    int  // entries of this stage
	Of      int
}

// Run fits the entries on so many cores, the cheapest proofs first: all are looked at for bounds that
// need no search, then the others are searched. done is called with each outcome, and told with
// each stage; neither is ever called twice at once. An error of done ends the run. Where ctx ends,
// Run returns its error, and done has been called for what was finished alone.
func Run(ctx context.Context, job Job, workers int, done func(Entry, Outcome) error, told func(Stage)) error {
	left, err := job.pass(ctx, job.Entries, workers, job.look, done, func(n int) { told(Stage{true, n, len(job.Entries)}) })
	if err != nil {
		return err
	}
	_, err = job.pass(ctx, left, workers, job.fit, done, func(n int) { told(Stage{false, n, len(left)}) })
	return err
}

func (job Job) look(ctx context.Context, e Entry) (o Outcome, done bool, err error) {
	return job.with(e, func(p pack.Problem) (Outcome, bool, error) { return Look(ctx, p, job.Settings) })
}

func (job Job) fit(ctx context.Context, e Entry) (o Outcome, done bool, err error) {
	return job.with(e, func(p pack.Problem) (Outcome, bool, error) {
		o, err := Fit(ctx, p, job.Settings)
		return o, true, err
	})
}

// with does something with the problem of an entry. One that is too large is no error: the others are
// compared all the same.
func (job Job) with(e Entry, do func(pack.Problem) (Outcome, bool, error)) (o Outcome, done bool, err error) {
	p, err := job.Fixed.Problem(job.Frame, e)
	if err == nil {
		o, done, err = do(p)
	}
	if large, ok := tooLarge(err); ok {
		return large, true, nil
	}
	return o, done, err
}

// pass does something to each entry, and returns those for which it was not enough, in their order.
func (job Job) pass(ctx context.Context, entries []Entry, workers int, do func(context.Context, Entry) (Outcome, bool, error), done func(Entry, Outcome) error, told func(int)) ([]Entry, error) {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	next := make(chan int)
	enough := make([]bool, len(entries))
	var lock sync.Mutex
	finished := 0
	take := func(i int, o Outcome, ok bool, err error) {
		lock.Lock()
		defer lock.Unlock()
		if err == nil && ok && ctx.Err() == nil {
			enough[i] = true
			err = done(entries[i], o)
		}
		if err != nil {
			stop(err)
			return
		}
		finished++
		told(finished)
	}
	var wg sync.WaitGroup
	for range min(workers, len(entries)) {
		wg.Go(func() {
			for i := range next {
				o, ok, err := do(ctx, entries[i])
				take(i, o, ok, err)
			}
		})
	}
	for i := range entries {
		select {
		case next <- i:
		case <-ctx.Done():
		}
	}
	close(next)
	wg.Wait()
	var left []Entry
	for i, e := range entries {
		if !enough[i] {
			left = append(left, e)
		}
	}
	return left, ended(ctx)
}

// ended is why a context ended, if it has.
func ended(ctx context.Context) error {
	if ctx.Err() == nil {
		return nil
	}
	if cause := context.Cause(ctx); !errors.Is(cause, context.Canceled) {
		return cause
	}
	return ctx.Err()
}
