package framefile

import (
	"fmt"

	"github.com/goccy/go-yaml/ast"

	"rackwright/geom"
)

// place is where a shape stands in the text.
type place struct {
	shape  Shape
	list   *ast.SequenceNode // of its points, where these stand in one
	points [][]ast.Node
	sizes  []ast.Node
	sides  bool // the sides between its corners have names
}

// places finds all that can be moved or made wider.
func (d *document) places() (list []place) {
	opening := valueOf(d.root, "opening")
	list = append(list, d.outlined(opening, Shape{List: "opening", Name: "the opening"}))
	for i, m := range itemsOf(d.root, "rails") {
		p := place{shape: Shape{List: "rails", Index: i, Name: nameOf(m), Form: Path}}
		d.listed(&p, valueOf(m, "path"))
		d.size(&p, "diameter", valueOf(m, "diameter"))
		list = append(list, p)
	}
	for i, m := range itemsOf(d.root, "keepouts") {
		list = append(list, d.keepOut(m, Shape{List: "keepouts", Index: i, Name: nameOf(m)}))
	}
	return list
}

// keepOut finds the one form that a keep-out has.
func (d *document) keepOut(m ast.Node, s Shape) place {
	if box := valueOf(m, "box"); box != nil {
		s.Form = Box
		p := place{shape: s}
		d.ends(&p, valueOf(box, "low"), valueOf(box, "high"))
		return p
	}
	if round := valueOf(m, "round"); round != nil {
		s.Form = Round
		p := place{shape: s}
		d.ends(&p, valueOf(round, "from"), valueOf(round, "to"))
		d.size(&p, "diameter", valueOf(round, "diameter"))
		return p
	}
	return d.outlined(m, s)
}

// outlined finds an outline and its widths.
func (d *document) outlined(m ast.Node, s Shape) place {
	s.Form = Outline
	p := place{shape: s, sides: valueOf(m, "sides") != nil}
	d.listed(&p, valueOf(m, "outline"))
	d.width(&p, "width across", valueOf(m, "across"))
	for i, station := range itemsOf(m, "stations") {
		d.size(&p, fmt.Sprintf("height z of station %d", i+1), valueOf(station, "z"))
		d.width(&p, fmt.Sprintf("width across at station %d", i+1), valueOf(station, "across"))
	}
	return p
}

// listed finds the points of a list, where none of them is a mark.
func (d *document) listed(p *place, list ast.Node) {
	if s, ok := list.(*ast.SequenceNode); ok {
		p.list = s
		d.ends(p, s.Values...)
	}
}

// ends finds points, where none of them is a mark.
func (d *document) ends(p *place, points ...ast.Node) {
	count := 3
	if p.shape.Form == Outline {
		count = 2
	}
	for _, v := range points {
		list, ok := v.(*ast.SequenceNode)
		if !ok || len(list.Values) != count {
			p.points, p.shape.Points = nil, nil
			return
		}
		var at []float64
		for _, n := range list.Values {
			if mm, ok := d.length(n); ok {
				at = append(at, mm)
			}
		}
		if len(at) != count {
			p.points, p.shape.Points = nil, nil
			return
		}
		p.points, p.shape.Points = append(p.points, list.Values), append(p.shape.Points, at)
	}
}

// width finds a width: the whole, or [right, left].
func (d *document) width(p *place, name string, n ast.Node) {
	list, ok := n.(*ast.SequenceNode)
	if !ok {
		d.size(p, name, n)
		return
	}
	for i, v := range list.Values {
		d.size(p, name+", y of its "+[]string{"right", "left"}[i%2], v)
	}
}

// size finds one length.
func (d *document) size(p *place, name string, n ast.Node) {
	if mm, ok := d.length(n); ok {
		p.sizes, p.shape.Sizes = append(p.sizes, n), append(p.shape.Sizes, Size{name, mm})
	}
}

// length is what is written at a node; ok is false for an alias, which stands elsewhere.
func (d *document) length(n ast.Node) (mm float64, ok bool) {
	switch n.(type) {
	case *ast.IntegerNode, *ast.FloatNode, *ast.StringNode:
		mm, err := geom.ParseLength(n.GetToken().Value, d.unit)
		return mm, err == nil
	}
	return 0, false
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
