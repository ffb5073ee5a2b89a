package main

import (
	"context"
	"io"
	"os"

	"rackwright/frame/strict"
)

// fileOf is what is read of a file. All files are read here: a pipe that nobody writes to, or a disk that is
// slow, keeps the program waiting only until a signal comes.
func fileOf[T any](ctx context.Context, path string, read func(io.Reader, string) (T, error)) (T, error) {
	type result struct {
		value T
		err   error
	}
	r, ok := within(ctx, overdueRead, func() (r result) {
		file, err := os.Open(path)
		if err != nil {
			return result{err: err}
		}
		defer file.Close()
		r.value, r.err = read(file, path)
		return r
	})
	if !ok {
		return r.value, errStopped
	}
	return r.value, r.err
}

// textOfFile is the text of a file, cut where it is too long for any reader to take.
func textOfFile(ctx context.Context, path string) ([]byte, error) {
	return fileOf(ctx, path, func(r io.Reader, _ string) ([]byte, error) {
		return io.ReadAll(io.LimitReader(r, strict.MaxSize+1))
	})
}
