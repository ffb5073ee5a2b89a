package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"rackwright/export/layoutfile"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/search"
	"rackwright/pack/search/stand"
)

// standing reads --levels and --keep, the latter in the units of the pack file.
func (f *fitFlags) standing(unit geom.Unit) (*search.Stand, error) {
	s := &search.Stand{Levels: f.levels, Keep: -1}
	if f.levels < 0 || f.levels > stand.MaxLevels {
		return nil, fmt.Errorf("--levels is from 1 to %d, or 0 for what is easiest to build", stand.MaxLevels)
	}
	if text := strings.TrimSpace(f.keep); text != "" {
		mm, err := geom.ParseLength(text, unit)
		if err != nil {
			return nil, fmt.Errorf("--keep: %w", err)
		}
		if mm < 0 || mm > pack.MaxGap {
			return nil, fmt.Errorf("--keep is from 0 to %d mm, not %s", pack.MaxGap, text)
		}
		s.Keep = mm
	}
	return s, nil
}

// pinned is a problem with the pins of the layout file of --pin.
func (f *fitFlags) pinned(ctx context.Context, p pack.Problem) (pack.Problem, error) {
	if f.pin == "" {
		return p, nil
	}
	pins, err := fileOf(ctx, f.pin, func(r io.Reader, name string) ([]pack.Placement, error) { return layoutfile.ReadPins(r, name, p) })
	if err != nil {
		return p, err
	}
	return p.WithPins(pins), nil
}
