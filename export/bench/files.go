package bench

import (
	"context"
	"fmt"
	"strings"

	"rackwright/pack"
)

// Work is what is worked on: the text of a frame file, the problem that it makes with the pack,
// and a layout of it.
type Work struct {
	Frame   []byte
	Problem pack.Problem
	Layout  pack.Layout
}

// Parts are some of the three files.
type Parts struct{ Frame, Pack, Layout bool }

// Any tells whether there are any.
func (p Parts) Any() bool { return p != Parts{} }

// and are the parts that are in both.
func (p Parts) and(o Parts) Parts {
	return Parts{p.Frame && o.Frame, p.Pack && o.Pack, p.Layout && o.Layout}
}

// but are the parts that are not in o.
func (p Parts) but(o Parts) Parts {
	return Parts{p.Frame && !o.Frame, p.Pack && !o.Pack, p.Layout && !o.Layout}
}

// Files are where work comes from and goes to.
type Files interface {
	// Read takes up some parts as they are now; the others are as they were read last. Nothing is
	// taken up where that is an error.
	Read(ctx context.Context, parts Parts) (Work, error)
	// Problem is that of the text of a frame file, with the pack as it was read last.
	Problem(ctx context.Context, frame []byte) (pack.Problem, error)
	// Changed tells which of some parts are no longer as they were read; nil for none.
	Changed(parts Parts) *ChangedError
	// Save puts parts into their files, each whole or not at all, and tells which it did and how.
	// What was changed meanwhile is a *ChangedError, unless how says what to do.
	Save(w Work, parts Parts, how Choice) (saved Parts, words string, err error)
}

// Choice is what to do about a file that was changed while there is work that is not saved.
type Choice string

// The choices.
const (
	Ask    Choice = ""       // touch nothing that was changed
	Theirs Choice = "theirs" // what is in the file goes on the desk
	Beside Choice = "beside" // what is on the desk goes into a new file beside it
	Over   Choice = "over"   // what is on the desk goes over what was there when it was asked
)

// ChangedError is about files that were changed since they were read. Nothing was written to them.
type ChangedError struct {
	Parts  Parts
	Names  []string // of the files
	Beside []string // names that are free beside them
	Gone   bool     // one of them is no longer there
	Boxes  bool     // the layout file has other boxes, and would have to be written anew
}

// Error says which files.
func (e *ChangedError) Error() string {
	names := strings.Join(e.Names, " and ")
	switch {
	case e.Boxes:
		return fmt.Sprintf("%s has other boxes than the bench: written over it, what you wrote there beside them is lost", names)
	case e.Gone:
		return fmt.Sprintf("%s is no longer there", names)
	}
	return fmt.Sprintf("%s was changed elsewhere, while what is on the bench is not saved", names)
}

// Question is what is asked about files that were changed.
type Question struct {
	Words  string `json:"words"`
	Theirs bool   `json:"theirs"` // whether there is anything to be taken
	Beside string `json:"beside"` // where one's own would go
	Over   string `json:"over"`   // what would be written over
}

func questionOf(e *ChangedError) *Question {
	return &Question{
		Words: e.Error() + ". Which is to be?", Theirs: !e.Gone && !e.Boxes,
		Beside: strings.Join(e.Beside, " and "), Over: strings.Join(e.Names, " and "),
	}
}
