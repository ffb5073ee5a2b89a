package main

import (
	"context"
	"errors"
	"time"
)

// What has to end mostly ends by itself. What does not is left to itself after a while, so that the
// program says what it has: any file within the limits may hold a case that nobody has thought of.
// All of it together ends within a second after a first signal, and after the limit that was given.
const (
	overdueSignal = 900 * time.Millisecond // of everything, after a signal
	overdueSearch = 600 * time.Millisecond // of a search
	overdueEntry  = 200 * time.Millisecond // of how what it had found goes in
	overdueAdvice = 800 * time.Millisecond // of what follows from it
	overdueLook   = 500 * time.Millisecond // of what is only looked at
	overdueRead   = 250 * time.Millisecond // of a file: a pipe may keep it waiting
	overduePage   = 2 * time.Second        // of what is found out for a page alone
	// overdueFiles is how long files that were asked for may take to be made, and once more the page: ten
	// times what those of most problems take. A longer limit gives them as long, see filesWhile: who
	// asked for a page wants it, on a slow machine too.
	overdueFiles = 2 * time.Second
	mostBusy     = 20 // times a while is waited for a machine that is busy
	idleShare    = 50 // less than this part of a processor is no work
	tick         = 5 * time.Millisecond
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

// within does something and returns what it gives, and true; or false where that is not done a while
// after ctx has ended, or after a signal. It then goes on in vain until the program ends, so do may
// change nothing that others read.
func within[T any](ctx context.Context, while time.Duration, do func() T) (T, bool) {
	done := make(chan T, 1)
	go func() { done <- do() }()
	late := outlasting(ctx, while)
	select {
	case v := <-done:
		return v, true
	case <-late.Done():
	}
	select { // both may have come while this waited for a core
	case v := <-done:
		return v, true
	default:
		var none T
		return none, false
	}
}

// outlasting is a context that ends a while after another one, but no later than is left after a
// signal. On a machine that is busy with other things, a limit is followed by as much work as is
// done in half of the while on one that is not.
func outlasting(ctx context.Context, while time.Duration) context.Context {
	late, end := context.WithCancel(context.WithoutCancel(ctx))
	context.AfterFunc(ctx, func() {
		defer end()
		from, used := time.Now(), processorTime()
		for took := time.Duration(0); took < while || starved(took, processorTime()-used, while); took = time.Since(from) {
			time.Sleep(min(while, tick))
		}
	})
	if last, ok := ctx.Value(lastKey{}).(context.Context); ok {
		context.AfterFunc(last, end)
	}
	return late
}

// starved tells whether work has had too little of the machine for a while, in a time that it took: it
// got some, or there is no work, but a pipe that is waited for.
func starved(took, worked, while time.Duration) bool {
	return took < mostBusy*while && worked < while/2 && worked > took/idleShare
}

// lastKey is of the context that ends a while after a signal, in the context of a command.
type lastKey struct{}

// filesWhile is how long the files of a search may take to be made after its limit.
func filesWhile(limit time.Duration) time.Duration {
	const most = 30 * time.Second
	return max(overdueFiles, min(limit, most))
}

// withLast adds to the context of a command the end of all that it does after a signal.
func withLast(ctx context.Context) context.Context {
	return context.WithValue(ctx, lastKey{}, outlasting(ctx, overdueSignal))
}

// since is what is left of a while that began when a limit had passed.
func since(limit time.Time, while time.Duration) time.Duration {
	const least = 50 * time.Millisecond
	return max(least, min(while, time.Until(limit)+while))
}
