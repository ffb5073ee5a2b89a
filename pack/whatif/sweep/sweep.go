// Package sweep varies one number of a frame file or a pack file and searches for
// layouts with each of its values.
package sweep

import (
	"context"
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"sync"

	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/search"
	"rackwright/pack/whatif"
)

// MaxValues is the greatest number of values that one sweep may take.
const MaxValues = 200

// ErrSpec is wrapped by the errors of Parse and Spec.Set.
var ErrSpec = errors.New("sweep")

// Spec says what is varied: the path to a number, and its values.
type Spec struct {
	Path           string // such as "boxes.battery.size.H"
	From, To, Step float64
}

var specText = regexp.MustCompile(`^\s*(.+?)\s+(\S+)\s*\.\.\s*(\S+?)(?:\s+step\s+(\S+))?\s*$`)

// Parse reads a text such as "boxes.battery.size.H 160..180 step 2", in the unit of the
// file that holds the number. Without a step it is 1, or −1 downwards. The error wraps
// ErrSpec.
func Parse(text string) (Spec, error) {
	m := specText.FindStringSubmatch(text)
	if m == nil {
		return Spec{}, fmt.Errorf("%w: %q is not of the form \"boxes.battery.size.H 160..180 step 2\"", ErrSpec, text)
	}
	s := Spec{Path: m[1]}
	for i, to := range []*float64{&s.From, &s.To, &s.Step} {
		word := m[i+2]
		if word == "" {
			continue
		}
		v, err := strconv.ParseFloat(word, 64)
		if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
			return Spec{}, fmt.Errorf("%w: %q is no number", ErrSpec, word)
		}
		*to = v
	}
	if m[4] == "" {
		s.Step = 1
	}
	return s, s.check()
}

// check makes the step point from From to To, and counts the values.
func (s *Spec) check() error {
	if s.Step == 0 {
		return fmt.Errorf("%w: a step of 0 never arrives", ErrSpec)
	}
	s.Step = math.Copysign(s.Step, s.To-s.From)
	if n := math.Floor((s.To-s.From)/s.Step+1e-9) + 1; n > MaxValues {
		return fmt.Errorf("%w: from %g to %g in steps of %g makes %.0f searches, of at most %d; take larger steps",
			ErrSpec, s.From, s.To, math.Abs(s.Step), n, MaxValues)
	}
	return nil
}

// Values are those that the number takes, From first. To is among them when it is a
// whole number of steps away.
func (s Spec) Values() []float64 {
	var list []float64
	for i := range int(math.Floor((s.To-s.From)/s.Step+1e-9)) + 1 {
		v := s.From + float64(i)*s.Step
		list = append(list, math.Round(v*1e6)/1e6)
	}
	return list
}

// Point is the result for one value.
type Point struct {
	Value   float64
	Problem pack.Problem
	Result  search.Result
	Done    bool // searched; not so when the context ended before
}

// Run searches the problems of all points, workers of them at once, each by one
// goroutine and within the context that limit gives, and then asks how sure those are that fit,
// as settings say. progress is told how many are done, never by two goroutines at once. It
// fails only where search.Fit does.
func Run(ctx context.Context, points []Point, workers int, settings whatif.Settings,
	limit func(context.Context) (context.Context, context.CancelFunc), progress func(done int),
) error {
	if settings.Search.Tool.Tool == (entry.Tool{}) {
		settings.Search.Tool.Tool = entry.DefaultTool()
	}
	settings.Search.Layouts, settings.Search.Workers, settings.Search.Progress = 1, 1, nil
	done := 0
	var mu sync.Mutex
	failed := each(ctx, points, workers, func(p *Point) (err error) {
		limited, cancel := limit(ctx)
		defer cancel()
		p.Result, err = search.Fit(limited, p.Problem, settings.Search)
		p.Done = err == nil
		mu.Lock()
		defer mu.Unlock()
		done++
		progress(done)
		return err
	})
	carry(ctx, points, settings.Search)
	return errors.Join(failed, each(ctx, points, workers, func(p *Point) error {
		return whatif.AskSure(ctx, p.Problem, &p.Result, settings)
	}))
}

// each does something with all points, workers of them at once, until ctx ends.
func each(ctx context.Context, points []Point, workers int, do func(*Point) error) error {
	jobs := make(chan int)
	failed := make([]error, len(points))
	var wg sync.WaitGroup
	for range max(1, workers) {
		wg.Go(func() {
			for i := range jobs {
				if ctx.Err() == nil {
					failed[i] = do(&points[i])
				}
			}
		})
	}
	for i := range points {
		jobs <- i
	}
	close(jobs)
	wg.Wait()
	return errors.Join(failed...)
}
