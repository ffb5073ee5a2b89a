package frame

import _ "embed"

//go:generate go run schema_gen.go

//go:embed frame.schema.json
var schema string

// Schema returns the JSON Schema (draft 2020-12) of the frame file. An editor that knows it
// completes the keys and explains them. It is made from the types in file.go by go generate.
func Schema() []byte { return []byte(schema) }

// Document returns the zero value of the type that a frame file is decoded into, for
// making the schema of it.
func Document() any { return frameFile{} }

// SchemaTitle and SchemaText are the title and the description of the schema.
const (
	SchemaTitle = "Rackwright frame file"
	SchemaText  = "The opening of a frame, and what stands in it. x is forward, y to the left, z up; lengths are in the file's units, or text with a unit such as 7 5/8 in."
)
