// Package framefile changes lengths in the text of a frame file, as a hand in an editor would:
// only the numbers that change are replaced, and all else stays to the byte.
package framefile

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"

	"rackwright/frame"
	"rackwright/geom"
)

// Shape is something of a frame file that can be moved or made wider.
type Shape struct {
	List   string      `json:"list"`   // opening, rails or keepouts, as in the file
	Index  int         `json:"index"`  // in its list
	Name   string      `json:"name"`   // to show
	Form   Form        `json:"form"`   // what its points are
	Points [][]float64 `json:"points"` // in mm, in the order of the file; none where it stands on marks
	Sizes  []Size      `json:"sizes"`  // in the order of the file
}

// Size is a length of a shape beside its points, such as a diameter.
type Size struct {
	Name string  `json:"name"` // to show
	MM   float64 `json:"mm"`
}

// Form tells what the points of a shape are.
type Form string

// The forms of shapes.
const (
	Outline Form = "outline" // corners [x, z], the last meets the first
	Path    Form = "path"    // points [x, y, z] on the middle of a tube
	Box     Form = "box"     // its low and its high corner [x, y, z]
	Round   Form = "round"   // the middles of its flat ends [x, y, z]
)

// Errors of Edit, wrapped with what to do.
var (
	ErrNoShape  = errors.New("the frame file has no such thing that can be moved")
	ErrCorners  = errors.New("the number of corners is another")
	ErrInPlace  = errors.New("the frame file cannot be changed in place")
	ErrNoNumber = errors.New("a length is no number")
)

// Shapes returns what can be moved or made wider in a frame file. What stands on marks has no
// points here, for it moves with what was taped. The error is that of frame.Read.
func Shapes(text []byte) ([]Shape, error) {
	d, err := open(text)
	if err != nil {
		return nil, err
	}
	shapes := []Shape{}
	for _, p := range d.places() {
		if len(p.points)+len(p.sizes) > 0 {
			shapes = append(shapes, p.shape)
		}
	}
	return shapes, nil
}

// Edit puts the points and sizes of a shape into the text of a frame file. An outline may have
// another number of corners where its sides have no names. The text that is returned has been
// read again; otherwise the error says why not.
func Edit(text []byte, shape Shape) ([]byte, error) {
	if !finite(shape) {
		return nil, ErrNoNumber
	}
	d, err := open(text)
	if err != nil {
		return nil, err
	}
	for _, p := range d.places() {
		if sameThing(p.shape, shape) {
			return d.edit(p, shape)
		}
	}
	return nil, ErrNoShape
}

func sameThing(a, b Shape) bool { return a.List == b.List && a.Index == b.Index }

func finite(s Shape) bool {
	all := slices.Concat(s.Points...)
	for _, size := range s.Sizes {
		all = append(all, size.MM)
	}
	return !slices.ContainsFunc(all, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) })
}

// document is a frame file that reads well.
type document struct {
	text []byte
	unit geom.Unit
	root *ast.MappingNode
}

// byteOrderMark is what some editors begin a text with; the parser does not know it.
var byteOrderMark = []byte("\xef\xbb\xbf")

func open(text []byte) (*document, error) {
	f, err := frame.Read(bytes.NewReader(text), "the frame file")
	if err != nil {
		return nil, err
	}
	// The parser counts a line that ends as in Windows twice; a line and a column are the same.
	plain := bytes.ReplaceAll(bytes.TrimPrefix(text, byteOrderMark), []byte("\r\n"), []byte("\n"))
	file, err := parser.ParseBytes(plain, 0)
	if err != nil || len(file.Docs) == 0 {
		return nil, fmt.Errorf("%w: it is no YAML", ErrInPlace)
	}
	root, ok := file.Docs[0].Body.(*ast.MappingNode)
	if !ok {
		return nil, fmt.Errorf("%w: it is no mapping", ErrInPlace)
	}
	return &document{text, f.Unit, root}, nil
}
