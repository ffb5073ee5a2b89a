package strict

import (
	"io"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"rackwright/geom"
)

// Decoder holds a file while it is decoded and checked.
type Decoder struct {
	*document
	Unit   geom.Unit // of bare lengths
	places map[any]place
	faulty bool // whether decoding has found errors
}

// place is where in the file a variable was decoded from.
type place struct {
	node   ast.Node
	faulty bool // whether decoding found errors within it
}

// Custom is a type that reads itself from a node of its own form.
type Custom interface {
	Decode(d *Decoder, n ast.Node)
}

// Read decodes a file into the struct that into points to, then calls check, which
// may report more by way of the decoder's At. It returns Errors, or what reading gave.
// Check is called for a file with errors too, so that all of them are told at once:
// what could not be decoded is zero then.
//
// A field's tag is its key; a key without ",omitempty" has to be there. Fields are
// strings, numbers, booleans, structs, pointers to or slices of these, or Custom. The
// key units, if there is one, is read first: it says what bare lengths are.
func Read(file string, r io.Reader, into any, check func(d *Decoder)) error {
	doc, err := open(file, r)
	if err != nil {
		return err
	}
	d := &Decoder{document: doc, places: map[any]place{}}
	d.readUnit()
	d.value(reflect.ValueOf(into).Elem(), d.root)
	d.faulty = len(d.errs) > 0
	check(d)
	return d.fault()
}

// At reports an error at the value that was decoded into the variable at points to.
// Where that could not be decoded, or has errors within, nothing is added to them, but
// that a key is missing. For a variable whose key was not in the file it points at the
// file's first line.
func (d *Decoder) At(at any, rule Rule, format string, args ...any) {
	p, ok := d.places[at]
	switch {
	case rule != MissingKey && !d.Sound(at):
	case ok:
		d.at(p.node, rule, format, args...)
	default:
		d.add(1, 1, rule, format, args...)
	}
}

// Given tells whether the key of the variable at points to is in the file.
func (d *Decoder) Given(at any) bool {
	_, ok := d.places[at]
	return ok
}

// Line returns the line, counted from 1, of the value that was decoded into the variable at
// points to; 0 where its key is not in the file.
func (d *Decoder) Line(at any) int {
	p, ok := d.places[at]
	if !ok {
		return 0
	}
	if t := start(p.node); t != nil && t.Position != nil {
		return t.Position.Line
	}
	return 0
}

// Faults is how many errors were found so far.
func (d *Decoder) Faults() int { return len(d.errs) + d.more }

// Sound tells whether what the variables at point to was decoded without errors, so
// that it makes sense to compare them.
func (d *Decoder) Sound(at ...any) bool {
	for _, a := range at {
		if p, ok := d.places[a]; p.faulty || !ok && d.faulty {
			return false
		}
	}
	return true
}

func (d *Decoder) readUnit() {
	for _, kv := range pairs(d.root) {
		if keyOf(kv) != "units" {
			continue
		}
		if text, ok := textOf(kv.Value); ok {
			d.Unit, _ = geom.ParseUnit(text) // another word is refused by the check
		}
		return
	}
}

func pairs(n ast.Node) []*ast.MappingValueNode {
	switch m := n.(type) {
	case *ast.MappingNode:
		return m.Values
	case *ast.MappingValueNode:
		return []*ast.MappingValueNode{m}
	}
	return nil
}

func keyOf(kv *ast.MappingValueNode) string {
	if s, ok := kv.Key.(*ast.StringNode); ok {
		return s.Value
	}
	if t := kv.Key.GetToken(); t != nil {
		return t.Value
	}
	return ""
}

// value decodes a node into v and notes its place.
func (d *Decoder) value(v reflect.Value, n ast.Node) {
	at, before := v.Addr().Interface(), len(d.errs)+d.more
	if c, ok := at.(Custom); ok {
		c.Decode(d, n)
	} else {
		d.plain(v, n)
	}
	d.places[at] = place{n, len(d.errs)+d.more > before}
}

// plain decodes a node into a variable of a type that Go has.
func (d *Decoder) plain(v reflect.Value, n ast.Node) {
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		d.value(v.Elem(), n)
	case reflect.Struct:
		d.object(v, n)
	case reflect.Slice:
		d.list(v, n)
	case reflect.String:
		v.SetString(d.Text(n))
	case reflect.Bool:
		d.boolean(v, n)
	case reflect.Int:
		v.SetInt(int64(d.Whole(n)))
	case reflect.Float64:
		v.SetFloat(d.Number(n))
	default:
		panic("strict: a field of a type that files have not")
	}
}

func (d *Decoder) boolean(v reflect.Value, n ast.Node) {
	b, ok := n.(*ast.BoolNode)
	if !ok {
		d.at(n, WrongType, "this has to be true or false, not %s", describe(n))
		return
	}
	v.SetBool(b.Value)
}

// field is a struct field and its key.
type field struct {
	key      string
	optional bool
	index    []int // see reflect.Value.FieldByIndex
}

// fieldsOf lists the keys of a struct, those of an embedded one in its place.
func fieldsOf(t reflect.Type) []field {
	var all []field
	for i := range t.NumField() {
		if t.Field(i).Anonymous {
			for _, f := range fieldsOf(t.Field(i).Type) {
				all = append(all, field{f.key, f.optional, append([]int{i}, f.index...)})
			}
			continue
		}
		key, rest, _ := strings.Cut(t.Field(i).Tag.Get("yaml"), ",")
		if key != "" && key != "-" {
			all = append(all, field{key, strings.Contains(rest, "omitempty"), []int{i}})
		}
	}
	return all
}

func isObject(n ast.Node) bool {
	switch n.(type) {
	case *ast.MappingNode, *ast.MappingValueNode:
		return true
	}
	return false
}

// object decodes a mapping into a struct.
func (d *Decoder) object(v reflect.Value, n ast.Node) {
	if !isObject(n) {
		d.at(n, WrongType, "this has to be keys with values, not %s", describe(n))
		return
	}
	fields := fieldsOf(v.Type())
	seen, meant := map[string]bool{}, map[string]bool{}
	for _, kv := range pairs(n) {
		key := keyOf(kv)
		i := slices.IndexFunc(fields, func(f field) bool { return f.key == key })
		switch {
		case i < 0:
			meant[nearest(key, fields)] = true
			d.at(kv.Key, UnknownKey, "%s is no key here%s", strconv.Quote(clip(key)), suggestion(key, fields))
		case seen[key]:
			d.at(kv.Key, RepeatedKey, "the key %s stands here a second time", key)
		default:
			seen[key] = true
			d.value(v.FieldByIndex(fields[i].index), kv.Value)
		}
	}
	for _, f := range fields {
		if !f.optional && !seen[f.key] && !meant[f.key] {
			d.at(n, MissingKey, "the key %s is missing", f.key)
		}
	}
}

// MaxItems is how many entries a list may have; the formats' own limits are lower.
const MaxItems = 4096

func (d *Decoder) list(v reflect.Value, n ast.Node) {
	s, ok := n.(*ast.SequenceNode)
	if !ok {
		d.at(n, WrongType, "this has to be a list, not %s", describe(n))
		return
	}
	if len(s.Values) > MaxItems {
		d.at(n, TooLarge, "the list has more than %d entries", MaxItems)
		return
	}
	v.Set(reflect.MakeSlice(v.Type(), len(s.Values), len(s.Values)))
	for i, item := range s.Values {
		d.value(v.Index(i), item)
	}
}

// Text reads a string.
func (d *Decoder) Text(n ast.Node) string {
	text, ok := textOf(n)
	if !ok {
		d.at(n, WrongType, "this has to be text, not %s; put it in quotes", describe(n))
	}
	return text
}

func textOf(n ast.Node) (string, bool) {
	switch t := n.(type) {
	case *ast.StringNode:
		return t.Value, true
	case *ast.LiteralNode:
		return t.Value.Value, true
	}
	return "", false
}

// Number reads a finite number.
func (d *Decoder) Number(n ast.Node) float64 {
	v, ok := numberOf(n)
	switch {
	case !ok:
		d.at(n, WrongType, "this has to be a number, not %s", describe(n))
	case math.IsInf(v, 0):
		d.at(n, OutOfRange, "%s is too large a number", describe(n))
		return 0
	}
	return v
}

// decimal is how numbers are written. No other form of YAML's (octal, hexadecimal,
// with underscores) is let through: they may read other than they look. Nor is one that begins
// with 0: to some readers 0151 is 105.
var decimal = regexp.MustCompile(`^[-+]?((0|[1-9]\d*)(\.\d*)?|\.\d+)([eE][-+]?\d+)?$`)

// numberOf reads the digits as they stand. A number too large for float64 is infinite,
// and beyond every limit.
func numberOf(n ast.Node) (float64, bool) {
	t := n.GetToken()
	switch n.(type) {
	case *ast.IntegerNode, *ast.FloatNode, *ast.StringNode:
	default:
		return 0, false
	}
	if t.Type == token.SingleQuoteType || t.Type == token.DoubleQuoteType || !decimal.MatchString(t.Value) {
		return 0, false
	}
	v, _ := strconv.ParseFloat(t.Value, 64) // the only error is that of the range
	return v + 0, true                      // -0 is 0
}

// Whole reads a whole number.
func (d *Decoder) Whole(n ast.Node) int {
	v, ok := numberOf(n)
	switch {
	case !ok || !math.IsInf(v, 0) && v != math.Trunc(v):
		d.at(n, WrongType, "this has to be a whole number, not %s", describe(n))
		return 0
	case math.Abs(v) > 1e9:
		d.at(n, OutOfRange, "%s is too large a number", describe(n))
		return 0
	}
	return int(v)
}

// describe says what a node is, for "has to be …, not …".
func describe(n ast.Node) string {
	if _, ok := numberOf(n); ok {
		return clip(n.GetToken().Value)
	}
	switch t := n.(type) {
	case *ast.NullNode:
		return "nothing (null)"
	case *ast.StringNode:
		return "the text " + strconv.Quote(clip(t.Value))
	case *ast.LiteralNode:
		return "the text " + strconv.Quote(clip(t.Value.Value))
	case *ast.BoolNode:
		return t.GetToken().Value
	case *ast.SequenceNode:
		return "a list"
	case *ast.MappingNode, *ast.MappingValueNode:
		return "keys with values"
	}
	if t := n.GetToken(); t != nil {
		return clip(t.Value)
	}
	return "this"
}

func clip(text string) string {
	r := []rune(printable(text))
	if len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return string(r)
}

// suggestion names the known keys, the nearest alone where one is near. A key with a blank
// may be one whose colon is missing.
func suggestion(key string, fields []field) string {
	var keys []string
	for _, f := range fields {
		if strings.HasPrefix(key, f.key+" ") {
			return "; is the colon missing after " + f.key + "?"
		}
		keys = append(keys, f.key)
	}
	if key != "" && unicode.IsDigit(rune(key[0])) {
		return "; decimals have a point: 16.7, not 16,7"
	}
	if meant := nearest(key, fields); meant != "" {
		return "; did you mean " + meant + "?"
	}
	return "; known are " + strings.Join(keys, ", ")
}

// nearest is the known key that an unknown one stands for, or empty: one with other letters,
// with more behind a blank, or without its unit (tilt for tilt_deg).
func nearest(key string, fields []field) string {
	best, least := "", mostOff+1
	for _, f := range fields {
		off := letters(key, f.key)
		if strings.HasPrefix(key, f.key+" ") || strings.HasPrefix(f.key, key+"_") {
			off = 0
		}
		if off < least && off <= len(f.key)/2 {
			best, least = f.key, off
		}
	}
	return best
}

// mostOff is by how many letters a word may differ from what was meant.
const mostOff = 2

// letters is by how many letters put in, left out, changed or swapped with their neighbours
// two words differ (optimal string alignment, after Damerau, Communications of the ACM 7
// (1964)).
func letters(a, b string) int {
	if len(a) > 40 {
		return len(a)
	}
	off := make([][]int, len(a)+1)
	for i := range off {
		off[i] = make([]int, len(b)+1)
		for j := range off[i] {
			switch {
			case i == 0 || j == 0:
				off[i][j] = i + j
			case a[i-1] == b[j-1]:
				off[i][j] = off[i-1][j-1]
			default:
				off[i][j] = 1 + min(off[i-1][j], off[i][j-1], off[i-1][j-1])
				if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
					off[i][j] = min(off[i][j], 1+off[i-2][j-2])
				}
			}
		}
	}
	return off[len(a)][len(b)]
}
