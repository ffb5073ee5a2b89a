package design_test

import (
	"syscall"

	"errors"
	"rackwright/pack/search"

	"fmt"
	"os"
	"testing"
	"time"

	"rackwright/pack"
	"rackwright/pack/rack/design"
)

func seekRack(t *testing.T, p pack.Problem) design.Tried {
	kept, err := design.Keeps(p, design.Settings{})
	if err != nil {
		return design.Tried{Err: err}
	}
	holds := func(l pack.Layout) bool { return pack.Check(p, l).Holds() && pack.StandingOf(p, l).Stands() }
	return design.Seek(t.Context(), p, kept, design.Asks{Holds: holds, Design: func(l pack.Layout, quickly bool) (design.Result, error) {
		s := design.Settings{}
		if quickly {
			s.Tries = 10
		}
		return design.New(t.Context(), p, l, s, judged(p, l))
	}})
}

func TestZZ(t *testing.T) {
	for _, c := range []string{"trail", "starter", "courier", "cargo", "lane"} {
		if only := os.Getenv("ZZ"); only != "" && only != c {
			continue
		}
		dir := "../../../testdata/" + c
		if c == "starter" {
			dir = "../../../cmd/rackwright/starter"
		}
		p := problem(t, dir, "frame.yaml", "pack.yaml")
		now := time.Now()
		got := seekRack(t, p)
		fmt.Println("==", c, got.Err, time.Since(now))
		if got.Result.Rack != nil {
			fmt.Println("    RACK", got.Sound(), got.Result.Rack.Parts(), got.Result.Rack.Mass(), got.Result.Verdict.Violations, got.Result.Verdict.Off)
		}
		for _, w := range got.Result.Why {
			fmt.Println("    ", w)
		}
	}
}

func keptOf(p pack.Problem) []pack.Problem {
	kept, _ := design.Keeps(p, design.Settings{})
	var l []pack.Problem
	for _, k := range kept {
		l = append(l, k.Problem)
	}
	return l
}

func TestZR(t *testing.T) {
	from, to := uint64(0), uint64(20)
	fmt.Sscanf(os.Getenv("ZR"), "%d-%d", &from, &to)
	sound := 0
	why := map[string]int{}
	for seed := from; seed < to; seed++ {
		d := draw(seed)
		p := d.problem(t)
		now := time.Now()
		var a, b syscall.Rusage
		syscall.Getrusage(0, &a)
		got := seekRack(t, p)
		syscall.Getrusage(0, &b)
		cpu := time.Duration(b.Utime.Nano() - a.Utime.Nano())
		n := 0
		for _, k := range p.Pack.Kinds {
			n += k.Count
		}
		if got.Sound() {
			sound++
			fmt.Println(seed, d.kind, n, "SOUND", got.Result.Rack.Parts(), fmt.Sprintf("%.1f", got.Result.Rack.Mass()), got.Result.Verdict.Words, cpu, time.Since(now))
			continue
		}
		fmt.Println(seed, d.kind, n, got.Err, cpu, time.Since(now))
		if errors.Is(got.Err, design.ErrNoRows) && os.Getenv("ZF") != "" {
			for i, q := range append([]pack.Problem{p}, keptOf(p)...) {
				r, err := search.Fit(t.Context(), q, search.Settings{Layouts: 3, Seed: 1, Work: 8e9, Stand: &search.Stand{Keep: 0}})
				st := 0
				for _, l := range r.Layouts {
					if pack.StandingOf(q, l.Layout).Stands() {
						st++
					}
				}
				fmt.Println("         fit", i, err, r.Verdict, r.Spare, "standing", st)
			}
		}
		for _, w := range got.Result.Why {
			fmt.Println("        ", w)
		}
	}
	fmt.Println(sound, why)
}
