package main

import (
	"context"
	"fmt"
	"path/filepath"

	"github.com/spf13/pflag"

	"rackwright/export/answer"
	"rackwright/pack"
	"rackwright/pack/balance"
)

func balanceCommand() command {
	return command{
		name: "balance", args: "FRAME PACK [LAYOUT...]", least: 2, most: 2 + maxLayouts,
		summary: "show masses, the middle of mass, and what each wheel bears",
		example: "rackwright balance bike.frame.yaml bike.pack.yaml mock-ups/layout-1.yaml",
		flags: func(set *pflag.FlagSet) func(context.Context, streams, []string) (int, error) {
			var f balanceFlags
			set.BoolVar(&f.json, "json", false, "print one JSON object")
			set.BoolVar(&f.quiet, "quiet", false, "print nothing but errors, and what was asked for as JSON")
			return f.run
		},
	}
}

// balanceFlags are the options of balance.
type balanceFlags struct{ json, quiet bool }

func (f *balanceFlags) run(ctx context.Context, s streams, args []string) (int, error) {
	p, err := problem(ctx, args[0], args[1])
	if err != nil {
		return exitUsage, err
	}
	all, status, err := balances(ctx, p, args[2:])
	if err != nil {
		return exitUsage, err
	}
	if f.json {
		err = answer.WriteBalanceJSON(s.out, p, all)
	} else if !f.quiet {
		for i, b := range all {
			if i > 0 {
				fmt.Fprintln(s.out)
			}
			if err = answer.WriteBalance(s.out, p, b.Name, b.Balance); err != nil {
				break
			}
		}
	}
	if err != nil {
		return exitUsage, fmt.Errorf("the answer could not be printed: %w", err)
	}
	return status, nil
}

// balances are those of layout files, or, where there are none, that of the vehicle as it is.
func balances(ctx context.Context, p pack.Problem, paths []string) ([]answer.NamedBalance, int, error) {
	if len(paths) == 0 {
		b := balance.Of(p, pack.Layout{})
		return []answer.NamedBalance{{Name: "with nothing packed yet", Balance: b}}, balanceStatus(b), nil
	}
	var all []answer.NamedBalance
	status := exitFits
	for _, path := range paths {
		file, err := readLayout(ctx, path)
		if err != nil {
			return nil, exitUsage, err
		}
		if r := pack.Check(p, file.Layout); len(r.Faults) > 0 {
			return nil, exitUsage, fmt.Errorf("%q is no layout of these files: %s", path, r.Faults[0].Text)
		}
		b := balance.Of(p, file.Layout)
		all = append(all, answer.NamedBalance{Name: filepath.Base(path), Balance: b})
		status = worse(status, balanceStatus(b))
	}
	return all, status, nil
}

// balanceStatus tells what is too much first, then what is not known.
func balanceStatus(b balance.Balance) int {
	for _, w := range b.Wheels {
		if w.Over() > 0 || w.Lifted() {
			return exitNoFit
		}
	}
	if len(b.Unknown) > 0 {
		return exitUnknown
	}
	return exitFits
}

// worse is the status to end with of two: a no before what is not known.
func worse(a, b int) int {
	if a == exitNoFit || b == exitNoFit {
		return exitNoFit
	}
	return max(a, b)
}
