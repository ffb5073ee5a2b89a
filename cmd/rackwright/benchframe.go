package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"

	"rackwright/export/bench"
	"rackwright/export/framefile"
	"rackwright/pack"
)

// Shapes are the corners that can be moved in the frame file as it was read last.
func (b *benchFiles) Shapes() ([]framefile.Shape, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return framefile.Shapes(b.texts[0])
}

// EditFrame writes a shape into the frame file, whole or not at all, and never over one that was
// changed meanwhile; then it reads frame and pack again.
func (b *benchFiles) EditFrame(ctx context.Context, s framefile.Shape) (pack.Problem, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	path := b.paths[0]
	now, err := os.ReadFile(path)
	if err != nil {
		return pack.Problem{}, err
	}
	if !bytes.Equal(now, b.texts[0]) {
		return pack.Problem{}, fmt.Errorf("%s: %w", path, bench.ErrChanged)
	}
	text, err := framefile.Edit(now, s)
	if err != nil {
		return pack.Problem{}, err
	}
	if err := b.replace(path, text); err != nil {
		return pack.Problem{}, err
	}
	b.texts[0] = text
	return problemBefore(ctx, b.paths[0], b.paths[1])
}

// replace puts a new text into a file: that or the old one is there, never half of it.
func (b *benchFiles) replace(path string, text []byte) error {
	temporary, err := writeBeside(filepath.Dir(path), filepath.Base(path), text)
	if err == nil {
		err = b.rename(temporary, path)
	}
	if err != nil {
		if temporary != "" {
			os.Remove(temporary)
		}
		return fmt.Errorf("%s cannot be written, and is as it was: %w", path, err)
	}
	return nil
}
