package framefile

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"rackwright/geom"
)

// unmoved is by how much in mm a length has to be another to be written anew: what is typed is finer.
const unmoved = 1e-6

// change replaces bytes of the text.
type change struct {
	from, to int
	with     string
}

// edit writes a shape where it stands, and reads the text again.
func (d *document) edit(p place, to Shape) ([]byte, error) {
	if len(to.Points) > 0 && len(p.points) == 0 {
		return nil, fmt.Errorf("%w: %s stands on marks; change what was taped", ErrNoShape, p.shape.Name)
	}
	if len(to.Sizes) != len(p.sizes) {
		return nil, fmt.Errorf("%w: %s has %d lengths beside its points", ErrNoShape, p.shape.Name, len(p.sizes))
	}
	changes, err := d.moved(p, to.Points)
	for i, size := range to.Sizes {
		if err == nil {
			changes, err = d.changed(changes, p.sizes[i], p.shape.Sizes[i].MM, size.MM)
		}
	}
	if err != nil {
		return nil, err
	}
	return d.checked(d.with(changes), to)
}

// moved replaces the numbers of points that are others, or all of an outline.
func (d *document) moved(p place, points [][]float64) (changes []change, err error) {
	if len(points) != len(p.points) {
		return d.outline(p, points)
	}
	for i, nodes := range p.points {
		if len(points[i]) != len(nodes) {
			return nil, fmt.Errorf("%w: a point of %s has %d lengths", ErrCorners, p.shape.Name, len(nodes))
		}
		for k, n := range nodes {
			if changes, err = d.changed(changes, n, p.shape.Points[i][k], points[i][k]); err != nil {
				return nil, err
			}
		}
	}
	return changes, nil
}

// changed adds the change of a length, where it is another.
func (d *document) changed(changes []change, n ast.Node, from, to float64) ([]change, error) {
	if math.Abs(to-from) <= unmoved {
		return changes, nil
	}
	c, err := d.scalar(n, d.number(to))
	return append(changes, c), err
}

// number is a length in the file's unit, to a hundredth of a millimetre or a thousandth of an
// inch: finer than anyone measures.
func (d *document) number(mm float64) string {
	if d.unit == geom.Inch {
		return decimal(mm/geom.MillimetresPerInch, 1000)
	}
	return decimal(mm, 100)
}

func decimal(v, per float64) string {
	return strconv.FormatFloat(math.Round(v*per)/per+0, 'f', -1, 64)
}

// outline replaces a whole list of corners.
func (d *document) outline(p place, points [][]float64) ([]change, error) {
	switch {
	case p.shape.Form != Outline:
		return nil, fmt.Errorf("%w: %s has %d points", ErrCorners, p.shape.Name, len(p.points))
	case p.sides:
		return nil, fmt.Errorf("%w: the sides of %s have names, one for each of its %d; use as many corners, or take sides (and open) out of the file first", ErrCorners, p.shape.Name, len(p.points))
	case !p.list.IsFlowStyle || p.list.End == nil:
		return nil, fmt.Errorf("%w: write the corners of %s as [[x, z], [x, z], …]", ErrInPlace, p.shape.Name)
	}
	words := make([]string, len(points))
	for i, at := range points {
		if len(at) != 2 {
			return nil, fmt.Errorf("%w: a corner of %s is x and z", ErrCorners, p.shape.Name)
		}
		words[i] = fmt.Sprintf("[%s, %s]", d.number(at[0]), d.number(at[1]))
	}
	from, to := d.offset(p.list.Start.Position), d.offset(p.list.End.Position)
	if from < 0 || to < from || d.text[from] != '[' || d.text[to] != ']' {
		return nil, fmt.Errorf("%w: the corners of %s", ErrInPlace, p.shape.Name)
	}
	return []change{{from, to + 1, "[" + strings.Join(words, ", ") + "]"}}, nil
}

// scalar replaces a number, or a text with its unit.
func (d *document) scalar(n ast.Node, with string) (change, error) {
	t := n.GetToken()
	word := t.Value
	switch t.Type {
	case token.DoubleQuoteType:
		word = `"` + word + `"`
	case token.SingleQuoteType:
		word = "'" + word + "'"
	}
	from := d.offset(t.Position)
	if from < 0 || !bytes.HasPrefix(d.text[from:], []byte(word)) {
		return change{}, fmt.Errorf("%w: line %d, %s", ErrInPlace, t.Position.Line, t.Value)
	}
	return change{from, from + len(word), with}, nil
}

// offset is where a line and a column, which counts characters, stand in the text; −1 for
// nowhere.
func (d *document) offset(p *token.Position) int {
	at := 0
	if bytes.HasPrefix(d.text, byteOrderMark) {
		at = len(byteOrderMark)
	}
	for range p.Line - 1 {
		end := bytes.IndexByte(d.text[at:], '\n')
		if end < 0 {
			return -1
		}
		at += end + 1
	}
	column := 1
	for i := range string(d.text[at:]) {
		if column == p.Column {
			return at + i
		}
		column++
	}
	return -1
}

func (d *document) with(changes []change) []byte {
	slices.SortFunc(changes, func(a, b change) int { return cmp.Compare(a.from, b.from) })
	var out []byte
	last := 0
	for _, c := range changes {
		out = append(append(out, d.text[last:c.from]...), c.with...)
		last = c.to
	}
	return append(out, d.text[last:]...)
}

// rounded is how far in mm a length may be written from what was asked: half of the last digit of
// an inch's thousandths.
const rounded = 0.013

// checked reads an edited text again: what does not say what it is to say is never written.
func (d *document) checked(text []byte, want Shape) ([]byte, error) {
	after, err := open(text)
	if err != nil {
		return nil, fmt.Errorf("this cannot be: %w", err)
	}
	for _, p := range after.places() {
		if sameThing(p.shape, want) && saysSame(p.shape, want) {
			return text, nil
		}
	}
	return nil, fmt.Errorf("%w at %s", ErrInPlace, want.Name)
}

func saysSame(a, b Shape) bool {
	near := func(a, b float64) bool { return math.Abs(a-b) <= rounded }
	points := func(a, b []float64) bool { return slices.EqualFunc(a, b, near) }
	sizes := func(a, b Size) bool { return near(a.MM, b.MM) }
	return slices.EqualFunc(a.Points, b.Points, points) && slices.EqualFunc(a.Sizes, b.Sizes, sizes)
}
