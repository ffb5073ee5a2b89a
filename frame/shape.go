package frame

import (
	"rackwright/frame/strict"
	"rackwright/geom"
)

// Shape is the form of a solid thing of the frame. Each kind has a file of its own, with how
// it is written, read, made into solids and notched.
type Shape interface {
	// Solids returns it as convex solids each face nearer to
	// the free space by so many millimetres.
	Solids(nearer float64) []geom.Solid
	// Surface returns it as one side-view outline, not always convex, swept across, that the
	// depth of a notch is measured from; false where it is not like that.
	Surface() (Profile, bool)
	// core returns what of it is d or more from its surface, in convex pieces that are shapes
	// too; none when there is nothing.
	core(d float64) []Shape
	// in returns a keep-out with this as its form.
	in(k KeepOut) KeepOut
}

// Shape returns the form that is set, nil where none is.
func (k KeepOut) Shape() Shape {
	switch {
	case k.Box != nil:
		return *k.Box
	case k.Round != nil:
		return *k.Round
	case k.Piece != nil:
		return Piece(*k.Piece)
	case k.Profile != nil:
		return *k.Profile
	case k.Section != nil:
		return *k.Section
	}
	return nil
}

// withShape returns the keep-out with another form.
func (k KeepOut) withShape(s Shape) KeepOut {
	k.Profile, k.Section, k.Box, k.Round, k.Piece = nil, nil, nil, nil, nil
	return s.in(k)
}

// shapeFile is how a form is written: the keys of one kind.
type shapeFile struct {
	Outline []strict.Place2 `yaml:"outline,omitempty" jsonschema:"minItems=3,maxItems=64,oneof_required=outline,oneof_required=outline and section" jsonschema_description:"Corners [x, z], or marks, of its side view."`
	Across  *strict.Across  `yaml:"across,omitempty" jsonschema:"exclusiveMinimum=0,oneof_required=outline" jsonschema_description:"Width across of the outline: the whole, or [right, left]."`
	Box     *cornersFile    `yaml:"box,omitempty" jsonschema:"oneof_required=box" jsonschema_description:"An upright box by its low and high corner."`
	Round   *roundFile      `yaml:"round,omitempty" jsonschema:"oneof_required=round" jsonschema_description:"A round bar with flat ends, such as a motor."`
}

// shape reads the one form that is given; at is what has it, called what. It is nil where
// that has errors.
func (r *reader) shape(at any, f *shapeFile, what string) Shape {
	outlined, forms := r.Given(&f.Outline) || r.Given(&f.Across), 0
	for _, given := range []bool{outlined, f.Box != nil, f.Round != nil} {
		if given {
			forms++
		}
	}
	switch {
	case forms != 1:
		r.At(at, strict.BadValue, "%s is given by exactly one of: outline with across, box, round", what)
	case f.Box != nil:
		if c := r.corners(f.Box); r.known(&f.Box.Low, &f.Box.High) {
			return c
		}
	case f.Round != nil:
		if c := r.round(f.Round); r.known(&f.Round.From, &f.Round.To) {
			return c
		}
	default:
		if p, ok := r.profile(at, f); ok {
			return p
		}
	}
	return nil
}
