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

// moved is by how much in mm a corner has to move to be written anew: what is typed is finer.
const moved = 1e-6

// change replaces bytes of the text.
type change struct {
	from, to int
	with     string
}

// edit writes points where a shape stands, and reads the text again.
func (d *document) edit(p place, points [][2]float64) ([]byte, error) {
	old, ok := d.points(p.node)
	if !ok {
		return nil, fmt.Errorf("%w: %s stands on marks; change what was taped", ErrNoShape, p.shape.Name)
	}
	var changes []change
	var err error
	if len(old) == len(points) {
		changes, err = d.corners(p.node, old, points)
	} else {
		changes, err = d.outline(p, points)
	}
	if err != nil {
		return nil, err
	}
	return d.checked(d.with(changes), p, points)
}

// corners replaces the numbers that are others.
func (d *document) corners(list *ast.SequenceNode, old, points [][2]float64) (changes []change, err error) {
	for i, v := range list.Values {
		x, z, _ := ends(v)
		for k, n := range []ast.Node{x, z} {
			if math.Abs(points[i][k]-old[i][k]) <= moved {
				continue
			}
			c, err := d.scalar(n, d.number(points[i][k]))
			if err != nil {
				return nil, err
			}
			changes = append(changes, c)
		}
	}
	return changes, nil
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
func (d *document) outline(p place, points [][2]float64) ([]change, error) {
	switch {
	case !p.shape.Closed:
		return nil, fmt.Errorf("%w: %s has %d points", ErrCorners, p.shape.Name, len(p.node.Values))
	case p.sides:
		return nil, fmt.Errorf("%w: the sides of %s have names, one for each of its %d; use as many corners, or take sides (and open) out of the file first", ErrCorners, p.shape.Name, len(p.node.Values))
	case !p.node.IsFlowStyle || p.node.End == nil:
		return nil, fmt.Errorf("%w: write the corners of %s as [[x, z], [x, z], …]", ErrInPlace, p.shape.Name)
	}
	words := make([]string, len(points))
	for i, at := range points {
		words[i] = fmt.Sprintf("[%s, %s]", d.number(at[0]), d.number(at[1]))
	}
	from, to := d.offset(p.node.Start.Position), d.offset(p.node.End.Position)
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

// rounded is how far in mm a corner may be written from where it was put: half of the last digit of
// an inch's thousandths.
const rounded = 0.013

// checked reads an edited text again: what does not say what it is to say is never written.
func (d *document) checked(text []byte, p place, points [][2]float64) ([]byte, error) {
	after, err := open(text)
	if err != nil {
		return nil, fmt.Errorf("this cannot be: %w", err)
	}
	for _, q := range after.places() {
		if q.shape.List != p.shape.List || q.shape.Index != p.shape.Index {
			continue
		}
		if got, ok := after.points(q.node); ok && slices.EqualFunc(got, points, near) {
			return text, nil
		}
	}
	return nil, fmt.Errorf("%w at %s", ErrInPlace, p.shape.Name)
}

func near(a, b [2]float64) bool {
	return math.Abs(a[0]-b[0]) <= rounded && math.Abs(a[1]-b[1]) <= rounded
}
