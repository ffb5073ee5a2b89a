//go:build ignore

// This program writes pack.schema.json.
package main

import (
	"log"
	"os"

	"rackwright/frame/strict/schemagen"
	"rackwright/pack"
)

func main() {
	schema, err := schemagen.Generate(pack.Document(), pack.SchemaTitle, pack.SchemaText)
	if err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile("pack.schema.json", schema, 0o644); err != nil {
		log.Fatal(err)
	}
}
