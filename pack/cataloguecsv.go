package pack

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"rackwright/frame/strict"
)

// ReadCatalogueCSV reads a catalogue as a spreadsheet writes it: a line of headings, then one line a
// battery; columns are parted by commas, semicolons or tabs. Each cell is put where the YAML form
// has it, and read as that is, so that both have the same rules; an error is told at its cell.
func ReadCatalogueCSV(r io.Reader, name string) (*Catalogue, error) {
	text, err := io.ReadAll(io.LimitReader(r, strict.MaxSize+1))
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", name, err)
	}
	s := &sheet{file: name, lines: strings.Split(strings.ReplaceAll(string(text), "\r\n", "\n"), "\n"), places: map[int]place{}}
	if len(text) > strict.MaxSize {
		return nil, s.fault(place{1, 1}, strict.TooLarge, "the file is larger than %d KB", strict.MaxSize>>10)
	}
	if err := s.read(bytes.TrimPrefix(text, []byte("\ufeff"))); err != nil {
		return nil, err
	}
	c, err := ReadCatalogue(strings.NewReader(s.yaml.String()), name)
	if err != nil {
		return nil, s.moved(err)
	}
	for i := range c.Batteries {
		c.Batteries[i].Line = s.places[c.Batteries[i].Line].line
	}
	sum := sha256.Sum256(text)
	c.Hash = hex.EncodeToString(sum[:])
	return c, nil
}

// place is a line and a column of a file, counted from 1.
type place struct{ line, column int }

// sheet is a table on its way into YAML.
type sheet struct {
	file    string
	lines   []string
	columns []column
	yaml    strings.Builder
	written int           // lines of yaml
	places  map[int]place // of the cell that a line of yaml comes from
}

// column is what a column holds: a key of the YAML form, and the unit that its heading names.
type column struct{ key, unit string }

// Headings of the three sizes, which are one key of the YAML form, and of posts.
var (
	sizeColumns = []string{"length", "width", "height"}
	postColumns = []string{"plus", "minus"}
)

// plainColumns are headings that are keys of the YAML form.
var plainColumns = []string{"name", "mass", "volts", "amp_hours", "charge_volts", "price", "accuracy", "swell", "stand", "flooded"}

// unitEndings are what a heading may end with instead of giving the unit in every cell.
var unitEndings = []string{"mm", "cm", "in", "kg", "lb"}

func (s *sheet) read(text []byte) error {
	r := csv.NewReader(bytes.NewReader(text))
	first, _, _ := bytes.Cut(text, []byte("\n"))
	r.Comma = separator(string(first))
	r.FieldsPerRecord = -1
	header, err := r.Read()
	if err != nil {
		return s.broken(err)
	}
	if err := s.headings(header, r); err != nil {
		return err
	}
	s.line(place{1, 1}, "format: 1")
	s.line(place{1, 1}, "catalogue: "+strconv.Quote(shortName(s.file)))
	s.line(place{1, 1}, "batteries:")
	rows := 0
	for {
		cells, err := r.Read()
		switch {
		case errors.Is(err, io.EOF) && rows == 0:
			return s.fault(place{1, 1}, strict.BadValue, "there is no battery below the headings")
		case errors.Is(err, io.EOF):
			return nil
		case err != nil:
			return s.broken(err)
		}
		if rows++; rows > MaxBatteries {
			line, _ := r.FieldPos(0)
			return s.fault(place{line, 1}, strict.TooLarge, "more than the %d batteries that are allowed", MaxBatteries)
		}
		if err := s.row(cells, r); err != nil {
			return err
		}
	}
}

// separator is what parts the columns of a line of headings.
func separator(line string) rune {
	for _, c := range []rune{';', '\t'} {
		if strings.ContainsRune(line, c) {
			return c
		}
	}
	return ','
}

// shortName is a file's name without folders and ending, as long as names may be.
func shortName(file string) string {
	base := []rune(strings.TrimSuffix(file[strings.LastIndexAny(file, `/\`)+1:], ".csv"))
	return string(base[:min(len(base), strict.MaxName)])
}

// headings finds out what the columns hold.
func (s *sheet) headings(header []string, r *csv.Reader) error {
	var errs strict.Errors
	seen := map[string]bool{}
	for i, text := range header {
		line, at := r.FieldPos(i)
		c := columnOf(text)
		switch {
		case c.key == "":
			errs = append(errs, s.fault(place{line, at}, strict.UnknownKey, "%q is no heading here; known are %s", text, strings.Join(allColumns(), ", "))...)
		case seen[c.key]:
			errs = append(errs, s.fault(place{line, at}, strict.RepeatedKey, "the column %s is there a second time", c.key)...)
		}
		seen[c.key] = true
		s.columns = append(s.columns, c)
	}
	for _, key := range []string{"name", "length", "width", "height", "volts", "amp_hours"} {
		if !seen[key] {
			errs = append(errs, s.fault(place{1, 1}, strict.MissingKey, "the column %s is missing: write %s into the first line, and its value into every line below", key, key)...)
		}
	}
	if len(errs) > 0 {
		return errs
	}
	return nil
}

func allColumns() []string {
	all := append([]string{"name"}, sizeColumns...)
	return append(append(all, plainColumns[1:]...), postColumns...)
}

// columnOf reads a heading, such as length, Length_mm or amp hours.
func columnOf(text string) column {
	key := strings.NewReplacer(" ", "_", "-", "_", "(", "", ")", "").Replace(strings.ToLower(strings.TrimSpace(text)))
	for _, unit := range append([]string{""}, unitEndings...) {
		base, cut := strings.CutSuffix(key, "_"+unit)
		if unit == "" {
			base, cut = key, true
		}
		for _, known := range allColumns() {
			if cut && base == known {
				return column{known, unit}
			}
		}
	}
	return column{}
}

// row writes one battery. Cells that are empty are keys that are not given.
func (s *sheet) row(cells []string, r *csv.Reader) error {
	line, _ := r.FieldPos(0)
	if len(cells) != len(s.columns) {
		hint := "are some missing at its end?"
		if len(cells) > len(s.columns) {
			hint = "is there a decimal comma? Decimals have a point: 16.7, not 16,7; text with a comma in it goes in quotes"
		}
		return s.fault(place{line, 1}, strict.BadValue, "this line has %d cells, the headings are %d: %s", len(cells), len(s.columns), hint)
	}
	at := map[string]place{}
	value := map[string]string{}
	for i, c := range s.columns {
		line, column := r.FieldPos(i)
		at[c.key] = place{line, column}
		value[c.key] = c.scalar(strings.TrimSpace(cells[i]))
		if err := s.refuseComma(cells[i], c, at[c.key]); err != nil {
			return err
		}
	}
	s.line(at["name"], "  - name: "+orNull(value["name"]))
	s.line(at["length"], "    size:")
	for _, key := range sizeColumns {
		s.line(at[key], "      - "+orNull(value[key]))
	}
	for _, key := range plainColumns[1:] {
		if value[key] != "" {
			s.line(at[key], "    "+key+": "+value[key])
		}
	}
	return s.posts(cells, at)
}

// decimalComma is a number with a comma for a point.
var decimalComma = regexp.MustCompile(`^[-+]?\d+,\d+`)

// refuseComma says what to do about a decimal comma, which would be the most common mistake.
func (s *sheet) refuseComma(cell string, c column, at place) error {
	cell = strings.TrimSpace(cell)
	if c.key == "name" || c.key == "stand" || !decimalComma.MatchString(cell) {
		return nil
	}
	return s.fault(at, strict.WrongType, "%s has a decimal comma; write %s", cell, strings.Replace(cell, ",", ".", 1))
}

// orNull keeps an empty cell an error at its place.
func orNull(value string) string {
	if value == "" {
		return "null"
	}
	return value
}

// number is one that YAML reads as such.
var number = regexp.MustCompile(`^[-+]?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d+)?$`)

// scalar is the value of a cell in YAML, empty for an empty cell.
func (c column) scalar(cell string) string {
	switch {
	case cell == "":
		return ""
	case c.key == "stand":
		return "[" + strings.Join(cellWords(cell), ", ") + "]"
	case c.key == "flooded" && (cell == "true" || cell == "false"):
		return cell
	case c.key == "flooded" && (cell == "yes" || cell == "no"):
		return strconv.FormatBool(cell == "yes")
	case c.key != "name" && number.MatchString(cell):
		if c.unit != "" {
			return strconv.Quote(cell + " " + c.unit)
		}
		return cell
	}
	return quoted(cell)
}

// quoted is text in quotes, without what cannot be shown: names with such characters are refused
// where they are read.
func quoted(text string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", " ").Replace(text) + `"`
}

// cellWords are the quoted words of a cell, parted by blanks, commas, semicolons or strokes.
func cellWords(cell string) []string {
	var list []string
	for _, w := range strings.FieldsFunc(cell, func(r rune) bool { return strings.ContainsRune(" ,;/|", r) }) {
		list = append(list, quoted(w))
	}
	return list
}

// posts writes the posts of a battery. A cell holds a face, the two coordinates of the post in it, its
// diameter and its height, parted by blanks: top 22 20 16 6.
func (s *sheet) posts(cells []string, at map[string]place) error {
	head := "    posts:"
	for i, c := range s.columns {
		sign := map[string]string{"plus": "+", "minus": "-"}[c.key]
		if sign == "" || strings.TrimSpace(cells[i]) == "" {
			continue
		}
		w := cellWords(cells[i])
		if len(w) != 5 {
			return s.fault(at[c.key], strict.BadValue, "a post is a face, two coordinates in it, a diameter and a height, such as: top 22 20 16 6")
		}
		if head != "" {
			s.line(at[c.key], head)
			head = ""
		}
		s.line(at[c.key], fmt.Sprintf("      - {name: %s, face: %s, at: [%s, %s], diameter: %s, height: %s, polarity: %q}",
			c.key, w[0], bare(w[1]), bare(w[2]), bare(w[3]), bare(w[4]), sign))
	}
	return nil
}

// bare takes the quotes off a number.
func bare(quoted string) string {
	if n := strings.Trim(quoted, `"`); number.MatchString(n) {
		return n
	}
	return quoted
}

func (s *sheet) line(from place, text string) {
	s.written++
	s.places[s.written] = from
	s.yaml.WriteString(text + "\n")
}

func (s *sheet) fault(at place, rule strict.Rule, format string, args ...any) strict.Errors {
	source := ""
	if at.line >= 1 && at.line <= len(s.lines) {
		source = s.lines[at.line-1]
	}
	return strict.Errors{{File: s.file, Line: at.line, Column: at.column, Rule: rule, Text: fmt.Sprintf(format, args...), Source: source}}
}

// broken is an error of the form of the file.
func (s *sheet) broken(err error) error {
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		at := place{parse.Line, parse.Column}
		if parse.StartLine != parse.Line { // a quote was opened there and not shut
			at = place{parse.StartLine, 1}
		}
		return s.fault(at, strict.Syntax, "this is no table in CSV: %v; text with a comma or a quote in it goes in quotes, and a quote within is doubled", parse.Err)
	}
	return s.fault(place{1, 1}, strict.Syntax, "there is no line of headings")
}

// moved tells errors at the cells that they are about.
func (s *sheet) moved(err error) error {
	var all strict.Errors
	if !errors.As(err, &all) {
		return err
	}
	var told strict.Errors
	for _, e := range all {
		told = append(told, s.fault(s.places[e.Line], e.Rule, "%s", e.Text)...)
	}
	return told
}
