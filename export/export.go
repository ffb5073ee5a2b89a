// Package export holds what all kinds of output have in common.
package export

import (
	"io"

	"rackwright/pack/outcome"
)

// File is a file to be written: its name within the output folder and what writes its
// content. Write must give the same bytes every time.
type File struct {
	Name  string
	Write func(io.Writer) error
}

// Judged is a layout with what the judge says of it, and how it goes in.
type Judged = outcome.Found
