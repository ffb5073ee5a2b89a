package whatif

import (
	"context"

	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/search"
)

// Settings steer what is searched again.
type Settings struct {
	Search search.Settings
	// Limit gives each search its deadline; nil means none. The clock is the caller's.
	Limit func(context.Context) (context.Context, context.CancelFunc)
	// Hasty ends each search at the first layout that fits, whatever it has to spare.
	Hasty bool
	// Progress is told what is being tried, before each search; may be nil.
	Progress func(what string)
}

// tool is the room for tools that the search has.
func (s Settings) tool() entry.Settings {
	t := s.Search.Tool
	if t.Tool == (entry.Tool{}) {
		t.Tool = entry.DefaultTool()
	}
	return t
}

// goesIn plans how the boxes of a layout go in, where that is asked for, and tells whether
// they do. The end of ctx stops it late: it mostly takes milliseconds. An error of the planner is that
// end, for only layouts that have been judged are planned: it is then not known whether the boxes go
// in, and nothing is built on it.
func (s Settings) goesIn(ctx context.Context, problem pack.Problem, layout pack.Layout) (entry.Answer, bool) {
	if s.Search.AnyEntry {
		return entry.Answer{}, true
	}
	a, err := entry.Plan(entry.Late(ctx, lateEntries), problem, layout, s.tool())
	return a, err == nil && a.Holds()
}

// hasty is the settings with Hasty set.
func (s Settings) hasty() Settings {
	s.Hasty = true
	return s
}

// fit searches a changed problem for one layout.
func (s Settings) fit(ctx context.Context, what string, problem pack.Problem) (search.Result, error) {
	if s.Progress != nil {
		s.Progress(what)
	}
	limited, cancel := ctx, context.CancelFunc(func() {})
	if s.Limit != nil {
		limited, cancel = s.Limit(ctx)
	}
	defer cancel()
	one := s.Search
	one.Layouts = 1
	if s.Hasty {
		stopped, stop := context.WithCancel(limited)
		defer stop()
		limited = stopped
		one.Progress = func(p search.Progress) {
			if s.Search.Progress != nil {
				s.Search.Progress(p)
			}
			if p.Spare >= 0 {
				stop()
			}
		}
	}
	return search.Fit(limited, problem, one)
}
