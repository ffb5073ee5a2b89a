// Package layoutfile writes and reads layouts as YAML: the placements, the hashes of
// the files they were made for, and the order in which the boxes go in.
package layoutfile

import (
	"bufio"
	"fmt"
	"io"
	"strconv"

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
	fmt.Fprintf(b, "# that look up and forward. Change it by hand if you like, then run check on it.\n")
	fmt.Fprintf(b, "format: 1\nframe_sha256: %q\npack_sha256: %q\nplacements:\n", f.Layout.FrameHash, f.Layout.PackHash)
	for _, p := range f.Layout.Placements {
		fmt.Fprintf(b, "  - {box: %s, number: %d, up: %s, front: %s, tilt_deg: %s, centre_mm: %s}\n",
			strconv.Quote(p.Box), p.Number, p.Up, p.Front, number(Degrees(p.Tilt)), triple(p.Centre))
	}
	if len(f.Order.Steps) > 0 {
		fmt.Fprintf(b, "# The order in: each box with its straight moves [x, y, z] in mm, first to last,\n# and what has to be off meanwhile.\norder:\n")
	}
	for _, s := range f.Order.Steps {
		fmt.Fprintf(b, "  - {box: %s, number: %d, legs: [", strconv.Quote(s.Box), s.Number)
		for i, leg := range s.Legs {
			fmt.Fprint(b, comma(i), triple(leg))
		}
		fmt.Fprint(b, "], off: [")
		for i, o := range s.Off {
			fmt.Fprint(b, comma(i), strconv.Quote(o))
		}
		fmt.Fprint(b, "]}\n")
	}
	return b.Flush()
}

func comma(i int) string {
	if i == 0 {
		return ""
	}
	return ", "
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func triple(v r3.Vector) string {
	return "[" + number(v.X) + ", " + number(v.Y) + ", " + number(v.Z) + "]"
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
}

type stepFile struct {
	Box    strict.Name     `yaml:"box"`
	Number int             `yaml:"number"`
	Legs   []strict.Point3 `yaml:"legs"`
	Off    []strict.Name   `yaml:"off,omitempty"`
}

// maxLegs is how many legs a step may have: far more than any way in needs.
const maxLegs = 16

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
	if len(file.Placements) > pack.MaxBoxes {
		d.At(&file.Placements, strict.TooLarge, "a layout has at most %d boxes", pack.MaxBoxes)
	}
	out := File{Layout: pack.Layout{FrameHash: file.FrameHash, PackHash: file.PackHash}}
	for i := range file.Placements {
		out.Layout.Placements = append(out.Layout.Placements, placement(d, &file.Placements[i]))
	}
	for i := range file.Order {
		out.Order.Steps = append(out.Order.Steps, step(d, &file.Order[i]))
	}
	return out
}

func placement(d *strict.Decoder, f *placementFile) pack.Placement {
	up, err := pack.ParseFace(f.Up)
	if err != nil {
		d.At(&f.Up, strict.BadValue, "%s", err)
	}
	front, err := pack.ParseFace(f.Front)
	if err != nil {
		d.At(&f.Front, strict.BadValue, "%s", err)
	}
	return pack.Placement{
		Box: string(f.Box), Number: f.Number, Centre: vector(f.Centre),
		Orientation: pack.Orientation{Up: up, Front: front, Tilt: s1.Angle(f.Tilt) * s1.Degree},
	}
}

func step(d *strict.Decoder, f *stepFile) entry.Step {
	if len(f.Legs) > maxLegs {
		d.At(&f.Legs, strict.TooLarge, "a way in has at most %d legs", maxLegs)
	}
	s := entry.Step{Box: string(f.Box), Number: f.Number}
	for _, l := range f.Legs {
		s.Legs = append(s.Legs, vector(l))
	}
	for _, o := range f.Off {
		s.Off = append(s.Off, string(o))
	}
	return s
}

func vector(p strict.Point3) r3.Vector { return r3.Vector{X: p[0], Y: p[1], Z: p[2]} }
