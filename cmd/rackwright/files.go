package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"rackwright/export/layoutfile"
	"rackwright/frame"
	"rackwright/frame/strict"
	"rackwright/pack"
)

// problem reads a frame file and a pack file. Errors of both are told at once.
func problem(ctx context.Context, framePath, packPath string) (pack.Problem, error) {
	f, ferr := readFrame(ctx, framePath)
	p, perr := readPack(ctx, packPath)
	if errors.Is(ferr, errStopped) || errors.Is(perr, errStopped) {
		return pack.Problem{}, errStopped
	}
	if err := mistaken(framePath, ferr, packPath, perr); err != nil {
		return pack.Problem{}, err
	}
	if err := errors.Join(ferr, perr); err != nil {
		return pack.Problem{}, fmt.Errorf("nothing was done, because of what the files say:\n%w", err)
	}
	return pack.NewProblem(f, p)
}

// mistaken is an error where a pack file stands for the frame file or the other way
// round: that says more than that every key is wrong.
func mistaken(framePath string, ferr error, packPath string, perr error) error {
	const order = "nothing was done: the frame file comes first, then the pack file, but "
	notFrame, notPack := hasKey(ferr, "boxes"), hasKey(perr, "opening")
	switch {
	case notFrame && notPack:
		return fmt.Errorf(order+"%s is a pack file and %s is a frame file", framePath, packPath)
	case notFrame:
		return fmt.Errorf(order+"%s is a pack file", framePath)
	case notPack:
		return fmt.Errorf(order+"%s is a frame file", packPath)
	}
	return nil
}

// hasKey tells whether an error is, among others, that a file has a key that is none of
// its kind.
func hasKey(err error, key string) bool {
	var all strict.Errors
	return errors.As(err, &all) && slices.ContainsFunc(all, func(e strict.Error) bool {
		return e.Rule == strict.UnknownKey && strings.HasPrefix(e.Text, strconv.Quote(key))
	})
}

func readFrame(ctx context.Context, path string) (*frame.Frame, error) {
	return fileOf(ctx, path, frame.Read)
}

func readPack(ctx context.Context, path string) (*pack.Pack, error) {
	return fileOf(ctx, path, pack.Read)
}

func readLayout(ctx context.Context, path string) (layoutfile.File, error) {
	return fileOf(ctx, path, layoutfile.Read)
}

// faulty is a fault of a layout with the place in its file, as far as it has one.
func faulty(ctx context.Context, path string, fault pack.Fault) error {
	where := path
	line, err := fileOf(ctx, path, func(r io.Reader, name string) (int, error) { return layoutfile.Line(r, name, fault.Part), nil })
	if err == nil && line > 0 {
		where = fmt.Sprintf("%s:%d", path, line)
	}
	return fmt.Errorf("%s: %s", where, fault.Text)
}
