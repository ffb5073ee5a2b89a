// Package layoutfile writes and reads layouts as YAML: the placements, the hashes of
// the files they were made for, and the order in which the boxes go in.
package layoutfile

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/frame/strict"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
)

// File is what a layout file holds.
type File struct {
	Layout pack.Layout
	Order  entry.Order // no steps when none is given
}

// Write writes a layout file. Numbers read back as they were.
func Write(w io.Writer, f File) error {
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, "# Where the boxes go: centre [x, y, z] in mm; up and front name the box's own faces\n")
	fmt.Fprintf(b, "# that look up and forward. Change it by hand if you like, then run check on it. A box\n# with pinned: true stays where it is in fit --pin of this file.\n")
	fmt.Fprintf(b, "format: 1\nframe_sha256: %q\npack_sha256: %q\n", f.Layout.FrameHash, f.Layout.PackHash)
	writePlacements(b, f.Layout.Placements)
	writeOrder(b, f.Order.Steps)
	return b.Flush()
}

func writePlacements(b *bufio.Writer, all []pack.Placement) {
	if len(all) == 0 {
		fmt.Fprintln(b, "placements: []")
		return
	}
	fmt.Fprintln(b, "placements:")
	for _, p := range all {
		pinned := ""
		if p.Pinned {
			pinned = ", pinned: true"
		}
		fmt.Fprintf(b, "  - {box: %s, number: %d, up: %s, front: %s, tilt_deg: %s, centre_mm: %s%s}\n",
			strconv.Quote(p.Box), p.Number, p.Up, p.Front, decimal(Degrees(p.Tilt)), triple(p.Centre), pinned)
	}
}

func writeOrder(b *bufio.Writer, steps []entry.Step) {
	if len(steps) == 0 {
		return
	}
	fmt.Fprintf(b, "# The order in: each box with its straight moves [x, y, z] in mm, first to last,\n# and what has to be off meanwhile.\norder:\n")
	for _, s := range steps {
		fmt.Fprintf(b, "  - {box: %s, number: %d, legs: %s, off: %s}\n",
			strconv.Quote(s.Box), s.Number, listed(s.Legs, triple), listed(s.Off, strconv.Quote))
	}
}

func listed[T any](all []T, text func(T) string) string {
	list := make([]string, len(all))
	for i, v := range all {
		list[i] = text(v)
	}
	return "[" + strings.Join(list, ", ") + "]"
}

// decimal is the shortest number that reads back as v, and 0 for -0.
func decimal(v float64) string { return strconv.FormatFloat(v+0, 'g', -1, 64) }

func triple(v r3.Vector) string {
	return "[" + decimal(v.X) + ", " + decimal(v.Y) + ", " + decimal(v.Z) + "]"
}

// Degrees is an angle in degrees, with the last digits that the conversion from
// degrees has put there rounded away.
func Degrees(a s1.Angle) float64 {
	d, _ := strconv.ParseFloat(strconv.FormatFloat(a.Degrees(), 'g', 13, 64), 64)
	return d
}

type layoutFile struct {
	Format     int             `yaml:"format"`
	FrameHash  string          `yaml:"frame_sha256,omitempty"`
	PackHash   string          `yaml:"pack_sha256,omitempty"`
	Placements []placementFile `yaml:"placements"`
	Order      []stepFile      `yaml:"order,omitempty"`
}

type placementFile struct {
	Box    strict.Name   `yaml:"box"`
	Number int           `yaml:"number"`
	Up     string        `yaml:"up"`
	Front  string        `yaml:"front"`
	Tilt   float64       `yaml:"tilt_deg,omitempty"`
	Centre strict.Point3 `yaml:"centre_mm"`
	Pinned bool          `yaml:"pinned,omitempty"`
}

type stepFile struct {
	Box    strict.Name    `yaml:"box"`
	Number int            `yaml:"number"`
	Legs   []strict.Move3 `yaml:"legs"`
	Off    []strict.Name  `yaml:"off,omitempty"`
}

// Limits of a layout file: far more than any way in needs.
const (
	MaxLegs = 16  // of a step
	MaxOff  = 192 // things off during a step: all rails twice, and all keep-outs
)

// Read reads a layout file. name stands for the file in messages. Errors about the
// content are strict.Errors. What the boxes are called is not checked here: Check does.
func Read(r io.Reader, name string) (File, error) {
	var file layoutFile
	var out File
	err := strict.Read(name, r, &file, func(d *strict.Decoder) {
		d.Unit = geom.Millimetre
		out = build(d, &file)
	})
	return out, err
}

func build(d *strict.Decoder, file *layoutFile) File {
	if file.Format != 1 {
		d.At(&file.Format, strict.OutOfRange, "this program reads format 1")
	}
	for _, h := range []*string{&file.FrameHash, &file.PackHash} {
		if !isHash(*h) {
			d.At(h, strict.BadValue, "this is no SHA-256 of a file: leave the line out, or take the one that fit wrote")
		}
	}
	most(d, &file.Placements, len(file.Placements), pack.MaxBoxes, "boxes")
	most(d, &file.Order, len(file.Order), pack.MaxBoxes, "steps")
	out := File{Layout: pack.Layout{FrameHash: file.FrameHash, PackHash: file.PackHash}}
	for i := range file.Placements {
		out.Layout.Placements = append(out.Layout.Placements, placement(d, &file.Placements[i]))
	}
	for i := range file.Order {
		out.Order.Steps = append(out.Order.Steps, step(d, &file.Order[i]))
	}
	return out
}

// Line is the line of a layout file on which a box stands last, 0 where it does not.
func Line(r io.Reader, name string, box pack.Part) int {
	var file layoutFile
	line := 0
	_ = strict.Read(name, r, &file, func(d *strict.Decoder) { // its errors have been told
		for i := range file.Placements {
			if f := &file.Placements[i]; string(f.Box) == box.Box && f.Number == box.Number {
				line = d.Line(&f.Box)
			}
		}
	})
	return line
}

// ReadPins reads a layout file for its pins: the placements with pinned: true. A pin that
// the problem's rules are against (see pack.Problem.CheckPin), or a file without pins, is
// an error like any other of the content.
func ReadPins(r io.Reader, name string, problem pack.Problem) ([]pack.Placement, error) {
	var text bytes.Buffer
	if _, err := Read(io.TeeReader(r, &text), name); err != nil {
		return nil, err
	}
	var file layoutFile
	var pins []pack.Placement
	err := strict.Read(name, &text, &file, func(d *strict.Decoder) { pins = pinsIn(d, &file, problem) })
	if err != nil {
		return nil, err
	}
	return pins, nil
}

// pinsIn takes the pins of a file that is sound by itself.
func pinsIn(d *strict.Decoder, file *layoutFile, problem pack.Problem) []pack.Placement {
	problem.Pins = nil
	for i := range file.Placements {
		f := &file.Placements[i]
		if !f.Pinned {
			continue
		}
		pin := placement(d, f)
		faults := problem.CheckPin(pin)
		for _, fault := range faults {
			d.At(f, strict.BadValue, "%s", fault.Text)
		}
		if len(faults) == 0 {
			problem.Pins = append(problem.Pins, pin)
		}
	}
	if pinned := func(f placementFile) bool { return f.Pinned }; !slices.ContainsFunc(file.Placements, pinned) {
		d.At(&file.Placements, strict.BadValue, "no box is pinned; write pinned: true at those that are to stay where they are")
	}
	return problem.Pins
}

// isHash tells whether a text is hexadecimal and not longer than a SHA-256.
func isHash(text string) bool {
	return len(text) <= 64 && strings.Trim(text, "0123456789abcdefABCDEF") == ""
}

func most(d *strict.Decoder, at any, n, limit int, what string) {
	if n > limit {
		d.At(at, strict.TooLarge, "%d %s are more than the %d that are allowed", n, what, limit)
	}
}

func placement(d *strict.Decoder, f *placementFile) pack.Placement {
	if math.Abs(f.Tilt) > pack.MaxTilt {
		d.At(&f.Tilt, strict.OutOfRange, "a tilt is within ±%d degrees, not %g: beyond it another stand is meant", pack.MaxTilt, f.Tilt)
	}
	up, upErr := face(d, &f.Up)
	front, frontErr := face(d, &f.Front)
	if upErr == nil && frontErr == nil && up.Axis() == front.Axis() {
		d.At(&f.Front, strict.BadValue, "up and front have to be two faces next to each other, not %s and %s", up, front)
	}
	number(d, &f.Number)
	return pack.Placement{
		Box: string(f.Box), Number: f.Number, Centre: vector(f.Centre), Pinned: f.Pinned,
		Orientation: pack.Orientation{Up: up, Front: front, Tilt: s1.Angle(f.Tilt) * s1.Degree},
	}
}

func face(d *strict.Decoder, word *string) (pack.Face, error) {
	f, err := pack.ParseFace(*word)
	if err != nil {
		d.At(word, strict.BadValue, "%s", err)
	}
	return f, err
}

// number checks the number of a box: 1 to the most that a pack can have.
func number(d *strict.Decoder, n *int) {
	if *n < 1 || *n > pack.MaxBoxes {
		d.At(n, strict.OutOfRange, "boxes of a kind are numbered from 1 to %d at most, not %d", pack.MaxBoxes, *n)
	}
}

func step(d *strict.Decoder, f *stepFile) entry.Step {
	most(d, &f.Legs, len(f.Legs), MaxLegs, "legs")
	most(d, &f.Off, len(f.Off), MaxOff, "things off")
	number(d, &f.Number)
	s := entry.Step{Box: string(f.Box), Number: f.Number}
	for _, l := range f.Legs {
		s.Legs = append(s.Legs, vector(strict.Point3(l)))
	}
	for _, o := range f.Off {
		s.Off = append(s.Off, string(o))
	}
	return s
}

func vector(p strict.Point3) r3.Vector { return r3.Vector{X: p[0], Y: p[1], Z: p[2]} }
