package strict

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

const (
	// MaxSize is the largest file in bytes: a thousand times what a builder types.
	MaxSize = 256 << 10
	// MaxDepth is how deep values may be nested. The formats need six levels; the
	// limit keeps the parser's recursion shallow.
	MaxDepth = 32
)

// document is a parsed file with its lines.
type document struct {
	// Hash is the SHA-256 of the file's bytes, in hexadecimal.
	Hash string

	file  string
	lines []string
	root  ast.Node
	errs  Errors
	more  int // errors beyond MaxErrors
}

// open reads and parses a file. Its errors are of the file as a whole.
func open(file string, r io.Reader) (*document, error) {
	src, err := io.ReadAll(io.LimitReader(r, MaxSize+1))
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", printable(file), err)
	}
	sum := sha256.Sum256(src)
	d := &document{file: file, Hash: hex.EncodeToString(sum[:])}
	switch {
	case len(src) > MaxSize:
		d.add(1, 1, TooLarge, "the file is larger than %d KB; nothing that fits into a frame needs that", MaxSize>>10)
	case !utf8.Valid(src):
		d.add(1, 1, Syntax, "the file is not UTF-8 text")
	default:
		d.parse(plain(string(src)))
	}
	return d, d.fault()
}

// plain is a text without the mark that some editors put first, and with one kind of
// line end.
func plain(text string) string {
	text = strings.TrimPrefix(text, "\ufeff")
	return strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
}

// parse goes from the cheapest check to the dearest, so that the parser only sees text
// it can take: it is recursive, and slow with much that is refused here.
func (d *document) parse(text string) {
	d.lines = strings.Split(text, "\n")
	d.refuseControls()
	if len(d.errs) > 0 {
		return
	}
	tokens := lexer.Tokenize(text)
	d.refuseTokens(tokens)
	if len(d.errs) > 0 {
		return
	}
	file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		d.syntax(err)
		return
	}
	for _, doc := range file.Docs {
		if doc.Body != nil {
			d.root = doc.Body
		}
	}
	if d.root == nil {
		d.add(1, 1, MissingKey, "the file is empty")
	}
}

// refuseControls reports the characters that YAML does not allow in a file.
func (d *document) refuseControls() {
	for i, line := range d.lines {
		for column, r := range []rune(line) {
			if unicode.IsControl(r) && r != '\t' {
				d.add(i+1, column+1, Syntax, "the file holds a character that cannot be shown (U+%04X); delete it", r)
				break
			}
		}
	}
}

// fault is the errors there are, in the order of the lines, or nil.
func (d *document) fault() error {
	if len(d.errs) == 0 {
		return nil
	}
	slices.SortStableFunc(d.errs, func(a, b Error) int {
		return cmp.Or(a.Line-b.Line, a.Column-b.Column)
	})
	if d.more > 0 {
		d.errs = append(d.errs, Error{File: d.file, Line: 1, Column: 1, Rule: NotTold, Text: fmt.Sprintf("and %d more errors like these", d.more)})
		d.more = 0
	}
	return d.errs
}

func (d *document) add(line, column int, rule Rule, format string, args ...any) {
	if len(d.errs) >= MaxErrors {
		d.more++
		return
	}
	d.errs = append(d.errs, Error{
		File: d.file, Line: line, Column: column, Rule: rule, Text: fmt.Sprintf(format, args...), Source: d.line(line),
	})
}

// line is a line of the file, counted from 1, and empty where there is none.
func (d *document) line(number int) string {
	if number < 1 || number > len(d.lines) {
		return ""
	}
	return d.lines[number-1]
}

func (d *document) token(t *token.Token, rule Rule, format string, args ...any) {
	line, column := 1, 1
	if t != nil && t.Position != nil {
		line, column = t.Position.Line, t.Position.Column
	}
	d.add(line, column, rule, format, args...)
}

func (d *document) at(n ast.Node, rule Rule, format string, args ...any) {
	d.token(start(n), rule, format, args...)
}

// start is the token that a node begins with: a mapping's own is its first colon.
func start(n ast.Node) *token.Token {
	switch m := n.(type) {
	case *ast.MappingNode:
		if !m.IsFlowStyle && len(m.Values) > 0 {
			return start(m.Values[0])
		}
	case *ast.MappingValueNode:
		return m.Key.GetToken()
	}
	return n.GetToken()
}

// syntax turns the parser's error into one of ours. (The whole text of the parser's
// own shows the source, and takes long for large files.)
func (d *document) syntax(err error) {
	var known interface {
		GetMessage() string
		GetToken() *token.Token
	}
	if !errors.As(err, &known) {
		d.add(1, 1, Syntax, "this is not YAML: %s", printable(err.Error()))
		return
	}
	text, t := known.GetMessage(), known.GetToken()
	if t != nil && t.Position != nil && strings.HasPrefix(d.line(t.Position.Line), "\t") {
		text = "a tab cannot indent; use spaces"
	}
	d.token(t, Syntax, "this is not YAML: %s%s", printable(text), hint(text))
}

// hints say what is mostly meant by a message of the parser that holds some words. The
// first that fits counts.
var hints = []struct{ words, hint string }{
	{"non-map value", "is the colon missing after a key, or the blank after the colon?"},
	{"mapping value is not allowed", "is a blank missing after a -, or the - itself? Text with a colon in it goes in quotes"},
	{"not allowed in this context", "does the line begin under the first letter of its neighbours?"},
	{"must be specified", "is a comma or a closing bracket missing, here or on a line above?"},
	{"end character", "is the closing quote missing?"},
}

// hint is what to look for, in the words of one who does not know YAML.
func hint(text string) string {
	for _, h := range hints {
		if strings.Contains(text, h.words) {
			return "; " + h.hint
		}
	}
	return ""
}
