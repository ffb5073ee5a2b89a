package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/pflag"

	"rackwright/export/answer"
	"rackwright/export/layoutfile"
	"rackwright/pack"
	"rackwright/pack/entry"
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
	order, faults, err := checkOrder(p, file)
	if err != nil {
		return exitUsage, err
	}
	if !quiet {
		if err := errors.Join(answer.WriteCheck(s.out, p, file.Layout, report), say(s.out, order)); err != nil {
			return exitUsage, fmt.Errorf("the answer could not be printed: %w", err)
		}
	}
	if report.Holds() && faults == 0 {
		return exitFits, nil
	}
	return exitNoFit, nil
}

// checkOrder judges the order of a layout file, if it gives one and the boxes can be
// placed at all.
func checkOrder(p pack.Problem, file layoutfile.File) (words string, faults int, err error) {
	if len(file.Order.Steps) == 0 {
		return "", 0, nil
	}
	for _, at := range file.Layout.Placements {
		if _, err := p.Bodies(at); err != nil {
			return "", 0, nil // a fault of the layout, which has been told
		}
	}
	found, err := entry.Verify(p, file.Layout, file.Order)
	if err != nil {
		return "", 0, err
	}
	return "\n" + answer.WriteOrder(found), len(found), nil
}

func say(w io.Writer, text string) error {
	_, err := io.WriteString(w, text)
	return err
}
