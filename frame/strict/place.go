package strict

import (
	"reflect"
	"slices"

	"github.com/goccy/go-yaml/ast"
)

// Place2 and Place3 are a point, or the name of a mark that lies there.
type (
	Place2 struct {
		Point Point2
		Mark  string // empty where the point is given
	}
	Place3 struct {
		Point Point3
		Mark  string
	}
)

// Decode implements Custom.
func (p *Place2) Decode(d *Decoder, n ast.Node) { d.pointOrMark(n, p.Point[:], &p.Mark) }

// Decode implements Custom.
func (p *Place3) Decode(d *Decoder, n ast.Node) { d.pointOrMark(n, p.Point[:], &p.Mark) }

func (d *Decoder) pointOrMark(n ast.Node, into []float64, mark *string) {
	if text, ok := textOf(n); ok && text != "" {
		*mark = text
		return
	}
	d.lengths(n, MaxLength, into)
}

// Pivot is what something turns about: a point of the side view [x, z], a point [x, y, z], or
// the name of a mark. InSideView tells that there is no y.
type Pivot struct {
	At         Place3
	InSideView bool
}

// Decode implements Custom.
func (p *Pivot) Decode(d *Decoder, n ast.Node) {
	if s, ok := n.(*ast.SequenceNode); ok && len(s.Values) == 2 {
		var flat Point2
		flat.Decode(d, n)
		p.At.Point, p.InSideView = Point3{flat[0], 0, flat[1]}, true
		return
	}
	p.At.Decode(d, n)
}

// Named is a name alone, or keys with values of which name is one. T is a struct with such a
// key.
type Named[T any] struct{ Of T }

// Decode implements Custom.
func (x *Named[T]) Decode(d *Decoder, n ast.Node) {
	v := reflect.ValueOf(&x.Of).Elem()
	if isObject(n) {
		d.value(v, n)
		return
	}
	fields := fieldsOf(v.Type())
	i := slices.IndexFunc(fields, func(f field) bool { return f.key == "name" })
	before := len(d.errs) + d.more
	d.value(v.FieldByIndex(fields[i].index), n)
	d.places[&x.Of] = place{n, len(d.errs)+d.more > before}
}

// Long returns the type of the form with keys.
func (Named[T]) Long() reflect.Type { return reflect.TypeFor[T]() }
