package frame

import (
	"strings"
	"testing"

	"rackwright/frame/strict/schematest"
)

func TestSchema(t *testing.T) {
	suite := schematest.Suite{
		Package: "rackwright/frame", Schema: Schema, Document: Document(), Title: SchemaTitle, Text: SchemaText,
		Read: func(text, name string) error {
			_, err := Read(strings.NewReader(text), name)
			return err
		},
		Whole: whole, Files: "frame.yaml", Beyond: beyondSchema, Sound: sound,
	}
	for _, c := range bad {
		suite.Bad = append(suite.Bad, schematest.Bad{Name: c.name, Old: c.old, New: c.new, Rule: c.rule})
	}
	suite.Run(t)
}

// beyondSchema are the bad files of which a schema cannot tell what is wrong.
var beyondSchema = []string{
	"crossing outline", "station out of order", "right of left", "rail of no length", "a name twice", "a side twice",
	"too few sides", "an open side of no name", "corners the wrong way", "a bar of no length", "a station twice",
	"a station nearly twice", "a mirrored rail's side's name taken", "a mount called as a rail", "a side open twice",
	"two marks of one name", "a mark that nothing fixes", "no origin", "an origin that is no mark", "a line that is none", "a distance to itself",
	"a distance to no mark", "a corner at no mark", "a coordinate of 17 m", "a corner twice", "corners on a line",
}

// sound are changes of the whole file that leave it valid.
var sound = [][2]string{
	{"accuracy: 2", "accuracy: 0"},
	{"accuracy: 2", "accuracy: 1/16 in"},
	{"accuracy: 2", `accuracy: "2"`},
	{"accuracy: 2\n", ""},
	{"[belly, down-tube,", "[belly, {name: down-tube, accuracy: 4},"},
	{"    gap: 6\n", "    gap: 6\n    accuracy: 5\n"},
	{"    gap: 8\n", "    gap: 8\n    accuracy: 0\n"},
	{"bolt: M10, mirror: true}", "bolt: M10, mirror: true, accuracy: 1/4 in}"},
	{"[430, 0, -20], [640", "B, [640"},
	{"[[0, 0], [420, 0], [620, 380], [60, 460]]", "[A, B, C, D]"},
	{"along: A-B, slope: 0", "along: [A, B]"},
	{"diameter: 38", "diameter: 1.5in"},
	{"[430, 0, -20]", `['- 17 1/4 "', .5, 20.]`},
	{"across: 220", "across: 8 5/8″"},
	{"across: 220", "across: [-11 cm, 0.11 m]"},
	{"units: mm\n", ""},
	{"frame: Ferry 90", "frame: Fähre 漢"},
	{"    mirror: false\n", ""},
	{"metal: false\nrails", "metal: true\nrails"},
}
