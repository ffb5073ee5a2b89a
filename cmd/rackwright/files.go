package main

import (
	"errors"
	"fmt"
	"os"

	"rackwright/export/layoutfile"
	"rackwright/frame"
	"rackwright/pack"
)

// problem reads a frame file and a pack file. Errors of both are told at once.
func problem(framePath, packPath string) (pack.Problem, error) {
	f, ferr := readFrame(framePath)
	p, perr := readPack(packPath)
	if err := errors.Join(ferr, perr); err != nil {
		return pack.Problem{}, fmt.Errorf("nothing was done, because of what the files say:\n%w", err)
	}
	return pack.NewProblem(f, p)
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

func readLayout(path string) (layoutfile.File, error) {
	file, err := os.Open(path)
	if err != nil {
		return layoutfile.File{}, err
	}
	defer file.Close()
	return layoutfile.Read(file, path)
}
