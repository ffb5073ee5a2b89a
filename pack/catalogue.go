package pack

import (
	"io"
	"slices"

	"rackwright/frame/strict"
	"rackwright/geom"
)

// MaxBatteries is how many batteries a catalogue may have.
const MaxBatteries = 500

// Catalogue is a catalogue file: batteries that could be bought.
type Catalogue struct {
	Name      string
	Unit      geom.Unit // of its bare lengths
	Currency  string    // of its prices, as it is to be shown; may be empty
	Batteries []Battery
	Hash      string // SHA-256 of the file, in hexadecimal
}

// Battery is an entry of a catalogue: a kind of box with a voltage and a capacity, of which there
// are as many as one buys.
type Battery struct {
	Kind
	Price float64 // of one, in the currency of the catalogue; negative when not given
	Line  int     // of the file where it begins
}

type catalogueFile struct {
	Format    int           `yaml:"format"`
	Catalogue strict.Name   `yaml:"catalogue"`
	Units     string        `yaml:"units,omitempty"`
	Currency  strict.Name   `yaml:"currency,omitempty"`
	Batteries []batteryFile `yaml:"batteries"`
}

// batteryFile has the keys of a kind of box in a pack file, and a price.
type batteryFile struct {
	kindFile
	Price *float64 `yaml:"price,omitempty"`
}

// ReadCatalogue reads a catalogue in YAML. name stands for the file in messages. Errors about the
// file's content are strict.Errors: all that is wrong, each with its place.
func ReadCatalogue(r io.Reader, name string) (*Catalogue, error) {
	var file catalogueFile
	var c *Catalogue
	err := strict.Read(name, r, &file, func(d *strict.Decoder) {
		c = (&reader{Decoder: d, file: &packFile{}}).catalogue(&file)
	})
	if err != nil {
		return nil, err
	}
	return c, nil
}

func (r *reader) catalogue(f *catalogueFile) *Catalogue {
	if f.Format != 1 {
		r.At(&f.Format, strict.OutOfRange, "this program reads format 1")
	}
	if f.Units != "" {
		if _, err := geom.ParseUnit(f.Units); err != nil {
			r.At(&f.Units, strict.BadValue, "%s", err)
		}
	}
	switch {
	case len(f.Batteries) == 0:
		r.At(&f.Batteries, strict.BadValue, "a catalogue needs at least one battery")
	case len(f.Batteries) > MaxBatteries:
		r.At(&f.Batteries, strict.TooLarge, "%d batteries are more than the %d that are allowed", len(f.Batteries), MaxBatteries)
		return nil
	}
	c := &Catalogue{Name: string(f.Catalogue), Unit: r.Unit, Currency: string(f.Currency), Hash: r.Hash}
	for i := range f.Batteries {
		b := r.battery(&f.Batteries[i])
		if slices.ContainsFunc(c.Batteries, func(o Battery) bool { return o.Name == b.Name }) {
			r.At(&f.Batteries[i].Name, strict.BadName, "another battery has this name")
		}
		c.Batteries = append(c.Batteries, b)
	}
	return c
}

// mostPrice is beyond any battery in any currency.
const mostPrice = 1e9

func (r *reader) battery(f *batteryFile) Battery {
	b := Battery{Kind: r.kind(&f.kindFile), Price: -1, Line: r.Line(f)}
	if r.Given(&f.Count) {
		r.At(&f.Count, strict.UnknownKey, "a catalogue tells of one battery, not how many: leave out count; rackwright compare tries every count")
	}
	if f.Volts == 0 {
		r.missing(&f.Volts, f, "volts", "the nominal voltage of one")
	}
	if f.AmpHours == 0 {
		r.missing(&f.AmpHours, f, "amp_hours", "the capacity of one")
	}
	if f.Price != nil {
		b.Price = *f.Price
		r.between(f.Price, b.Price, 0, mostPrice, "a price")
	}
	return b
}

// missing says of a number that it has to be given, or to be more than 0.
func (r *reader) missing(at *float64, of *batteryFile, key, what string) {
	if r.Given(at) {
		r.At(at, strict.OutOfRange, "%s has to be more than 0", what)
		return
	}
	r.At(of, strict.MissingKey, "the key %s is missing: %s, without which its energy is not known", key, what)
}
