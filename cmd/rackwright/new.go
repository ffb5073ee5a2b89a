package main

import (
	"context"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"unicode"

	"github.com/spf13/pflag"

	"rackwright/export"
	"rackwright/frame"
	"rackwright/pack"
)

//go:embed starter/frame.yaml
var starterFrame string

//go:embed starter/marks.yaml
var starterMarks string

//go:embed starter/pack.yaml
var starterPack string

//go:embed starter/catalogue.yaml
var starterCatalogue string

func newCommand() command {
	return command{
		name: "new", args: "[NAME]", least: 0, most: 1,
		summary: "write a commented frame file and pack file to start from",
		example: "rackwright new bike",
		flags: func(set *pflag.FlagSet) func(context.Context, streams, []string) (int, error) {
			var f newFlags
			set.BoolVar(&f.schema, "schema", false, "write JSON Schemas beside them, with which an editor completes and explains every key")
			set.BoolVar(&f.taped, "taped", false, "write a frame file that is measured with a tape, from dot to dot")
			set.BoolVar(&f.catalogue, "catalogue", false, "write a catalogue of common sizes of batteries as well, for rackwright compare")
			set.BoolVar(&f.force, "force", false, "replace files that are there already")
			return f.run
		},
	}
}

// newFlags are the options of new.
type newFlags struct{ schema, taped, catalogue, force bool }

// Files that --schema writes.
const (
	frameSchema = "frame.schema.json"
	packSchema  = "pack.schema.json"
)

func (f *newFlags) run(_ context.Context, s streams, args []string) (int, error) {
	path := "bike"
	if len(args) > 0 {
		path = args[0]
	}
	name := filepath.Base(path)
	if strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) || r == '"' || r == '\\' }) || name == "." || name == ".." || name == "/" {
		return exitUsage, errors.New("the name has to be one that a file can have, such as bike")
	}
	outputs := f.files(name)
	dir := filepath.Dir(path)
	if err := writeAll(dir, outputs, f.force); err != nil {
		return exitUsage, err
	}
	base := harmless(filepath.Join(dir, name))
	fmt.Fprintf(s.out, "Wrote %s.frame.yaml and %s.pack.yaml: change the numbers to yours.\nThen run: rackwright fit %s.frame.yaml %s.pack.yaml\n", base, base, base, base)
	if f.catalogue {
		fmt.Fprintf(s.out, "And %s.catalogue.yaml: for rackwright compare %s.frame.yaml %s.catalogue.yaml --want '48 V, 1 kWh' --with %s.pack.yaml\n", base, base, base, base)
	}
	return exitFits, nil
}

func (f *newFlags) files(name string) []export.File {
	frameFile := starterFrame
	if f.taped {
		frameFile = withMarks(starterFrame)
	}
	packFile := starterPack
	var more []export.File
	if f.schema {
		frameFile, packFile = withSchema(frameFile, frameSchema), withSchema(packFile, packSchema)
		more = []export.File{text(frameSchema, string(frame.Schema())), text(packSchema, string(pack.Schema()))}
	}
	if f.catalogue {
		more = append(more, starter(name+".catalogue.yaml", starterCatalogue, name))
	}
	return append([]export.File{starter(name+".frame.yaml", frameFile, name), starter(name+".pack.yaml", packFile, name)}, more...)
}

// withMarks is the starter frame with marks and distances in place of coordinates.
func withMarks(starter string) string {
	return strings.NewReplacer(
		"\nopening:\n", starterMarks+"\nopening:\n",
		"[[0, 0], [430, 0], [560, 380], [40, 400]]", "[A, B, C, D]",
		"[[465, 0, -20], [620, 0, 420]]", "[E, F]",
		"# Corners [x, z] of the clear space", "# Corners of the clear space, [x, z] or marks",
		"points [x, y, z] on the middle", "points [x, y, z], or marks, on the middle",
	).Replace(starter)
}

// withSchema puts the comment first by which editors find the schema of a YAML file.
func withSchema(starter, schema string) string {
	return "# yaml-language-server: $schema=./" + schema + "\n" + starter
}

func starter(file, content, name string) export.File {
	return text(file, strings.ReplaceAll(content, "NAME", name))
}

func text(file, content string) export.File {
	return export.File{Name: file, Write: func(w io.Writer) error {
		_, err := io.WriteString(w, content)
		return err
	}}
}
