package search_test

import (
	"context"
	"fmt"
	"slices"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/search"
)

// searchFor searches with so many seconds of processor time, and tells how many it took: what other
// programs on the machine do then counts for little.
func searchFor(t *testing.T, problem pack.Problem, seed uint64, limit float64, anyEntry bool) (search.Result, float64) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	from := processorTime()
	go func() {
		for ctx.Err() == nil && processorTime()-from < limit {
			time.Sleep(10 * time.Millisecond)
		}
		cancel()
	}()
	r, err := search.Fit(ctx, problem, search.Settings{Seed: seed, AnyEntry: anyEntry})
	require.NoError(t, err, "seed %d", seed)
	return r, processorTime() - from
}

// processorTime is what this process has taken, in seconds.
func processorTime() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Utime.Sec+u.Stime.Sec) + float64(u.Utime.Usec+u.Stime.Usec)/1e6
}

// tally counts what came of problems, by their number of boxes.
type tally struct{ all, decided, proven [9]int }

func (n *tally) add(problem pack.Problem, r search.Result) {
	count := boxCount(problem)
	n.all[count]++
	if r.Verdict.Fits() || r.Verdict == pack.ProvenNoFit {
		n.decided[count]++
	}
	if r.Proven {
		n.proven[count]++
	}
}

func (n *tally) print(t *testing.T) {
	t.Helper()
	sum := func(of [9]int) (s int) {
		for _, k := range of {
			s += k
		}
		return s
	}
	for count, k := range n.all {
		if k > 0 {
			t.Logf("%d boxes: of %d %d decided, %d proven", count, k, n.decided[count], n.proven[count])
		}
	}
	t.Logf("of %d %d decided, %d proven", sum(n.all), sum(n.decided), sum(n.proven))
}

func boxCount(p pack.Problem) int {
	n := 0
	for _, k := range p.Pack.Kinds {
		n += k.Count
	}
	return n
}

func provenWord(r search.Result) string {
	if r.Proven {
		return "proven "
	}
	return "open   "
}

// barredWords tells what keeps the layout with the most to spare from being an answer.
func barredWords(r search.Result) string {
	f := r.Barred
	if f == nil && len(r.Layouts) > 0 && !r.Layouts[0].Entry.Holds() && r.Spare >= 0 {
		f = &r.Layouts[0]
	}
	switch {
	case f == nil:
		return ""
	case f.Entry.GoesIn:
		var posts []string
		for _, u := range f.Entry.Unreachable() {
			posts = append(posts, fmt.Sprint(u.Post))
		}
		slices.Sort(posts)
		return fmt.Sprintf("; at %.3f no tool reaches %v", f.Report.Spare, posts)
	}
	return fmt.Sprintf("; at %.3f stuck: %v past %v", f.Report.Spare, f.Entry.Stuck.Boxes, f.Entry.Stuck.Obstacles)
}
