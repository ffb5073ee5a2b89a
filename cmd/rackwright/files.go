package main

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"

	"rackwright/export/layoutfile"
	"rackwright/frame"
	"rackwright/frame/strict"
	"rackwright/pack"
)

// problem reads a frame file and a pack file. Errors of both are told at once.
func problem(framePath, packPath string) (pack.Problem, error) {
	f, ferr := readFrame(framePath)
	p, perr := readPack(packPath)
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

func readFrame(path string) (*frame.Frame, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return frame.Read(file, path)
}

func readPack(path string) (*pack.Pack, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return pack.Read(file, path)
}

// faulty is a fault of a layout with the place in its file, as far as it has one.
func faulty(path string, fault pack.Fault) error {
	where := path
	if file, err := os.Open(path); err == nil {
		defer file.Close()
		if line := layoutfile.Line(file, path, fault.Part); line > 0 {
			where = fmt.Sprintf("%s:%d", path, line)
		}
	}
	return fmt.Errorf("%s: %s", where, fault.Text)
}

func readLayout(path string) (layoutfile.File, error) {
	file, err := os.Open(path)
	if err != nil {
		return layoutfile.File{}, err
	}
	defer file.Close()
	return layoutfile.Read(file, path)
}
