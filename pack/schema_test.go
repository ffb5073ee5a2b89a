package pack

import (
	"strings"
	"testing"

	"rackwright/frame/strict/schematest"
)

func TestSchema(t *testing.T) {
	suite := schematest.Suite{
		Package: "rackwright/pack", Schema: Schema, Document: Document(), Title: SchemaTitle, Text: SchemaText,
		Read: func(text, name string) error {
			_, err := Read(strings.NewReader(text), name)
			return err
		},
		Whole: whole, Files: "pack*.yaml", Beyond: beyondSchema, Sound: sound,
	}
	for _, c := range bad {
		suite.Bad = append(suite.Bad, schematest.Bad{Name: c.name, Old: c.old, New: c.new, Rule: c.rule})
	}
	suite.Run(t)
}

// beyondSchema are the bad files of which a schema cannot tell what is wrong.
var beyondSchema = []string{
	"a floor above its gap", "post off its face", "a post wider than its face", "post over the edge", "post off another face", "a post's name twice", "a name twice",
	"a range that goes down", "a range along no axis", "a range that holds no box",
}

// sound are changes of the whole file that leave it valid.
var sound = [][2]string{
	{"mass: 29 lb", "mass: 13"},
	{"mass: 29 lb", "mass: 900 g"},
	{"    count: 4\n", ""},
	{"count: 4", "count: 1"},
	{"stand: [upright, on-side, on-end, inverted]", "stand: on-end"},
	{"tilt: [0, 12, -7.5]", "tilt: -60"},
	{"[197, 165, 170]", "[7 3/4 in, 16.5 cm, 0.17 m]"},
	{"height: 18, ", ""},
	{`, polarity: "+"`, ""},
	{"volts: 12", "volts: 12.8"},
	{"beside: 4", "beside: 1/8 in"},
}
