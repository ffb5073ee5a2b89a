package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"rackwright/export/answer"
	"rackwright/pack/entry"
	"rackwright/pack/limit"
	"rackwright/pack/search"
	"rackwright/pack/whatif"
)

// Shares of the time of the search: what follows from the answer (the worst case and the
// concessions) takes at most a half of it, and each single search of something changed
// at most a quarter.
const (
	afterShare = 2
	share      = 4
)

// advise adds what follows from the result: what limits it, how sure it is, what would
// make it fit, and with --try what else might help.
func (f *fitFlags) advise(ctx context.Context, s streams, in *answer.Input, tool entry.Settings) error {
	line := newProgress(s, f.quiet)
	defer line.clear()
	settings := f.whatif(line, tool)
	if err := f.follow(ctx, in, settings); err != nil || !f.try {
		return err
	}
	type tried struct {
		changes []whatif.Change
		err     error
	}
	done, ok := within(ctx, overdueAdvice, func() (t tried) {
		t.changes, t.err = whatif.Try(ctx, whatif.Changes(in.Problem), settings)
		return t
	})
	if ok {
		in.Changes = append([]whatif.Change{}, done.changes...)
	}
	return done.err
}

// follow looks at what limits the first layout, at the worst case of what fits, and for concessions
// where nothing does, in its share of the time, which begins when the search ends or had to end. What
// is not done then is left out.
func (f *fitFlags) follow(ctx context.Context, in *answer.Input, settings whatif.Settings) error {
	limit := time.Now()
	if f.limit.Before(limit) {
		limit = f.limit
	}
	limit = limit.Add(f.time / afterShare)
	limited, cancel := context.WithDeadline(ctx, limit)
	defer cancel()
	type followed struct {
		in  answer.Input
		err error
	}
	for _, step := range []func(*answer.Input) error{
		f.limits,
		func(in *answer.Input) error { return f.worst(limited, in, settings) },
	} {
		done, ok := within(limited, since(limit, overdueAdvice), func() followed {
			more := *in
			err := step(&more)
			return followed{more, err}
		})
		if !ok {
			return nil
		}
		if done.err != nil {
			return done.err
		}
		*in = done.in
	}
	return nil
}

// worst looks at the worst case of what fits, and for concessions where nothing does.
func (f *fitFlags) worst(limited context.Context, in *answer.Input, settings whatif.Settings) error {
	if in.Result.Verdict.Fits() {
		return whatif.AskSure(limited, in.Problem, &in.Result, settings)
	}
	if err := f.ease(limited, in, settings); err != nil {
		return err
	}
	return f.concede(limited, in, settings)
}

// Shares of the time of the search for what one thing alone would give: all of it, and each search.
const (
	easeShare    = 3
	easeOneShare = 16
)

// ease asks which one thing would give an answer, where boxes have room but cannot be put in and
// connected.
func (f *fitFlags) ease(ctx context.Context, in *answer.Input, settings whatif.Settings) error {
	limited, cancel := context.WithTimeout(ctx, f.time/easeShare)
	defer cancel()
	settings.Limit = func(ctx context.Context) (context.Context, context.CancelFunc) {
		return context.WithTimeout(ctx, f.time/easeOneShare)
	}
	var err error
	in.Eased, err = whatif.Ease(limited, in.Problem, in.Result, settings)
	return err
}

// whatif are the settings of searches of something changed, told of on a line, if there is one.
func (f *fitFlags) whatif(line *progress, tool entry.Settings) whatif.Settings {
	s := whatif.Settings{
		Search: search.Settings{Seed: f.seed, AnyEntry: f.any(), Tool: tool},
		Limit: func(ctx context.Context) (context.Context, context.CancelFunc) {
			return context.WithTimeout(ctx, f.time/share)
		},
	}
	if line != nil {
		s.Progress = func(what string) { line.note("trying: " + what) }
	}
	return s
}

// concede tries the concessions that the frame file allows, where nothing fits. A layout
// that turns out to need none becomes the first of the result.
func (f *fitFlags) concede(ctx context.Context, in *answer.Input, settings whatif.Settings) error {
	conceded, err := whatif.Concessions(ctx, in.Problem, settings)
	if conceded.Plain == nil {
		in.Conceded = &conceded
		return err
	}
	in.Result, in.Eased = in.Result.With(*conceded.Plain, f.layouts), nil
	return errors.Join(err, f.limits(in), whatif.AskSure(ctx, in.Problem, &in.Result, settings))
}

// limits says what limits the first layout, if anything does.
func (f *fitFlags) limits(in *answer.Input) error {
	if len(in.Result.Layouts) == 0 {
		return nil
	}
	a, err := limit.Of(in.Problem, in.Result.Layouts[0].Layout)
	switch {
	case errors.Is(err, limit.ErrFree):
		return nil
	case err != nil:
		return err
	}
	in.Limit = &a
	return nil
}

// note shows what is being done.
func (p *progress) note(text string) {
	if !p.on {
		return
	}
	p.last, p.shown = time.Now(), true
	fmt.Fprintf(p.w, "\r\x1b[K%s", text)
}
