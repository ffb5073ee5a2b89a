package main

import (
	"bytes"
	"context"
	"fmt"
	"io"

	"rackwright/export"
)

// maker makes some of the files of an output folder.
type maker func() ([]export.File, error)

// making makes files one after the other, contents and all, until there are no more or late ends, and
// tells whether all are made. What is under way when late ends is left to itself.
func making(late context.Context, makers ...maker) (made []export.File, all bool, err error) {
	type step struct {
		file export.File
		err  error
	}
	steps := make(chan step)
	go func() {
		defer close(steps)
		give := func(s step) (more bool) {
			select {
			case steps <- s:
				return s.err == nil
			case <-late.Done():
				return false
			}
		}
		for _, m := range makers {
			files, err := m()
			if err != nil && !give(step{err: err}) {
				return
			}
			for _, f := range files {
				if file, err := rendered(f); !give(step{file, err}) {
					return
				}
			}
		}
	}()
	for {
		select {
		case s, more := <-steps:
			if !more || s.err != nil {
				return made, !more && late.Err() == nil, s.err
			}
			made = append(made, s.file)
		case <-late.Done():
			return made, false, nil
		}
	}
}

// rendered is a file whose contents are made.
func rendered(f export.File) (export.File, error) {
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		return f, fmt.Errorf("%s cannot be made: %w", f.Name, err)
	}
	return export.File{Name: f.Name, Write: func(w io.Writer) error {
		_, err := w.Write(b.Bytes())
		return err
	}}, nil
}

// madeBefore are files that a signal ends the making of.
func madeBefore(ctx context.Context, files ...export.File) ([]export.File, error) {
	made, all, err := making(outlasting(ctx, overdueLook), func() ([]export.File, error) { return files, nil })
	if err == nil && !all {
		err = errStopped
	}
	return made, err
}
