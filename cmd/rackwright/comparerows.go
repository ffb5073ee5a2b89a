package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"rackwright/export"
	"rackwright/export/compared"
	"rackwright/pack/compare"
)

// book keeps the rows that are done: in memory, and with --out in a file, each as soon as it is done.
type book struct {
	file     *os.File // nil without --out
	outcomes map[int]compare.Outcome
}

// rowsName is the file of a part.
func rowsName(s compare.Shard) string {
	if s == compare.Whole {
		return "rows.jsonl"
	}
	return fmt.Sprintf("rows-%d-of-%d.jsonl", s.Part, s.Of)
}

// open opens the file of rows to go on with, or makes it.
func (c *comparing) open(ctx context.Context) (*book, error) {
	b := &book{outcomes: map[int]compare.Outcome{}}
	if c.out == "" {
		return b, nil
	}
	path := filepath.Join(c.out, rowsName(c.shard))
	part, err := c.readPart(ctx, path)
	switch {
	case c.force || errors.Is(err, fs.ErrNotExist) || errors.Is(err, compared.ErrEmpty):
		return b, b.begin(c, path)
	case err == nil && part.Header != c.about.Header:
		err = fmt.Errorf("%s is of part %s", path, part.Header.Shard())
	}
	if err != nil {
		return nil, fmt.Errorf("%w; give another folder, or --force to begin anew", err)
	}
	if b.file, err = os.OpenFile(path, os.O_WRONLY, 0o644); err != nil {
		return nil, err
	}
	if err := errors.Join(b.file.Truncate(part.Good), seekEnd(b.file)); err != nil {
		return nil, err
	}
	b.outcomes = part.Outcomes
	return b, nil
}

func seekEnd(f *os.File) error {
	_, err := f.Seek(0, io.SeekEnd)
	return err
}

func (c *comparing) readPart(ctx context.Context, path string) (compared.Part, error) {
	return fileOf(ctx, path, func(r io.Reader, name string) (compared.Part, error) {
		return compared.ReadPart(r, name, c.about.Header, c.job.Entries)
	})
}

// begin makes a new file of rows. Without force it does so only where no page of another
// comparison would be replaced in the end.
func (b *book) begin(c *comparing, path string) error {
	if !c.force && c.shard == compare.Whole {
		if err := refuseExisting(c.out, topFiles(c.about)); err != nil {
			return err
		}
	}
	if err := os.MkdirAll(c.out, 0o777); err != nil {
		return fmt.Errorf("the output folder cannot be made: %w", err)
	}
	var err error
	if b.file, err = os.Create(path); err != nil {
		return err
	}
	return b.append(func(w io.Writer) error { return compared.WriteHeader(w, c.about.Header) })
}

// topFiles are the files in the output folder itself.
func topFiles(c compared.Comparison) []export.File {
	for _, f := range c.Files() {
		if f.Name == "" {
			return f.Files
		}
	}
	return nil
}

// append adds a line to the file, and sees that it is on the disk.
func (b *book) append(write func(io.Writer) error) error {
	if b.file == nil {
		return nil
	}
	var line bytes.Buffer
	if err := write(&line); err != nil {
		return err
	}
	_, err := b.file.Write(line.Bytes())
	return errors.Join(err, b.file.Sync())
}

func (b *book) add(e compare.Entry, o compare.Outcome) error {
	b.outcomes[e.Row] = o
	return b.append(func(w io.Writer) error { return compared.WriteRow(w, e, o) })
}

func (b *book) close() {
	if b.file != nil {
		b.file.Close() // each line is on the disk already
	}
}

// merged reads the parts that were named, or are in the output folder.
func (c *comparing) merged(ctx context.Context, paths []string) (map[int]compare.Outcome, error) {
	if len(paths) == 0 {
		paths, _ = filepath.Glob(filepath.Join(escaped(c.out), "rows-*-of-*.jsonl")) // the pattern is sound
	}
	if len(paths) == 0 {
		return nil, fmt.Errorf("there are no parts in %q: each job with --shard writes one there", c.out)
	}
	var parts []compared.Part
	for _, path := range paths {
		part, err := c.readPart(ctx, path)
		if err != nil {
			return nil, err
		}
		parts = append(parts, part)
	}
	return compared.Merge(parts, len(c.job.Entries))
}

// escaped is a folder's name in a pattern.
func escaped(dir string) string {
	return strings.NewReplacer(`\`, `\\`, "*", `\*`, "?", `\?`, "[", `\[`).Replace(dir)
}

// write writes all that follows from the rows: for a part the one file, its rows in order. found are
// the rows as each was found by itself, which the file of rows keeps.
func (c *comparing) write(found []compare.Row) ([]string, error) {
	rows := filepath.Join(c.out, rowsName(c.shard))
	folders := []compared.Folder{{Files: []export.File{{Name: rowsName(c.shard), Write: func(w io.Writer) error {
		return compared.WritePart(w, c.about.Header, found)
	}}}}}
	written := []string{rows}
	if c.shard == compare.Whole {
		folders = append(folders, c.about.Files()...)
		written = []string{filepath.Join(c.out, "compare.html"), rows}
	}
	for _, f := range folders {
		if err := writeAll(filepath.Join(c.out, f.Name), f.Files, true); err != nil {
			return nil, err
		}
	}
	return written, nil
}
