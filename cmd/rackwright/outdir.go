package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"rackwright/export"
)

// writeAll makes all contents first, then writes every file beside its place, syncs it
// and renames it, so that no half-written file is ever seen. Without force nothing is
// written where a file of one of the names exists. When something fails, the files
// that this call made new are removed again, and those that it replaced put back: the folder
// has the new set or the old one.
func writeAll(dir string, outputs []export.File, force bool) (err error) {
	contents, err := render(outputs)
	if err != nil {
		return err
	}
	if !force {
		if err := refuseExisting(dir, outputs); err != nil {
			return err
		}
	}
	made, err := makeDir(dir)
	if err != nil {
		return fmt.Errorf("the output folder cannot be made: %w", err)
	}
	var temporary []string
	put := swap{rename: os.Rename}
	defer func() {
		if err == nil {
			put.done()
			return
		}
		err = errors.Join(err, put.back())
		for _, path := range slices.Concat(temporary, made) {
			os.Remove(path)
		}
	}()
	for i, o := range outputs {
		path, err := writeBeside(dir, o.Name, contents[i])
		if path != "" {
			temporary = append(temporary, path)
		}
		if err != nil {
			return fmt.Errorf("%s cannot be written, so nothing was: %w", filepath.Join(dir, o.Name), err)
		}
	}
	for i, o := range outputs {
		target := filepath.Join(dir, o.Name)
		if err := put.put(temporary[i], target); err != nil {
			return fmt.Errorf("%s cannot be put in its place, so nothing was written: %w", target, err)
		}
	}
	return nil
}

func render(outputs []export.File) ([][]byte, error) {
	var all [][]byte
	for _, o := range outputs {
		var b bytes.Buffer
		if err := o.Write(&b); err != nil {
			return nil, fmt.Errorf("%s cannot be made: %w", o.Name, err)
		}
		all = append(all, b.Bytes())
	}
	return all, nil
}

// namedAtMost is how many files an error names.
const namedAtMost = 4

func refuseExisting(dir string, outputs []export.File) error {
	var there []string
	for _, o := range outputs {
		if _, err := os.Lstat(filepath.Join(dir, o.Name)); err == nil {
			there = append(there, o.Name)
		}
	}
	if len(there) == 0 {
		return nil
	}
	names := strings.Join(there[:min(namedAtMost, len(there))], ", ")
	if more := len(there) - namedAtMost; more > 0 {
		names += fmt.Sprintf(" and %d more of these files", more)
	}
	return fmt.Errorf("the folder %q already holds %s; nothing was written. Give another folder, or --force to replace them", dir, names)
}

// makeDir makes dir, and the folders above it, where they are not there. It returns
// those that were not, the innermost first.
func makeDir(dir string) (made []string, err error) {
	for at := filepath.Clean(dir); ; at = filepath.Dir(at) {
		if _, err := os.Stat(at); !errors.Is(err, os.ErrNotExist) {
			break
		}
		made = append(made, at)
	}
	if err := os.MkdirAll(dir, 0o777); err != nil { // fails where dir is a file
		return nil, err
	}
	return made, nil
}

// writeBeside writes a temporary file in dir and returns its path, which is not empty
// as soon as there is such a file.
func writeBeside(dir, name string, content []byte) (path string, err error) {
	f, err := os.CreateTemp(dir, "."+name+".*")
	if err != nil {
		return "", err
	}
	_, werr := f.Write(content)
	err = errors.Join(werr, f.Chmod(0o644), f.Sync(), f.Close())
	return f.Name(), err
}
