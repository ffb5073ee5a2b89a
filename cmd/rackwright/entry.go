package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/pflag"

	"rackwright/export/answer"
	"rackwright/export/layoutfile"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/search"
	"rackwright/pack/whatif"
)

// entryFlags say what counts as going in.
type entryFlags struct{ entry, tool string }

// Values of --entry.
const (
	entryStraight = "straight"
	entryAny      = "any"
)

func (f *entryFlags) add(set *pflag.FlagSet) {
	set.StringVar(&f.entry, "entry", entryStraight, "`which` layouts are answers: straight, those that go in by straight moves; any, all of them")
	set.StringVar(&f.tool, "tool", "30x80", "`room` for a spanner at each post: diameter x length in mm")
}

// any tells whether layouts that do not go in are answers too.
func (f *entryFlags) any() bool { return f.entry == entryAny }

// unsearched are the settings of what is looked at without a search.
func (f *entryFlags) unsearched(tool entry.Settings) whatif.Settings {
	return whatif.Settings{Search: search.Settings{AnyEntry: f.any(), Tool: tool}}
}

func (f *entryFlags) settings() (entry.Settings, error) {
	if f.entry != entryStraight && f.entry != entryAny {
		return entry.Settings{}, fmt.Errorf("--entry is %s or %s, not %q", entryStraight, entryAny, f.entry)
	}
	tool, err := toolOf(f.tool)
	return entry.Settings{Tool: tool}, err
}

// hidden is an error that names posts of the pack file that the tool reaches in no layout,
// for posts of their own box are in the way; nil where all layouts are answers.
func (f *entryFlags) hidden(p pack.Problem, packPath string, tool entry.Settings) error {
	if f.any() {
		return nil
	}
	hidden, err := entry.HiddenPosts(p, tool)
	errs := []error{err}
	for _, h := range hidden {
		errs = append(errs, fmt.Errorf("%s:%d: %s", packPath, h.Post.Line, answer.HiddenWords(h, tool.Tool)))
	}
	return errors.Join(errs...)
}

// maxTool is the largest room for a tool in millimetres.
const maxTool = 1000

// toolOf reads a room for a tool such as 30x80.
func toolOf(text string) (entry.Tool, error) {
	var t entry.Tool
	var rest string
	n, _ := fmt.Sscanf(text+" .", "%gx%g %s", &t.Diameter, &t.Length, &rest)
	if n != 3 || rest != "." || !(t.Diameter > 0 && t.Diameter <= maxTool && t.Length > 0 && t.Length <= maxTool) {
		return entry.Tool{}, fmt.Errorf("--tool is a diameter and a length of at most %d mm such as 30x80, not %q", maxTool, text)
	}
	return t, nil
}

// goingIn judges the order of a layout file, or finds one where the file gives none. The
// layout has to hold.
func goingIn(ctx context.Context, p pack.Problem, file layoutfile.File, settings entry.Settings) (answer.Entry, error) {
	var e answer.Entry
	var err error
	if len(file.Order.Steps) == 0 {
		e.Answer, err = entry.Plan(ctx, p, file.Layout, settings)
	} else {
		e.Given = true
		e.Answer = entry.Answer{GoesIn: true, Order: file.Order}
		if e.Faults, err = entry.Verify(p, file.Layout, file.Order); err == nil {
			e.Answer.Reach, err = entry.Reaches(p, file.Layout, file.Order, settings)
		}
	}
	if err != nil || !e.Holds() {
		return e, err
	}
	e.Undo, err = undos(ctx, p, file.Layout)
	return e, err
}

// undos tells of every box what it takes to get at it.
func undos(ctx context.Context, p pack.Problem, l pack.Layout) ([]answer.Undo, error) {
	undos, err := entry.Undos(ctx, p, l)
	if err != nil {
		return nil, err
	}
	var all []answer.Undo
	for i, at := range l.Placements {
		all = append(all, answer.Undo{Box: at.Part(), Steps: undos[i]})
	}
	return all, nil
}
