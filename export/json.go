package export

import (
	"encoding/json"
	"io"
	"math"

	"rackwright/frame"
	"rackwright/pack"
)

// Head begins the objects that commands print as JSON: the number of their form, which changes when a key
// changes its meaning, and the name of the frame that they are of.
type Head struct {
	Format int    `json:"format"`
	Frame  string `json:"frame"`
}

// HeadOf is the head of an object of a frame.
func HeadOf(f *frame.Frame) Head { return Head{1, f.Name} }

// PackHead is the head of an object of a frame and a pack.
type PackHead struct {
	Head
	Pack string `json:"pack"`
}

// PackHeadOf is the head of an object of a problem.
func PackHeadOf(p pack.Problem) PackHead { return PackHead{HeadOf(p.Frame), p.Pack.Name} }

// WriteJSON writes an object as commands print it: two spaces a level, letters as they are, a line end.
func WriteJSON(w io.Writer, object any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(object)
}

// Finite is a number for JSON, which has none for what is infinite or undefined: nil then, which is null.
func Finite(v float64) *float64 {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return nil
	}
	return &v
}
