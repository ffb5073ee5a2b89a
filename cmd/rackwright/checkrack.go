package main

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"rackwright/export/rackplan"
	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
)

var errStockAlone = errors.New("--stock is what the metal of a --rack is bought from: give the rack's file too")

// checkRack judges the rack in a file.
func (f *checkFlags) checkRack(ctx context.Context, s streams, framePath string, p pack.Problem, l pack.Layout) (int, error) {
	r, err := readRackBought(ctx, f.rack, f.stock)
	if err != nil {
		return exitUsage, err
	}
	if err := tiedMounts(p, l, r); err != nil {
		return exitUsage, mountPlaces(framePath, err)
	}
	was := p.Frame
	p, off := concededFor(ctx, p, l)
	report, err := judge.Judge(p, l, r, judge.Settings{})
	if err != nil {
		return exitUsage, err
	}
	if !f.quiet {
		a := rackplan.Answer{Problem: p, Layout: l, Rack: r, Report: report, Removals: rackplan.Removals(was, off, p, l, r)}
		write := rackplan.Write
		if f.json {
			write = rackplan.WriteJSON
		}
		if err := write(s.out, a); err != nil {
			return exitUsage, fmt.Errorf("the answer could not be printed: %w", err)
		}
	}
	if report.Sound() {
		return exitFits, nil
	}
	return exitNoFit, nil
}

// tiedMounts is what is wrong with the mounts that a rack is tied to; where it is tied to none,
// with all mounts.
func tiedMounts(p pack.Problem, l pack.Layout, r *rack.Rack) error {
	_, err := rack.Mounts(p, l)
	tied := r.Ties()
	other := func(one error) bool {
		var m *rack.MountError
		if len(tied) == 0 || !errors.As(one, &m) {
			return false
		}
		sides := append(m.Mount.Sides(), m.Mount) // it may be one of its sides already
		return !slices.ContainsFunc(sides, func(side frame.Mount) bool { return slices.Contains(tied, side.Name) })
	}
	return errors.Join(slices.DeleteFunc(joinedErrors(err), other)...)
}

// mountPlaces gives errors of mounts their lines in the frame file.
func mountPlaces(framePath string, err error) error {
	var all []error
	for _, one := range joinedErrors(err) {
		if m := (*rack.MountError)(nil); errors.As(one, &m) && m.Mount.Line > 0 {
			one = fmt.Errorf("%s:%d: %w", framePath, m.Mount.Line, one)
		}
		all = append(all, one)
	}
	return errors.Join(all...)
}

// joinedErrors are the errors that are joined in one.
func joinedErrors(err error) []error {
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		return many.Unwrap()
	}
	return []error{err}
}

// readRackBought is the rack of a file, its metal bought as a file of stock says where one is given.
func readRackBought(ctx context.Context, path, stock string) (*rack.Rack, error) {
	r, err := readRack(ctx, path)
	if err != nil || stock == "" {
		return r, err
	}
	s, err := readStock(ctx, stock)
	r.Bought = s.Bought
	return r, err
}

func readRack(ctx context.Context, path string) (*rack.Rack, error) {
	return fileOf(ctx, path, rack.Read)
}
