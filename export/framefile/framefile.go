// Package framefile changes corners in the text of a frame file, as a hand in an editor would:
// only the numbers that change are replaced, and all else stays to the byte.
package framefile

import (
	"bytes"
	"errors"
	"fmt"
	"math"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"

	"rackwright/frame"
	"rackwright/geom"
)

// Shape is something of a frame file whose corners can be moved in the side view.
type Shape struct {
	List   string       `json:"list"`   // opening, rails or keepouts, as in the file
	Index  int          `json:"index"`  // in its list
	Name   string       `json:"name"`   // to show
	Closed bool         `json:"closed"` // the last corner meets the first
	Points [][2]float64 `json:"points"` // x and z in mm, in the order of the file
}

// Errors of Edit, wrapped with what to do.
var (
	ErrNoShape  = errors.New("the frame file has no such thing whose corners can be moved")
	ErrCorners  = errors.New("the number of corners is another")
	ErrInPlace  = errors.New("the frame file cannot be changed in place")
	ErrNoNumber = errors.New("a corner is no number")
)

// Shapes returns what can be moved in a frame file: outlines and rails all of whose points are
// numbers. What stands on marks is left out, for it moves with what was taped. The error is that
// of frame.Read.
func Shapes(text []byte) ([]Shape, error) {
	d, err := open(text)
	if err != nil {
		return nil, err
	}
	shapes := []Shape{}
	for _, p := range d.places() {
		if points, ok := d.points(p.node); ok {
			p.shape.Points = points
			shapes = append(shapes, p.shape)
		}
	}
	return shapes, nil
}

// Edit puts the points of a shape into the text of a frame file. An outline may have another
// number of corners where its sides have no names. The text that is returned has been read
// again; otherwise the error says why not.
func Edit(text []byte, shape Shape) ([]byte, error) {
	for _, p := range shape.Points {
		if math.IsNaN(p[0]+p[1]) || math.IsInf(p[0]+p[1], 0) {
			return nil, ErrNoNumber
		}
	}
	d, err := open(text)
	if err != nil {
		return nil, err
	}
	for _, p := range d.places() {
		if p.shape.List == shape.List && p.shape.Index == shape.Index {
			out, err := d.edit(p, shape.Points)
			return d.ended(out), err
		}
	}
	return nil, ErrNoShape
}

// document is a frame file that reads well.
type document struct {
	text    []byte // with lines that end with a line feed alone
	windows bool   // whether they end with a carriage return before it, all of them
	unit    geom.Unit
	root    *ast.MappingNode
}

func open(text []byte) (*document, error) {
	f, err := frame.Read(bytes.NewReader(text), "the frame file")
	if err != nil {
		return nil, err
	}
	windows := bytes.Count(text, []byte("\r\n")) == bytes.Count(text, []byte("\n")) && bytes.Contains(text, []byte("\r\n"))
	if windows { // for the parser counts such lines twice
		text = bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))
	}
	file, err := parser.ParseBytes(text, 0)
	if err != nil || len(file.Docs) == 0 {
		return nil, fmt.Errorf("%w: it is no YAML", ErrInPlace)
	}
	root, ok := file.Docs[0].Body.(*ast.MappingNode)
	if !ok {
		return nil, fmt.Errorf("%w: it is no mapping", ErrInPlace)
	}
	return &document{text, windows, f.Unit, root}, nil
}

// ended ends the lines of a text as the file does.
func (d *document) ended(text []byte) []byte {
	if d.windows {
		return bytes.ReplaceAll(text, []byte("\n"), []byte("\r\n"))
	}
	return text
}

// place is where the points of a shape stand.
type place struct {
	shape Shape
	node  *ast.SequenceNode
	sides bool // the sides between its corners have names
}

// places finds all lists of points that are seen in the side view.
func (d *document) places() (list []place) {
	add := func(m ast.Node, key string, s Shape) {
		if node, ok := valueOf(m, key).(*ast.SequenceNode); ok {
			list = append(list, place{s, node, valueOf(m, "sides") != nil})
		}
	}
	add(valueOf(d.root, "opening"), "outline", Shape{List: "opening", Name: "the opening", Closed: true})
	for i, m := range itemsOf(d.root, "rails") {
		add(m, "path", Shape{List: "rails", Index: i, Name: nameOf(m)})
	}
	for i, m := range itemsOf(d.root, "keepouts") {
		add(m, "outline", Shape{List: "keepouts", Index: i, Name: nameOf(m), Closed: true})
	}
	return list
}

func valueOf(m ast.Node, key string) ast.Node {
	if mapping, ok := m.(*ast.MappingNode); ok {
		for _, v := range mapping.Values {
			if v.Key.GetToken().Value == key {
				return v.Value
			}
		}
	}
	return nil
}

func itemsOf(m ast.Node, key string) []ast.Node {
	if list, ok := valueOf(m, key).(*ast.SequenceNode); ok {
		return list.Values
	}
	return nil
}

func nameOf(m ast.Node) string {
	if v := valueOf(m, "name"); v != nil {
		return v.GetToken().Value
	}
	return ""
}

// points reads x and z of all points; ok is false where one is a mark.
func (d *document) points(list *ast.SequenceNode) (points [][2]float64, ok bool) {
	for _, v := range list.Values {
		x, z, ok := ends(v)
		if !ok {
			return nil, false
		}
		at := [2]float64{}
		for i, n := range []ast.Node{x, z} {
			mm, err := geom.ParseLength(n.GetToken().Value, d.unit)
			if err != nil {
				return nil, false
			}
			at[i] = mm
		}
		points = append(points, at)
	}
	return points, true
}

// ends are x and z of [x, z] or [x, y, z], where these are written there.
func ends(v ast.Node) (x, z ast.Node, ok bool) {
	list, ok := v.(*ast.SequenceNode)
	if !ok || len(list.Values) < 2 {
		return nil, nil, false
	}
	x, z = list.Values[0], list.Values[len(list.Values)-1]
	return x, z, written(x) && written(z)
}

func written(n ast.Node) bool {
	switch n.(type) {
	case *ast.IntegerNode, *ast.FloatNode, *ast.StringNode:
		return true
	}
	return false // an alias, which stands elsewhere
}
