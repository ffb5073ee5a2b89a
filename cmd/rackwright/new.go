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
)

//go:embed starter/frame.yaml
var starterFrame string

//go:embed starter/pack.yaml
var starterPack string

func newCommand() command {
	return command{
		name: "new", args: "[NAME]", least: 0, most: 1,
		summary: "write a commented frame file and pack file to start from",
		example: "rackwright new bike",
		flags: func(set *pflag.FlagSet) func(context.Context, streams, []string) (int, error) {
			force := set.Bool("force", false, "replace files that are there already")
			return func(_ context.Context, s streams, args []string) (int, error) {
				return writeStarter(s, args, *force)
			}
		},
	}
}

func writeStarter(s streams, args []string, force bool) (int, error) {
	path := "bike"
	if len(args) > 0 {
		path = args[0]
	}
	name := filepath.Base(path)
	if strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) || r == '"' || r == '\\' }) || name == "." || name == ".." || name == "/" {
		return exitUsage, errors.New("the name has to be one that a file can have, such as bike")
	}
	outputs := []export.File{
		starter(name+".frame.yaml", starterFrame, name),
		starter(name+".pack.yaml", starterPack, name),
	}
	dir := filepath.Dir(path)
	if err := writeAll(dir, outputs, force); err != nil {
		return exitUsage, err
	}
	base := filepath.Join(dir, name)
	fmt.Fprintf(s.out, "Wrote %s.frame.yaml and %s.pack.yaml: change the numbers to yours.\nThen run: rackwright fit %s.frame.yaml %s.pack.yaml\n", base, base, base, base)
	return exitFits, nil
}

func starter(file, text, name string) export.File {
	return export.File{Name: file, Write: func(w io.Writer) error {
		_, err := io.WriteString(w, strings.ReplaceAll(text, "NAME", name))
		return err
	}}
}
