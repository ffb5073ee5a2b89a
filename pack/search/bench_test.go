package search_test

import (
	"context"
	"testing"
	"time"

	"rackwright/pack"
	"rackwright/pack/search"
	"rackwright/pack/search/internal/kit"
)

// BenchmarkFirst is the time to the first layout of each example that fits; the
// metric is what it has to spare.
func BenchmarkFirst(b *testing.B) {
	for _, name := range []string{"courier", "trail", "cargo"} {
		b.Run(name, func(b *testing.B) {
			problem := kit.Example(b, name+"/frame.yaml", name+"/pack.yaml")
			for b.Loop() {
				ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
				spare := -1.0
				_, err := search.Fit(ctx, problem, search.Settings{Progress: func(p search.Progress) {
					if p.Spare >= 0 && spare < 0 {
						spare = p.Spare
						cancel()
					}
				}})
				cancel()
				if err != nil || spare < 0 {
					b.Fatal("nothing that fits was found", err)
				}
				b.ReportMetric(spare, "mm")
			}
		})
	}
}

// BenchmarkFit is what the search has after two seconds: spare and bound.
func BenchmarkFit(b *testing.B) {
	for _, name := range []string{"courier", "trail", "cargo"} {
		b.Run(name, func(b *testing.B) {
			problem := kit.Example(b, name+"/frame.yaml", name+"/pack.yaml")
			for b.Loop() {
				ctx, cancel := context.WithTimeout(context.Background(), 2*time.Second)
				r, err := search.Fit(ctx, problem, search.Settings{})
				cancel()
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(r.Spare, "mm-spare")
				b.ReportMetric(r.Bound, "mm-bound")
			}
		})
	}
}

// Every layout offered for an example passes the judge, goes in where it is called an
// answer, and is the same whatever the number of workers. The time is cut by counting what the search tells,
// never by a clock.
func TestExamplesHoldAndDoNotDependOnWorkers(t *testing.T) {
	for _, name := range []string{"courier", "trail", "cargo"} {
		problem := kit.Example(t, name+"/frame.yaml", name+"/pack.yaml")
		var results []search.Result
		for _, workers := range []int{1, 2, 5} {
			ctx, cancel := context.WithCancel(context.Background())
			told := 0
			r, err := search.Fit(ctx, problem, search.Settings{Workers: workers, Progress: func(search.Progress) {
				if told++; told == 2 {
					cancel()
				}
			}})
			cancel()
			if err != nil {
				t.Fatal(err)
			}
			results = append(results, r)
		}
		for _, r := range results[1:] {
			if r.Spare != results[0].Spare || len(r.Layouts) != len(results[0].Layouts) {
				t.Fatalf("%s: %v and %v", name, r.Spare, results[0].Spare)
			}
			for i := range r.Layouts {
				for k, p := range r.Layouts[i].Layout.Placements {
					if p != results[0].Layouts[i].Layout.Placements[k] {
						t.Fatalf("%s: layout %d differs with the number of workers", name, i+1)
					}
				}
			}
		}
		for _, l := range results[0].Layouts {
			if report := pack.Check(problem, l.Layout); len(report.Faults) > 0 || report.Spare != l.Report.Spare {
				t.Fatalf("%s: the judge disagrees: %v", name, report.Faults)
			}
			if results[0].Verdict.Fits() && !l.Entry.Holds() {
				t.Fatalf("%s: an answer does not go in", name)
			}
		}
	}
}
