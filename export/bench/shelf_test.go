package bench_test

import (
	"bytes"
	"context"
	"sync"

	"rackwright/export/bench"
	"rackwright/frame"
	"rackwright/pack"
)

// shelf keeps files in memory.
type shelf struct {
	mu      sync.Mutex
	work    bench.Work // as saved, or as changed elsewhere
	changed bench.Parts
	took    chan pack.Layout
	fail    error
	how     bench.Choice // of the last save
}

func (f *shelf) Read(ctx context.Context, parts bench.Parts) (bench.Work, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.changed = bench.Parts{}
	p, err := f.problem(f.work.Frame)
	f.work.Problem = p
	return f.work, err
}

func (f *shelf) Problem(_ context.Context, text []byte) (pack.Problem, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.problem(text)
}

func (f *shelf) problem(text []byte) (pack.Problem, error) {
	read, err := frame.Read(bytes.NewReader(text), "frame.yaml")
	if err != nil {
		return pack.Problem{}, err
	}
	return pack.NewProblem(read, f.work.Problem.Pack)
}

func (f *shelf) Changed(parts bench.Parts) *bench.ChangedError {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.differing(parts)
}

func (f *shelf) differing(parts bench.Parts) *bench.ChangedError {
	e := &bench.ChangedError{Parts: bench.Parts{
		Frame: f.changed.Frame && parts.Frame, Pack: f.changed.Pack && parts.Pack, Layout: f.changed.Layout && parts.Layout,
	}}
	for name, is := range map[string]bool{"frame.yaml": e.Parts.Frame, "pack.yaml": e.Parts.Pack, "layout.yaml": e.Parts.Layout} {
		if is {
			e.Names, e.Beside = append(e.Names, name), append(e.Beside, "my-"+name)
		}
	}
	if !e.Parts.Any() {
		return nil
	}
	return e
}

func (f *shelf) Save(w bench.Work, parts bench.Parts, how bench.Choice) (bench.Parts, string, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.fail != nil {
		return bench.Parts{}, "", f.fail
	}
	if e := f.differing(parts); e != nil && how == bench.Ask {
		return bench.Parts{}, "", e
	}
	f.changed, f.how = bench.Parts{}, how
	if parts.Frame {
		f.work.Frame, f.work.Problem = w.Frame, w.Problem
	}
	if parts.Layout {
		f.work.Layout = w.Layout
		f.took <- w.Layout
	}
	return parts, "Saved.", nil
}

// elsewhere changes files as an editor beside the bench does.
func (f *shelf) elsewhere(parts bench.Parts, change func(*bench.Work)) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.work.Layout.Placements = append([]pack.Placement{}, f.work.Layout.Placements...)
	change(&f.work)
	f.changed = parts
}

// text is the frame file.
func (f *shelf) text() string {
	f.mu.Lock()
	defer f.mu.Unlock()
	return string(f.work.Frame)
}
