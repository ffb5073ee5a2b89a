package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// swap puts files in their places such that all can be taken back. The files that it replaces are
// kept beside them until it is done.
type swap struct {
	rename func(from, to string) error
	moves  []move
}

// move is a file in its place, and the one that was there.
type move struct {
	target, old string // old is empty where nothing was there
	put         bool   // the new file is there
}

// put moves a file to its place.
func (s *swap) put(from, target string) error {
	m := move{target: target}
	switch info, err := os.Lstat(target); {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return err
	case info.IsDir():
		return errors.New("a folder has that name")
	default:
		if m.old, err = reserve(target); err != nil {
			return err
		}
		if err := s.rename(target, m.old); err != nil {
			os.Remove(m.old)
			return err
		}
	}
	s.moves = append(s.moves, m)
	if err := s.rename(from, target); err != nil {
		return err
	}
	s.moves[len(s.moves)-1].put = true
	return nil
}

// reserve makes an empty file beside a path, for the file there to be kept under its name.
func reserve(path string) (string, error) {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".old.*")
	if err != nil {
		return "", err
	}
	return f.Name(), f.Close()
}

// back takes everything back, the last first.
func (s *swap) back() error {
	var failed error
	for i := len(s.moves) - 1; i >= 0; i-- {
		m := s.moves[i]
		if m.put && m.old == "" {
			os.Remove(m.target)
		}
		if m.old == "" {
			continue
		}
		if err := os.Rename(m.old, m.target); err != nil {
			failed = errors.Join(failed, fmt.Errorf("%s, as it was, is now %s: %w", m.target, m.old, err))
		}
	}
	return failed
}

// done lets go of what was kept.
func (s *swap) done() {
	for _, m := range s.moves {
		if m.old != "" {
			os.Remove(m.old)
		}
	}
}
