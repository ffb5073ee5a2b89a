package strict

import (
	"math"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"

	"rackwright/geom"
)

// MaxLength bounds lengths in millimetres: geom.Tolerance counts on places within 16 m, and no
// vehicle is longer.
const MaxLength = 16000

// Length is a length in millimetres: a bare number in the file's unit, or text with one.
type Length float64

// Decode implements Custom.
func (l *Length) Decode(d *Decoder, n ast.Node) { d.within(n, MaxLength, (*float64)(l)) }

// within reads a length of at most so many millimetres either way.
func (d *Decoder) within(n ast.Node, most float64, into *float64) {
	mm, ok := d.length(n)
	if !ok {
		return
	}
	if math.Abs(mm) > most {
		d.at(n, OutOfRange, "%s is beyond ±%g m", describe(n), most/1000)
		return
	}
	*into = mm
}

func (d *Decoder) length(n ast.Node) (float64, bool) {
	if v, ok := numberOf(n); ok {
		return d.Unit.Length(v), true
	}
	s, ok := n.(*ast.StringNode)
	if !ok {
		d.at(n, WrongType, "this has to be a length, not %s", describe(n))
		return 0, false
	}
	mm, err := geom.ParseLength(s.Value, d.Unit)
	if err != nil {
		d.at(n, WrongType, "%s", printable(err.Error()))
		return 0, false
	}
	return mm, true
}

// Mass is a mass in kilograms: a bare number of them, or text with a unit.
type Mass float64

// MaxMass in kilograms is far beyond what anyone lifts into a frame.
const MaxMass = 5000

// Decode implements Custom.
func (m *Mass) Decode(d *Decoder, n ast.Node) {
	kg, ok := numberOf(n)
	if !ok {
		s, isText := n.(*ast.StringNode)
		if !isText {
			d.at(n, WrongType, "this has to be a mass, not %s", describe(n))
			return
		}
		var err error
		if kg, err = geom.ParseMass(s.Value); err != nil {
			d.at(n, WrongType, "%s", printable(err.Error()))
			return
		}
	}
	if kg < 0 || kg > MaxMass {
		d.at(n, OutOfRange, "a mass is from 0 to %d kg", MaxMass)
		return
	}
	*m = Mass(kg)
}

// Name is the name of a thing: 1 to 60 printable characters, no space at the ends.
type Name string

// MaxName is how many characters a name may have.
const MaxName = 60

// Decode implements Custom.
func (s *Name) Decode(d *Decoder, n ast.Node) {
	text, ok := textOf(n)
	*s = Name(text)
	if !ok {
		d.Text(n) // says so
		return
	}
	switch {
	case !d.clean(n, text):
	case text == "" || strings.TrimSpace(text) != text:
		d.at(n, BadName, "a name has at least one character and no space at its ends")
	case utf8.RuneCountInString(text) > MaxName:
		d.at(n, BadName, "a name has at most %d characters", MaxName)
	}
}

// clean refuses characters that cannot be seen or that a terminal acts on.
func (d *Decoder) clean(n ast.Node, text string) bool {
	for _, r := range text {
		if !canShow(r) {
			d.at(n, BadName, "the name holds a character that cannot be shown (U+%04X)", r)
			return false
		}
	}
	return true
}

// Across is a width: the whole, centred on the middle, or [right, left].
type Across struct{ Right, Left float64 }

// Decode implements Custom.
func (a *Across) Decode(d *Decoder, n ast.Node) {
	s, ok := n.(*ast.SequenceNode)
	if !ok {
		var whole Length
		before := len(d.errs)
		whole.Decode(d, n)
		if len(d.errs) == before && whole <= 0 {
			d.at(n, OutOfRange, "a width has to be more than 0")
		}
		*a = Across{-float64(whole) / 2, float64(whole) / 2}
		return
	}
	if len(s.Values) != 2 {
		d.at(n, WrongType, "this has to be a width, or [right, left] such as [-130, 150]")
		return
	}
	var right, left Length
	before := len(d.errs)
	right.Decode(d, s.Values[0])
	left.Decode(d, s.Values[1])
	if len(d.errs) == before && right >= left {
		d.at(n, OutOfRange, "right has to be less than left: y counts to the left")
	}
	*a = Across{float64(right), float64(left)}
}

// Point2 and Point3 are lists of two and three lengths; Move3 is one of a displacement.
type (
	Point2 [2]float64
	Point3 [3]float64
	Move3  [3]float64
)

// MaxMove is the longest displacement in millimetres. Nothing is made at its end, so what is
// rounded does not limit it; what leaves an opening of the greatest size goes some 60 m.
const MaxMove = 1_000_000

// Decode implements Custom.
func (p *Point2) Decode(d *Decoder, n ast.Node) { d.lengths(n, MaxLength, p[:]) }

// Decode implements Custom.
func (p *Point3) Decode(d *Decoder, n ast.Node) { d.lengths(n, MaxLength, p[:]) }

// Decode implements Custom.
func (p *Move3) Decode(d *Decoder, n ast.Node) { d.lengths(n, MaxMove, p[:]) }

func (d *Decoder) lengths(n ast.Node, most float64, into []float64) {
	s, ok := n.(*ast.SequenceNode)
	if !ok {
		d.at(n, WrongType, "this has to be a list of %d lengths, not %s", len(into), describe(n))
		return
	}
	if has := len(s.Values); has != len(into) {
		hint := "a comma goes between two lengths"
		if has > len(into) {
			hint = "decimals have a point: 16.7, not 16,7"
		}
		d.at(n, WrongType, "this has to be a list of %d lengths, not of %d (%s)", len(into), has, hint)
		return
	}
	for i, v := range s.Values {
		d.within(v, most, &into[i])
	}
}

// Words is one word or a list of them.
type Words []string

// Decode implements Custom.
func (w *Words) Decode(d *Decoder, n ast.Node) {
	s, ok := n.(*ast.SequenceNode)
	if !ok {
		*w = Words{d.Text(n)}
		return
	}
	for _, v := range s.Values {
		*w = append(*w, d.Text(v))
	}
}

// Numbers is one number or a list of them.
type Numbers []float64

// Decode implements Custom.
func (x *Numbers) Decode(d *Decoder, n ast.Node) {
	s, ok := n.(*ast.SequenceNode)
	if !ok {
		*x = Numbers{d.Number(n)}
		return
	}
	for _, v := range s.Values {
		*x = append(*x, d.Number(v))
	}
}

// Label is a number or text, as it is written: 35, AWG 2.
type Label string

// Decode implements Custom.
func (l *Label) Decode(d *Decoder, n ast.Node) {
	if _, ok := numberOf(n); ok {
		*l = Label(n.GetToken().Value)
		return
	}
	if text, ok := textOf(n); ok && d.clean(n, text) {
		*l = Label(text)
		return
	}
	d.at(n, WrongType, "this has to be a number or text, not %s", describe(n))
}
