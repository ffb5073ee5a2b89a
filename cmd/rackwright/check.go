package main

import (
	"context"

	"github.com/spf13/pflag"

	"rackwright/export/answer"
	"rackwright/pack"
)

func checkCommand() command {
	return command{
		name: "check", args: "FRAME PACK LAYOUT", least: 3, most: 3,
		summary: "show every clearance of a layout beside its required gap, worst first",
		example: "rackwright check bike.frame.yaml bike.pack.yaml mock-ups/layout-1.yaml",
		flags: func(set *pflag.FlagSet) func(context.Context, streams, []string) (int, error) {
			quiet := set.Bool("quiet", false, "print nothing but errors")
			return func(_ context.Context, s streams, args []string) (int, error) {
				return check(s, args, *quiet)
			}
		},
	}
}

func check(s streams, args []string, quiet bool) (int, error) {
	p, err := problem(args[0], args[1])
	if err != nil {
		return exitUsage, err
	}
	file, err := readLayout(args[2])
	if err != nil {
		return exitUsage, err
	}
	report := pack.Check(p, file.Layout)
	if !quiet {
		if err := answer.WriteCheck(s.out, p, file.Layout, report); err != nil {
			return exitUsage, err
		}
	}
	if report.Holds() {
		return exitFits, nil
	}
	return exitNoFit, nil
}
