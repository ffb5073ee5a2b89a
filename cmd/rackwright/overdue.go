package main

import (
	"context"
	"errors"
	"time"

	"rackwright/pack"
)

// What has to end mostly ends by itself. What does not is left to itself after a while, so that the
// program says what it has: any file within the limits may hold a case that nobody has thought of.
const (
	overdueSearch = 800 * time.Millisecond // of a search that has found nothing yet
	overdueFound  = 3 * time.Second        // of one that has: a busy machine must not lose it
	overdueAdvice = 500 * time.Millisecond // of what follows from it
	overdueLook   = 500 * time.Millisecond // of what is only looked at
	overdueRead   = 250 * time.Millisecond // of a file: a pipe may keep it waiting
)

// errStopped is told where a signal came before there was anything to tell.
var errStopped = errors.New("stopped before there was an answer")

// answered is an exit status with an error, where there is one.
type answered struct {
	status int
	err    error
}

// stoppable carries out what writes no files, and is left to itself after a signal.
func stoppable(ctx context.Context, do func() (int, error)) (int, error) {
	a, ok := within(ctx, overdueLook, func() (a answered) {
		a.status, a.err = do()
		return a
	})
	if !ok {
		return exitUnknown, errStopped
	}
	return a.status, a.err
}

// problemBefore is problem, which a signal ends.
func problemBefore(ctx context.Context, framePath, packPath string) (pack.Problem, error) {
	type read struct {
		problem pack.Problem
		err     error
	}
	r, ok := within(ctx, overdueRead, func() (r read) {
		r.problem, r.err = problem(framePath, packPath)
		return r
	})
	if !ok {
		return pack.Problem{}, errStopped
	}
	return r.problem, r.err
}

// within does something and returns what it gives, and true; or false where that is not done a while
// after ctx has ended. It then goes on in vain until the program ends, so do may change nothing that
// others read.
func within[T any](ctx context.Context, while time.Duration, do func() T) (T, bool) {
	return withinAsked(ctx, func() time.Duration { return while }, do)
}

// withinAsked is within, with the while asked for once ctx has ended.
func withinAsked[T any](ctx context.Context, while func() time.Duration, do func() T) (T, bool) {
	done := make(chan T, 1)
	go func() { done <- do() }()
	select {
	case v := <-done:
		return v, true
	case <-ctx.Done():
	}
	late := time.NewTimer(while())
	defer late.Stop()
	select {
	case v := <-done:
		return v, true
	case <-late.C:
		var none T
		return none, false
	}
}
