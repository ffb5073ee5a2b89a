package rack

import (
	"io"

	"github.com/golang/geo/r2"

	"rackwright/frame/strict"
)

// Stock is what is on hand or can be bought: sections, rods, the length that they come in.
type Stock struct {
	Angles []Section
	Flats  []Section
	Plates []float64 // thicknesses of sheet that plates are cut from, mm
	Rods   []string  // sizes of threaded rod, and of bolts
	Give   float64   // mm that foam lets a box move
	Bought Lengths
}

// Lengths are those in which metal is bought, and what the saw takes, mm.
type Lengths struct {
	Bar  float64
	Rod  float64 // threaded
	Kerf float64
	// Sheet is the size of the sheets that plates are cut from.
	Sheet r2.Point
}

// DefaultLengths are what a shop for metal has, and a hacksaw's kerf: our own choice.
var DefaultLengths = Lengths{Bar: 2000, Rod: 1000, Kerf: 1.5, Sheet: r2.Point{X: 500, Y: 250}}

// DefaultStock is what a shop for metal has: our own choice.
func DefaultStock() Stock {
	return Stock{
		Angles: []Section{{Angle, 25, 3}, {Angle, 30, 3}, {Angle, 20, 3}},
		Flats:  []Section{{Flat, 25, 3}, {Flat, 30, 4}},
		Plates: []float64{4},
		Rods:   []string{"M6", "M8", "M10"},
		Give:   DefaultGive, Bought: DefaultLengths,
	}
}

type stockFile struct {
	Format   int             `yaml:"format"`
	Units    string          `yaml:"units,omitempty"`
	Sections []strict.Name   `yaml:"sections"`
	Plates   []strict.Length `yaml:"plates,omitempty"`
	Sheet    []strict.Length `yaml:"sheet,omitempty"`
	Rods     []strict.Name   `yaml:"rods,omitempty"`
	Length   strict.Length   `yaml:"length,omitempty"`
	RodLen   strict.Length   `yaml:"rod_length,omitempty"`
	Kerf     strict.Length   `yaml:"kerf,omitempty"`
	Give     strict.Length   `yaml:"give,omitempty"`
}

// ReadStock reads a stock file. What it does not give is that of DefaultStock.
func ReadStock(r io.Reader, name string) (Stock, error) {
	var file stockFile
	s := DefaultStock()
	err := strict.Read(name, r, &file, func(d *strict.Decoder) { s = buildStock(d, &file) })
	return s, err
}

func buildStock(d *strict.Decoder, f *stockFile) Stock {
	s := DefaultStock()
	if f.Format != 1 {
		d.At(&f.Format, strict.OutOfRange, "this program reads format 1")
	}
	s.Angles, s.Flats = nil, nil
	for i := range f.Sections {
		section, err := ParseSection(string(f.Sections[i]))
		switch {
		case err != nil:
			d.At(&f.Sections[i], strict.BadValue, "%s", err)
		case section.Form == Angle:
			s.Angles = append(s.Angles, section)
		default:
			s.Flats = append(s.Flats, section)
		}
	}
	if len(s.Angles) == 0 {
		d.At(&f.Sections, strict.BadValue, "the stock has no angle: trays are made of equal angle, such as angle 25x25x3")
	}
	if len(s.Flats) == 0 {
		d.At(&f.Sections, strict.BadValue, "the stock has no flat bar, such as flat 25x3")
	}
	readPlates(d, f, &s)
	if len(f.Rods) > 0 {
		s.Rods = nil
	}
	for i := range f.Rods {
		if _, err := ThreadOf(string(f.Rods[i])); err != nil {
			d.At(&f.Rods[i], strict.BadValue, "%s", err)
		}
		s.Rods = append(s.Rods, string(f.Rods[i]))
	}
	for _, l := range []struct {
		at          *strict.Length
		to          *float64
		least, most float64
		what        string
	}{
		{&f.Length, &s.Bought.Bar, 200, 12000, "a length of bar"},
		{&f.RodLen, &s.Bought.Rod, 100, 3000, "a length of rod"},
		{&f.Kerf, &s.Bought.Kerf, 0, 5, "a saw's kerf"},
		{&f.Give, &s.Give, 0.5, 10, "what foam gives"},
	} {
		if !d.Given(l.at) {
			continue
		}
		if v := float64(*l.at); v < l.least || v > l.most {
			d.At(l.at, strict.OutOfRange, "%s is from %g to %g mm, not %g", l.what, l.least, l.most, v)
		}
		*l.to = float64(*l.at)
	}
	return s
}

// readPlates reads what sheet is on hand: a stock file that names none has none.
func readPlates(d *strict.Decoder, f *stockFile, s *Stock) {
	s.Plates = nil
	for i := range f.Plates {
		v := float64(f.Plates[i])
		if v < leastThick || v > mostThick {
			d.At(&f.Plates[i], strict.OutOfRange, "sheet for plates is from %g to %d mm thick, not %g", leastThick, mostThick, v)
		}
		s.Plates = append(s.Plates, v)
	}
	if d.Given(&f.Sheet) {
		s.Bought.Sheet = readSheet(d, f.Sheet, &f.Sheet)
	}
}

// Sizes of sheets in mm.
const (
	leastSheet = 50
	mostSheet  = 3000
)

// readSheet reads the length and width of a sheet.
func readSheet(d *strict.Decoder, sides []strict.Length, at any) r2.Point {
	if len(sides) != 2 {
		d.At(at, strict.BadValue, "a sheet has a length and a width, such as [500, 250]")
		return DefaultLengths.Sheet
	}
	p := r2.Point{X: float64(sides[0]), Y: float64(sides[1])}
	if min(p.X, p.Y) < leastSheet || max(p.X, p.Y) > mostSheet {
		d.At(at, strict.OutOfRange, "the sides of a sheet are from %d to %d mm", leastSheet, mostSheet)
	}
	return p
}
