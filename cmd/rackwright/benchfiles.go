package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"rackwright/export/bench"
	"rackwright/export/layoutfile"
	"rackwright/frame"
	"rackwright/pack"
)

// The files of a bench, by number.
const (
	frameFile = iota
	packFile
	layoutFile
)

// texts are what the files of a bench hold; nil for one that is not there.
type texts [3][]byte

func (t texts) equal(o texts) bool {
	return slices.EqualFunc(t[:], o[:], func(a, b []byte) bool { return (a == nil) == (b == nil) && bytes.Equal(a, b) })
}

// benchFiles are the frame, the pack and the layout of a bench.
type benchFiles struct {
	mu     sync.Mutex
	paths  [3]string
	read   texts // as they were read or written last
	asked  texts // as they were when it was asked what to do about a change
	rename func(from, to string) error
}

func (f *benchFlags) files(args []string) (*benchFiles, error) {
	b := &benchFiles{paths: [3]string{args[0], args[1], f.save}, rename: os.Rename}
	if len(args) == 3 {
		b.paths[layoutFile] = args[2]
		return b, requireFile(args[2])
	}
	if _, err := os.Lstat(f.save); err == nil {
		return nil, fmt.Errorf("%s is there already: give it as the LAYOUT to go on with it, or another name with --save", f.save)
	}
	return b, nil
}

func requireFile(path string) error {
	_, err := os.Stat(path)
	return err
}

// now is what the files hold.
func (b *benchFiles) now(ctx context.Context) (t texts, err error) {
	for i, path := range b.paths {
		text, err := textOfFile(ctx, path)
		if err != nil && !errors.Is(err, os.ErrNotExist) {
			return t, err
		}
		t[i] = text
		if err == nil && text == nil {
			t[i] = []byte{}
		}
	}
	return t, nil
}

// Read takes up some of the files as they are now.
func (b *benchFiles) Read(ctx context.Context, parts bench.Parts) (bench.Work, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	now, err := b.now(ctx)
	if err != nil {
		return bench.Work{}, err
	}
	to := b.read
	for i, taken := range listed(parts) {
		if taken {
			to[i] = now[i]
		}
	}
	w := bench.Work{Frame: to[frameFile]}
	if w.Problem, err = b.problem(ctx, to); err != nil {
		return w, err
	}
	if to[layoutFile] != nil {
		if w.Layout, err = b.layout(to[layoutFile]); err != nil {
			return w, err
		}
	}
	b.read = to
	return w, nil
}

func listed(p bench.Parts) [3]bool { return [3]bool{p.Frame, p.Pack, p.Layout} }

func partsOf(l [3]bool) bench.Parts { return bench.Parts{Frame: l[0], Pack: l[1], Layout: l[2]} }

func (b *benchFiles) layout(text []byte) (pack.Layout, error) {
	file, err := layoutfile.Read(bytes.NewReader(text), b.paths[layoutFile])
	if err == nil && file.Layout.Placements == nil {
		err = fmt.Errorf("%s places no box", b.paths[layoutFile])
	}
	return file.Layout, err
}

// Problem is that of the text of a frame file with the pack.
func (b *benchFiles) Problem(ctx context.Context, text []byte) (pack.Problem, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	to := b.read
	to[frameFile] = text
	return b.problem(ctx, to)
}

// problem reads the texts of a frame and a pack, as problem does files.
func (b *benchFiles) problem(ctx context.Context, t texts) (pack.Problem, error) {
	for i := range layoutFile {
		if t[i] == nil {
			return pack.Problem{}, fmt.Errorf("%s: %w", b.paths[i], os.ErrNotExist)
		}
	}
	type read struct {
		problem pack.Problem
		err     error
	}
	r, ok := within(ctx, overdueRead, func() (r read) {
		f, ferr := frame.Read(bytes.NewReader(t[frameFile]), b.paths[frameFile])
		p, perr := pack.Read(bytes.NewReader(t[packFile]), b.paths[packFile])
		if r.err = cmp.Or(mistaken(b.paths[frameFile], ferr, b.paths[packFile], perr), errors.Join(ferr, perr)); r.err == nil {
			r.problem, r.err = pack.NewProblem(f, p)
		}
		return r
	})
	if !ok {
		return pack.Problem{}, errStopped
	}
	return r.problem, r.err
}

// Changed tells which of some files are no longer as they were read, and remembers what is there.
func (b *benchFiles) Changed(parts bench.Parts) *bench.ChangedError {
	b.mu.Lock()
	defer b.mu.Unlock()
	now, err := b.now(context.Background())
	if err != nil {
		return nil // whoever reads or writes them is told
	}
	return b.changed(now, parts)
}

func (b *benchFiles) changed(now texts, parts bench.Parts) *bench.ChangedError {
	e := &bench.ChangedError{}
	var changed [3]bool
	for i, looked := range listed(parts) {
		if !looked || (now[i] == nil) == (b.read[i] == nil) && bytes.Equal(now[i], b.read[i]) {
			continue
		}
		changed[i] = true
		b.asked[i] = now[i]
		e.Gone = e.Gone || now[i] == nil
		e.Names = append(e.Names, b.paths[i])
		e.Beside = append(e.Beside, beside(b.paths[i]))
	}
	if e.Parts = partsOf(changed); !e.Parts.Any() {
		return nil
	}
	return e
}

// beside is a name that is free beside a file, for one's own of two that were changed.
func beside(path string) string {
	end := filepath.Ext(path)
	name := strings.TrimSuffix(path, end) + "-mine"
	for n := 1; ; n++ {
		free := name + end
		if n > 1 {
			free = fmt.Sprintf("%s-%d%s", name, n, end)
		}
		if _, err := os.Lstat(free); errors.Is(err, os.ErrNotExist) {
			return free
		}
	}
}
