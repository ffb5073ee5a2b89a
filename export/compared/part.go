package compared

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"rackwright/export"
	"rackwright/export/layoutfile"
	"rackwright/pack/compare"
)

// Header is the first line of a file of rows: all on which the rows depend. Rows of files with the same
// header, but for the part, go together.
type Header struct {
	Format    int     `json:"format"`
	Program   string  `json:"rackwright"`
	Frame     string  `json:"frame_sha256"`
	Catalogue string  `json:"catalogue_sha256"`
	With      string  `json:"with_sha256"` // of the pack file with fixed boxes; empty with none
	Want      string  `json:"want"`
	Least     int     `json:"least_count"`
	Most      int     `json:"most_count"`
	Seconds   float64 `json:"seconds"`
	Seed      uint64  `json:"seed"`
	Entry     string  `json:"entry"`
	Tool      string  `json:"tool"`
	Rows      int     `json:"rows"` // of all parts together
	Part      int     `json:"part"`
	Of        int     `json:"of"`
}

// Shard is the part that the file has.
func (h Header) Shard() compare.Shard { return compare.Shard{Part: h.Part, Of: h.Of} }

// Whole is the header of the same rows in one file.
func (h Header) Whole() Header {
	h.Part, h.Of = 1, 1
	return h
}

// differs says what of a header of whole rows is not that of another one; empty where all is.
func (h Header) differs(o Header) string {
	for what, same := range map[string]bool{
		"frame file": h.Frame == o.Frame, "catalogue": h.Catalogue == o.Catalogue, "pack file of --with": h.With == o.With,
	} {
		if !same {
			return "another " + what
		}
	}
	if h != o {
		return "another wish, or other options"
	}
	return ""
}

// record is a row in a file. What follows from the catalogue is not in it.
type record struct {
	Row     int             `json:"row"`
	Battery string          `json:"battery"`
	Count   int             `json:"count"`
	Verdict string          `json:"verdict"`
	Spare   *float64        `json:"spare_mm"`
	Bound   *float64        `json:"bound_mm"`
	Best    bool            `json:"best"`
	Reason  string          `json:"reason,omitempty"`
	Layout  string          `json:"layout,omitempty"` // a layout file
	Proof   json.RawMessage `json:"proof,omitempty"`  // a proof file
}

// WriteHeader writes the first line.
func WriteHeader(w io.Writer, h Header) error { return writeLine(w, h) }

// WriteRow writes the line of a row.
func WriteRow(w io.Writer, e compare.Entry, o compare.Outcome) error {
	r := record{
		Row: e.Row, Battery: e.Battery.Name, Count: e.Count, Verdict: o.Verdict.String(),
		Spare: export.Finite(o.Spare), Bound: export.Finite(o.Bound), Best: o.Best, Reason: o.Reason, Proof: o.Proof,
	}
	if o.Verdict.GoesIn() {
		var text strings.Builder
		if err := layoutfile.Write(&text, layoutfile.File{Layout: o.Layout, Order: o.Order}); err != nil {
			return err
		}
		r.Layout = text.String()
	}
	return writeLine(w, r)
}

func writeLine(w io.Writer, value any) error {
	text, err := json.Marshal(value)
	if err != nil {
		return err
	}
	_, err = w.Write(append(text, '\n'))
	return err
}

// Part is what a file of rows has.
type Part struct {
	Header   Header
	Outcomes map[int]compare.Outcome // by row
	Good     int64                   // bytes up to the end of the last whole line: a run that was stopped may leave a piece
}

// ErrEmpty is wrapped by the error of ReadPart for a file without a whole first line.
var ErrEmpty = errors.New("there is no row in it")

// ReadPart reads a file of rows of a comparison, be it a part of it; name stands for it in messages.
// The last line may be a piece, which does not count; anything else that is wrong is an error.
func ReadPart(r io.Reader, name string, of Header, entries []compare.Entry) (Part, error) {
	text, err := io.ReadAll(r)
	if err != nil {
		return Part{}, fmt.Errorf("%s: cannot be read: %w", name, err)
	}
	p := Part{Outcomes: map[int]compare.Outcome{}}
	for number := 1; ; number++ {
		line, rest, whole := bytes.Cut(text, []byte("\n"))
		if !whole {
			break
		}
		if err := p.read(line, number, entries); err != nil {
			return Part{}, fmt.Errorf("%s:%d: %w", name, number, err)
		}
		if what := p.Header.Whole().differs(of.Whole()); what != "" {
			return Part{}, fmt.Errorf("%s is of %s", name, what)
		}
		p.Good += int64(len(line)) + 1
		text = rest
	}
	if p.Good == 0 {
		return p, fmt.Errorf("%s: %w", name, ErrEmpty)
	}
	return p, nil
}

func (p *Part) read(line []byte, number int, entries []compare.Entry) error {
	d := json.NewDecoder(bytes.NewReader(line))
	d.DisallowUnknownFields()
	if number == 1 {
		if err := d.Decode(&p.Header); err != nil || p.Header.Format != 1 {
			return errors.New("this is no file of rows of rackwright compare")
		}
		return nil
	}
	var r record
	if err := d.Decode(&r); err != nil {
		return fmt.Errorf("this is no row: %w", err)
	}
	if r.Row < 0 || r.Row >= len(entries) || entries[r.Row].Battery.Name != r.Battery || entries[r.Row].Count != r.Count {
		return fmt.Errorf("row %d is not %s × %d in this comparison", r.Row, r.Battery, r.Count)
	}
	o, err := r.outcome()
	p.Outcomes[r.Row] = o
	return err
}

func (r record) outcome() (compare.Outcome, error) {
	verdict, ok := compare.ParseVerdict(r.Verdict)
	if !ok {
		return compare.Outcome{}, fmt.Errorf("%q is no verdict", r.Verdict)
	}
	o := compare.Outcome{Verdict: verdict, Spare: math.Inf(-1), Bound: math.Inf(1), Best: r.Best, Reason: r.Reason}
	if r.Spare != nil {
		o.Spare = *r.Spare
	}
	if r.Bound != nil {
		o.Bound = *r.Bound
	}
	if r.Proof != nil {
		o.Proof = append(r.Proof, '\n')
	}
	if r.Layout != "" {
		f, err := layoutfile.Read(strings.NewReader(r.Layout), "layout")
		if err != nil {
			return o, err
		}
		o.Layout, o.Order = f.Layout, f.Order
	}
	return o, nil
}

// Merge puts all parts of a comparison of so many rows together: the outcome of every row. It is an
// error where rows are missing.
func Merge(parts []Part, rows int) (map[int]compare.Outcome, error) {
	all := map[int]compare.Outcome{}
	of := map[int]bool{}
	for _, p := range parts {
		of[p.Header.Of] = true
		for row, o := range p.Outcomes {
			all[row] = o
		}
	}
	var missing []string
	for row := range rows {
		if _, ok := all[row]; ok {
			continue
		}
		for n := range of {
			missing = append(missing, compare.Shard{Part: row%n + 1, Of: n}.String())
		}
		return nil, fmt.Errorf("%d of %d rows are missing, among them some of part %s: run that part again, it goes on where it stopped",
			rows-len(all), rows, strings.Join(missing, " or "))
	}
	return all, nil
}

// Finished are the entries with their outcomes, in their order, as far as there are any.
func Finished(entries []compare.Entry, outcomes map[int]compare.Outcome) []compare.Row {
	var rows []compare.Row
	for _, e := range entries {
		if o, ok := outcomes[e.Row]; ok {
			rows = append(rows, compare.Row{Entry: e, Outcome: o})
		}
	}
	return rows
}

// WritePart writes a whole file of rows.
func WritePart(w io.Writer, h Header, rows []compare.Row) error {
	if err := WriteHeader(w, h); err != nil {
		return err
	}
	for _, r := range rows {
		if err := WriteRow(w, r.Entry, r.Outcome); err != nil {
			return err
		}
	}
	return nil
}
