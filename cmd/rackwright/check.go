package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/pflag"

	"rackwright/export/answer"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/limit"
	"rackwright/pack/outcome"
	"rackwright/pack/whatif"
)

func checkCommand() command {
	return command{
		name: "check", args: "FRAME PACK LAYOUT", least: 2, most: 3,
		summary: "show every clearance of a layout beside its required gap, worst first",
		example: "rackwright check bike.frame.yaml bike.pack.yaml mock-ups/layout-1.yaml",
		flags: func(set *pflag.FlagSet) func(context.Context, streams, []string) (int, error) {
			var f checkFlags
			f.add(set)
			set.StringVar(&f.proof, "proof", "", "check the proof in this `file` instead of a layout")
			set.StringVar(&f.stock, "stock", "", "`file` of the stock that the rack's metal is bought from, instead of the lengths in the rack file")
			set.StringVar(&f.rack, "rack", "", "judge the rack in this `file` for the layout instead")
			set.BoolVar(&f.json, "json", false, "print what there is to say of a --rack as one JSON object")
			set.BoolVar(&f.quiet, "quiet", false, "print nothing but errors")
			return func(ctx context.Context, s streams, args []string) (int, error) {
				return stoppable(ctx, func() (int, error) { return f.run(ctx, s, args) })
			}
		},
	}
}

// checkFlags are the options of check.
type checkFlags struct {
	entryFlags
	proof, rack, stock string
	quiet, json        bool
}

func (f *checkFlags) run(ctx context.Context, s streams, args []string) (int, error) {
	settings, err := f.settings()
	if err != nil {
		return exitUsage, err
	}
	if layouts := len(args) - 2; (layouts == 1) == (f.proof != "") {
		return exitUsage, errors.New("check takes FRAME PACK LAYOUT, or FRAME PACK --proof FILE")
	}
	if f.stock != "" && f.rack == "" {
		return exitUsage, errStockAlone
	}
	if f.json && f.rack == "" {
		return exitUsage, errors.New("check prints JSON of a --rack alone: give its file too; rackwright fit has --json for layouts")
	}
	p, err := problem(ctx, args[0], args[1])
	if err != nil {
		return exitUsage, err
	}
	if f.proof != "" {
		return f.checkProof(ctx, s, p)
	}
	file, err := readLayout(ctx, args[2])
	if err != nil {
		return exitUsage, err
	}
	if f.rack != "" {
		return f.checkRack(ctx, s, args[0], p, file.Layout)
	}
	unsearched := f.unsearched(settings)
	given := outcome.JudgeMoved(p, file.Layout, unsearched.Means(ctx))
	in := answer.Entry{Unknown: true}
	if given.Holds() && !f.any() {
		if in, err = goingIn(ctx, p, file, settings); err != nil {
			return exitUsage, err
		}
	}
	if !f.quiet {
		if err := errors.Join(
			answer.WriteCheck(s.out, p, file.Layout, given), writeTaken(ctx, s.out, p, file.Layout, given.Report, unsearched),
			answer.WriteStanding(s.out, p, file.Layout), answer.WriteEntry(s.out, p, in), f.writeHidden(s.out, p, args[1], settings),
			writeLimits(s.out, p, file.Layout, given.Report), answer.WriteInShort(s.out, p, given, in)); err != nil {
			return exitUsage, fmt.Errorf("the answer could not be printed: %w", err)
		}
	}
	if given.Holds() && in.Holds() {
		return exitFits, nil
	}
	return exitNoFit, nil
}

// writeTaken writes with which concession a layout would hold that does not.
func writeTaken(ctx context.Context, w io.Writer, p pack.Problem, layout pack.Layout, report pack.Report, settings whatif.Settings) error {
	if report.Holds() || len(report.Faults) > 0 {
		return nil
	}
	c, ok := whatif.Taken(ctx, p, layout, settings)
	if !ok {
		return nil
	}
	return answer.WriteTaken(w, p, c)
}

// writeLimits writes what limits a layout without faults.
func writeLimits(w io.Writer, p pack.Problem, layout pack.Layout, report pack.Report) error {
	if len(report.Faults) > 0 {
		return nil
	}
	standing, err := limit.Standing(p, layout)
	moved, merr := limit.Of(p, layout)
	switch err := errors.Join(err, merr); {
	case errors.Is(err, limit.ErrFree):
		return nil
	case err != nil:
		return err
	}
	return answer.WriteLimits(w, p, report, answer.Limits{Standing: standing, Moved: moved})
}

// writeHidden writes which posts no layout lets the tool reach.
func (f *checkFlags) writeHidden(w io.Writer, p pack.Problem, packPath string, tool entry.Settings) error {
	if err := f.hidden(p, packPath, tool); err != nil {
		_, err = fmt.Fprintf(w, "\n%v\n", err)
		return err
	}
	return nil
}
