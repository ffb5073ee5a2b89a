//go:build ignore

// This program writes frame.schema.json.
package main

import (
	"log"
	"os"

	"rackwright/frame"
	"rackwright/frame/strict/schemagen"
)

func main() {
	schema, err := schemagen.Generate(frame.Document(), frame.SchemaTitle, frame.SchemaText)
	if err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile("frame.schema.json", schema, 0o644); err != nil {
		log.Fatal(err)
	}
}
