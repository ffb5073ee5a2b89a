// Package schemagen makes the JSON Schema of a file format from the type that strict
// decodes it into. It is for generators and tests: no part of the program imports it.
package schemagen

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strconv"
	"strings"

	"github.com/invopop/jsonschema"

	"rackwright/frame/strict"
)

// Generate returns the schema (JSON Schema, draft 2020-12) of a file that is decoded
// into a value of document's type. Keys and whether they have to be there come from
// yaml tags, descriptions and limits from the tags of invopop/jsonschema.
func Generate(document any, title, description string) ([]byte, error) {
	r := reflector()
	s := r.Reflect(document)
	s.Title, s.Description = title, description
	delete(s.Definitions, r.Namer(reflect.TypeOf(document)))
	complete(s)
	for _, d := range s.Definitions {
		complete(d)
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(s); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// The types of strict are first mapped to what the tags of limits apply to, marked by
// a comment; complete puts their whole form in the place.
const (
	length  = "length"
	mass    = "mass"
	across  = "across"
	words   = "words"
	numbers = "numbers"
	point2  = "point2"
	point3  = "point3"
	place2  = "place2"
	place3  = "place3"
	pivot   = "pivot"
	heading = "direction"
)

func mapped(t reflect.Type) *jsonschema.Schema {
	switch t {
	case reflect.TypeFor[strict.Name]():
		return name()
	case reflect.TypeFor[strict.Length]():
		return bounded(length)
	case reflect.TypeFor[strict.Mass]():
		return &jsonschema.Schema{Type: "number", Comments: mass}
	case reflect.TypeFor[strict.Label]():
		return either(&jsonschema.Schema{Type: "number"}, &jsonschema.Schema{Type: "string"})
	case reflect.TypeFor[strict.Masses]():
		return &jsonschema.Schema{Type: "object", AdditionalProperties: anyMass()}
	case reflect.TypeFor[strict.Across]():
		return bounded(across)
	case reflect.TypeFor[strict.Words]():
		return &jsonschema.Schema{Type: "string", Comments: words}
	case reflect.TypeFor[strict.Numbers]():
		return &jsonschema.Schema{Type: "number", Comments: numbers}
	case reflect.TypeFor[strict.Point2]():
		return bounded(point2)
	case reflect.TypeFor[strict.Point3]():
		return bounded(point3)
	case reflect.TypeFor[strict.Direction]():
		return &jsonschema.Schema{Type: "string", Comments: heading}
	case reflect.TypeFor[strict.Place2]():
		return bounded(place2)
	case reflect.TypeFor[strict.Place3]():
		return bounded(place3)
	case reflect.TypeFor[strict.Pivot]():
		return bounded(pivot)
	}
	if n, ok := reflect.Zero(t).Interface().(interface{ Long() reflect.Type }); ok && t.Kind() == reflect.Struct {
		return either(name(), inline(n.Long()))
	}
	return nil
}

// inline is the schema of a type in the place where it is used.
func inline(t reflect.Type) *jsonschema.Schema {
	r := reflector()
	r.DoNotReference = true
	s := r.ReflectFromType(t)
	s.Version = ""
	complete(s)
	return s
}

func reflector() *jsonschema.Reflector {
	return &jsonschema.Reflector{
		FieldNameTag: "yaml", ExpandedStruct: true, Anonymous: true, Mapper: mapped,
		Namer: func(t reflect.Type) string { return strings.TrimSuffix(t.Name(), "File") },
	}
}

// bounded is a number within the limits of lengths. In a file in inches the reader's
// limits are nearer.
func bounded(comment string) *jsonschema.Schema {
	most := strconv.Itoa(strict.MaxLength)
	return &jsonschema.Schema{Type: "number", Comments: comment, Minimum: json.Number("-" + most), Maximum: json.Number(most)}
}

func name() *jsonschema.Schema {
	least, most := uint64(1), uint64(strict.MaxName)
	return &jsonschema.Schema{
		Type: "string", MinLength: &least, MaxLength: &most,
		Pattern: `^[^\s\p{C}]([^\p{C}]*[^\s\p{C}])?$`,
	}
}

// complete gives the schemas within s that mapped has marked their whole form.
func complete(s *jsonschema.Schema) {
	if s == nil {
		return
	}
	if s.Properties != nil {
		for p := s.Properties.Oldest(); p != nil; p = p.Next() {
			complete(p.Value)
		}
	}
	complete(s.Items)
	one := whole(s)
	if one == nil {
		return
	}
	one.Description, one.Examples = s.Description, s.Examples
	*s = *one
}

// whole is the whole form of a marked schema with its limits, and nil for another.
func whole(s *jsonschema.Schema) *jsonschema.Schema {
	switch s.Comments {
	case length:
		return either(limited(s), text(lengthPattern, s))
	case mass:
		return either(limited(s), text(massPattern, s))
	case across:
		return either(limited(s), text(lengthPattern, s), list(anyLength(), 2, 2))
	case words:
		one := &jsonschema.Schema{Type: "string", Enum: s.Enum}
		return either(one, several(one))
	case numbers:
		return either(limited(s), several(limited(s)))
	case point2:
		return list(either(limited(s), text(lengthPattern, s)), 2, 2)
	case point3:
		return list(either(limited(s), text(lengthPattern, s)), 3, 3)
	case place2:
		return either(list(either(limited(s), text(lengthPattern, s)), 2, 2), name())
	case place3:
		return either(list(either(limited(s), text(lengthPattern, s)), 3, 3), name())
	case pivot:
		return either(list(either(limited(s), text(lengthPattern, s)), 2, 3), name())
	case heading:
		return either(&jsonschema.Schema{Type: "string", Enum: []any{"left", "right", "front", "back", "up", "down"}}, list(&jsonschema.Schema{Type: "number"}, 3, 3))
	}
	return nil
}

// The patterns of geom.ParseLength and geom.ParseMass, in what Go and browsers share.
const (
	number        = `\s*(\d+(\s+|\s*-\s*)\d+/\d+|\d+/\d+|\d+(\.\d*)?|\.\d+)\s*`
	lengthPattern = number + `(mm|cm|m|in|inch|inches|"|″)?\s*$`
	massPattern   = number + `(kg|kgs|g|lb|lbs)?\s*$`
)

// text is text with a unit. Where the number may not be negative, nor may the text.
func text(pattern string, s *jsonschema.Schema) *jsonschema.Schema {
	sign := `^\s*[+-]?`
	if s.Minimum == "0" || s.ExclusiveMinimum == "0" {
		sign = `^\s*\+?`
	}
	return &jsonschema.Schema{Type: "string", Pattern: sign + pattern}
}

// limited is a number with the limits of s.
func limited(s *jsonschema.Schema) *jsonschema.Schema {
	one := &jsonschema.Schema{Type: "number", Minimum: s.Minimum, Maximum: s.Maximum, ExclusiveMinimum: s.ExclusiveMinimum}
	if one.ExclusiveMinimum != "" {
		one.Minimum = "" // says less
	}
	return one
}

func anyLength() *jsonschema.Schema {
	free := bounded(length)
	return either(limited(free), text(lengthPattern, free))
}

func anyMass() *jsonschema.Schema {
	free := &jsonschema.Schema{Type: "number", Minimum: "0", Maximum: json.Number(strconv.Itoa(strict.MaxMass))}
	return either(free, text(massPattern, free))
}

func either(all ...*jsonschema.Schema) *jsonschema.Schema { return &jsonschema.Schema{AnyOf: all} }

func list(of *jsonschema.Schema, least, most uint64) *jsonschema.Schema {
	return &jsonschema.Schema{Type: "array", Items: of, MinItems: &least, MaxItems: &most}
}

// several is a list of different things, at least one.
func several(of *jsonschema.Schema) *jsonschema.Schema {
	least := uint64(1)
	return &jsonschema.Schema{Type: "array", Items: of, MinItems: &least, UniqueItems: true}
}
