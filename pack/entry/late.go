package entry

import (
	"context"
	"sync/atomic"
)

// Late returns a context that outlasts ctx for a while: after ctx has ended it may be asked for its
// error so often before it ends too. It is for what belongs to an answer that is being given, mostly
// takes milliseconds, and must not take long: the functions of this package ask as they work, so the
// count is of work, and no clock is needed. Its Done channel never closes.
func Late(ctx context.Context, asked int) context.Context {
	l := &late{Context: ctx}
	l.left.Store(int64(asked))
	return l
}

type late struct {
	context.Context
	left atomic.Int64
}

func (l *late) Done() <-chan struct{} { return nil }

func (l *late) Err() error {
	err := l.Context.Err()
	if err != nil && l.left.Add(-1) >= 0 {
		return nil
	}
	return err
}
