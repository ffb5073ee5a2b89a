package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
	"sync"
	"time"

	"rackwright/export/bench"
	"rackwright/export/layoutfile"
	"rackwright/pack"
)

// benchFiles are the frame, the pack and the layout of a bench, as they were read last.
type benchFiles struct {
	mu     sync.Mutex
	paths  [3]string
	texts  [3][]byte // nil for a layout file that is not there yet
	given  bool      // whether the layout file was given
	rename func(from, to string) error
}

func (f *benchFlags) files(args []string) (*benchFiles, error) {
	b := &benchFiles{paths: [3]string{args[0], args[1], f.save}, rename: os.Rename}
	if len(args) == 3 {
		b.paths[2], b.given = args[2], true
		return b, nil
	}
	if _, err := os.Lstat(f.save); err == nil {
		return nil, fmt.Errorf("%s is there already: give it as the LAYOUT to go on with it, or another name with --save", f.save)
	}
	return b, nil
}

// read reads all that is there.
func (b *benchFiles) read(ctx context.Context) (pack.Problem, pack.Layout, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	var layout pack.Layout
	texts, err := b.now()
	if err != nil {
		return pack.Problem{}, layout, err
	}
	problem, err := problemBefore(ctx, b.paths[0], b.paths[1])
	if err != nil {
		return problem, layout, err
	}
	if texts[2] != nil {
		file, err := layoutfile.Read(bytes.NewReader(texts[2]), b.paths[2])
		if err != nil {
			return problem, layout, err
		}
		if layout = file.Layout; layout.Placements == nil {
			return problem, layout, fmt.Errorf("%s places no box", b.paths[2])
		}
	}
	b.texts = texts
	return problem, layout, nil
}

// now is what the files hold.
func (b *benchFiles) now() (texts [3][]byte, err error) {
	for i, path := range b.paths {
		texts[i], err = os.ReadFile(path)
		if i == 2 && !b.given && b.texts[2] == nil && errors.Is(err, os.ErrNotExist) {
			err = nil
		}
		if err != nil {
			return texts, err
		}
	}
	return texts, nil
}

// save puts a layout into its file: the new text or the old one is there, never half of it, and
// nothing that was changed meanwhile is written over.
func (b *benchFiles) save(l pack.Layout) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	path := b.paths[2]
	now, err := os.ReadFile(path)
	switch {
	case b.texts[2] == nil && errors.Is(err, os.ErrNotExist):
	case b.texts[2] == nil && err == nil:
		return fmt.Errorf("%s has come to be meanwhile: %w", path, bench.ErrChanged)
	case err != nil:
		return err
	case !bytes.Equal(now, b.texts[2]):
		return fmt.Errorf("%s: %w", path, bench.ErrChanged)
	}
	text, err := b.edited(l)
	if err != nil {
		return err
	}
	if err := b.replace(path, text); err != nil {
		return err
	}
	b.texts[2], b.given = text, true
	return nil
}

// edited is the text of the layout file with a layout in it.
func (b *benchFiles) edited(l pack.Layout) ([]byte, error) {
	if b.texts[2] != nil {
		return layoutfile.Edit(b.texts[2], l)
	}
	var text bytes.Buffer
	err := layoutfile.Write(&text, layoutfile.File{Layout: l})
	return text.Bytes(), err
}

// watch reads the files again when they are changed elsewhere, until ctx ends.
func (b *benchFiles) watch(ctx context.Context, server *bench.Server) {
	tick := time.NewTicker(lookAgain)
	defer tick.Stop()
	var seen [3][]byte
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		b.mu.Lock()
		now, err := b.now()
		same := err == nil && equalTexts(now, b.texts)
		b.mu.Unlock()
		if same || err == nil && equalTexts(now, seen) { // what was told once is not told again
			continue
		}
		seen = now
		before := b.layoutText()
		problem, layout, err := b.read(ctx)
		if err != nil {
			server.Trouble("A file was changed elsewhere and cannot be read: " + harmless(err.Error()))
			continue
		}
		if bytes.Equal(before, b.layoutText()) {
			layout = pack.Layout{} // what is on the bench, saved or not, stays there
		}
		server.Load(problem, layout)
	}
}

func (b *benchFiles) layoutText() []byte {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.texts[2]
}

func equalTexts(a, b [3][]byte) bool { return slices.EqualFunc(a[:], b[:], bytes.Equal) }
