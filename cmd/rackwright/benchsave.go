package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"rackwright/export/bench"
	"rackwright/export/layoutfile"
)

// Save puts parts of work into their files: the new text or the old one is there, never half of
// it, and nothing that was changed meanwhile is written over unless how says so.
func (b *benchFiles) Save(w bench.Work, parts bench.Parts, how bench.Choice) (saved bench.Parts, words string, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	now, err := b.now(context.Background())
	if err != nil {
		return saved, "", err
	}
	asked := b.asked
	changed := b.changed(now, parts)
	layout, boxes, err := b.layoutText(w, parts)
	if err != nil {
		return saved, "", err
	}
	if changed == nil && boxes && how == bench.Ask {
		changed = &bench.ChangedError{Boxes: true, Parts: bench.Parts{Layout: true}, Names: []string{b.paths[layoutFile]}, Beside: []string{beside(b.paths[layoutFile])}}
	}
	if changed != nil && (how == bench.Ask || how == bench.Over && !asked.equal(b.asked)) {
		return saved, "", changed
	}
	to := b.paths
	if how == bench.Beside {
		to = b.aside(changed, boxes, now)
	}
	return b.write(to, texts{frameFile: w.Frame, layoutFile: layout}, now, parts)
}

// aside are the paths with those that were changed moved beside them.
func (b *benchFiles) aside(changed *bench.ChangedError, boxes bool, now texts) [3]string {
	to := b.paths
	for i := range to {
		if changed != nil && listed(changed.Parts)[i] && now[i] != nil || i == layoutFile && boxes {
			to[i] = beside(to[i])
		}
	}
	return to
}

// write puts parts into files, one after the other. What is in them already is as now says.
func (b *benchFiles) write(to [3]string, with, now texts, parts bench.Parts) (bench.Parts, string, error) {
	var done [3]bool
	var names []string
	var err error
	for i, asked := range listed(parts) {
		if !asked || err != nil {
			continue
		}
		was := now[i]
		if to[i] != b.paths[i] {
			was = nil
		}
		if err = b.put(to[i], with[i], was); err == nil {
			b.paths[i], b.read[i], done[i] = to[i], with[i], true
			names = append(names, to[i])
		}
	}
	words := "Saved: " + strings.Join(names, " and ") + "."
	return partsOf(done), words, err
}

// layoutText is the text of the layout file with a layout in it. boxes tells that it had other
// boxes, and is written anew.
func (b *benchFiles) layoutText(w bench.Work, parts bench.Parts) (text []byte, boxes bool, err error) {
	if !parts.Layout {
		return nil, false, nil
	}
	l := w.Layout
	l.FrameHash, l.PackHash = w.Problem.Frame.Hash, w.Problem.Pack.Hash // what it was judged with
	if b.read[layoutFile] != nil {
		text, err = layoutfile.Edit(b.read[layoutFile], l)
		if boxes = errors.Is(err, layoutfile.ErrOtherBoxes); !boxes {
			return text, false, err
		}
	}
	var out bytes.Buffer
	err = layoutfile.Write(&out, layoutfile.File{Layout: l})
	return out.Bytes(), boxes, err
}

// put puts a new text into a file that holds another, or nil for none: that or the new one is
// there at any time.
func (b *benchFiles) put(path string, text, was []byte) error {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	temporary, err := writeBeside(filepath.Dir(path), filepath.Base(path), text)
	if about, serr := os.Stat(path); err == nil && serr == nil {
		err = os.Chmod(temporary, about.Mode().Perm())
	}
	if err == nil {
		err = b.swap(temporary, path, was)
	}
	if err != nil && temporary != "" {
		os.Remove(temporary)
	}
	return err
}

// swap renames a new file to the path of one that still has to be as it was.
func (b *benchFiles) swap(temporary, path string, was []byte) error {
	now, err := textOfFile(context.Background(), path)
	switch {
	case errors.Is(err, os.ErrNotExist) && was == nil:
	case err == nil && was != nil && bytes.Equal(now, was):
	case err == nil || errors.Is(err, os.ErrNotExist):
		return fmt.Errorf("%s was changed at this very moment, and is left as it is: save again", path)
	default:
		return err
	}
	if err := b.rename(temporary, path); err != nil {
		return fmt.Errorf("%s cannot be written, and is as it was: %w", path, err)
	}
	return nil
}
