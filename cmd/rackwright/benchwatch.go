package main

import (
	"context"
	"time"

	"rackwright/export/bench"
)

// lookAgain is how often files are looked at that may have been changed elsewhere.
const lookAgain = 500 * time.Millisecond

// watch tells the server when files are changed elsewhere, until ctx ends.
func (b *benchFiles) watch(ctx context.Context, server *bench.Server) {
	tick := time.NewTicker(lookAgain)
	defer tick.Stop()
	var w watched
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		if b.look(ctx, &w) {
			server.FilesChanged(ctx)
		}
	}
}

// watched is what was seen of files at the last look, and at the last that was told.
type watched struct{ last, told texts }

// look tells whether files are another than they were read and than was told. One that is
// changed right now, between two looks, is left until it rests: an editor may be half way.
func (b *benchFiles) look(ctx context.Context, w *watched) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	now, err := b.now(ctx)
	if err != nil {
		return false
	}
	rests := now.equal(w.last)
	w.last = now
	if now.equal(b.read) {
		was := w.told
		w.told = texts{}
		return !was.equal(texts{}) // what was asked is no longer of interest
	}
	if !rests || now.equal(w.told) {
		return false
	}
	w.told = now
	return true
}
