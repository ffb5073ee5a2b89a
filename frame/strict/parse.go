package strict

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
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
	file  string
	lines []string
	root  ast.Node
	errs  Errors
}

// open reads and parses a file. Its errors are of the file as a whole.
func open(file string, r io.Reader) (*document, error) {
	src, err := io.ReadAll(io.LimitReader(r, MaxSize+1))
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", printable(file), err)
	}
	d := &document{file: file}
	if len(src) > MaxSize {
		return nil, d.whole(TooLarge, "the file is larger than %d KB; nothing that fits into a frame needs that", MaxSize>>10)
	}
	if !utf8.Valid(src) {
		return nil, d.whole(Syntax, "the file is not UTF-8 text")
	}
	d.lines = strings.Split(strings.ReplaceAll(string(src), "\r\n", "\n"), "\n")
	if line := tooDeep(src); line > 0 {
		return nil, d.alone(line, 1, TooLarge, "values are nested more than %d deep", MaxDepth)
	}
	return d, d.parse(src)
}

// whole is an error of the file rather than of a line.
func (d *document) whole(rule Rule, format string, args ...any) error {
	return Errors{{File: d.file, Line: 1, Column: 1, Rule: rule, Text: fmt.Sprintf(format, args...)}}
}

func (d *document) alone(line, column int, rule Rule, format string, args ...any) error {
	d.add(line, column, rule, format, args...)
	return d.errs
}

func (d *document) add(line, column int, rule Rule, format string, args ...any) {
	e := Error{File: d.file, Line: line, Column: column, Rule: rule, Text: fmt.Sprintf(format, args...)}
	if line >= 1 && line <= len(d.lines) {
		e.Source = d.lines[line-1]
	}
	d.errs = append(d.errs, e)
}

func (d *document) at(n ast.Node, rule Rule, format string, args ...any) {
	line, column := 1, 1
	if t := n.GetToken(); t != nil && t.Position != nil {
		line, column = t.Position.Line, t.Position.Column
	}
	d.add(line, column, rule, format, args...)
}

// tooDeep returns the line at which brackets, dashes or indentation nest too deep, or
// 0. It may count brackets inside quotes, which only makes it stricter.
func tooDeep(src []byte) int {
	depth := 0
	for i, line := range bytes.Split(src, []byte("\n")) {
		text := bytes.TrimLeft(line, " ")
		if indent := len(line) - len(text); indent > 8*MaxDepth {
			return i + 1
		}
		if bytes.HasPrefix(text, []byte("#")) {
			continue
		}
		for _, c := range text {
			switch c {
			case '[', '{':
				depth++
			case ']', '}':
				depth--
			}
			if depth > MaxDepth {
				return i + 1
			}
		}
		if bytes.Count(text, []byte("- ")) > MaxDepth && bytes.HasPrefix(text, []byte("- ")) || bytes.Count(text, []byte("? ")) > MaxDepth || bytes.Count(text, []byte(": ")) > 40*MaxDepth {
			return i + 1
		}
	}
	return 0
}

func (d *document) parse(src []byte) error {
	file, err := parser.ParseBytes(src, 0)
	if err != nil {
		return d.syntax(err)
	}
	var docs []*ast.DocumentNode
	for _, doc := range file.Docs {
		if doc.Body != nil {
			docs = append(docs, doc)
		}
	}
	switch {
	case len(docs) == 0:
		return d.whole(MissingKey, "the file is empty")
	case len(docs) > 1 || len(file.Docs) > 1:
		second := file.Docs[len(file.Docs)-1]
		if second.Body != nil {
			d.at(second.Body, Forbidden, "a second document starts here; a file holds one")
			return d.errs
		}
		return d.whole(Forbidden, "the file has a second document; a file holds one")
	}
	d.root = docs[0].Body
	d.forbid(d.root)
	if len(d.errs) > 0 {
		return d.errs
	}
	return nil
}

// syntax turns the parser's error into one of ours.
func (d *document) syntax(err error) error {
	var positioned interface{ GetToken() *token.Token }
	text := err.Error()
	if i := strings.IndexByte(text, '\n'); i >= 0 {
		text = text[:i]
	}
	if j := strings.Index(text, "] "); j >= 0 && strings.HasPrefix(text, "[") {
		text = text[j+2:]
	}
	line, column := 1, 1
	if errors.As(err, &positioned) {
		if t := positioned.GetToken(); t != nil && t.Position != nil {
			line, column = t.Position.Line, t.Position.Column
		}
	}
	return d.alone(line, column, Syntax, "this is not YAML: %s", printable(text))
}

// forbid refuses what makes a file read other than it looks.
func (d *document) forbid(root ast.Node) {
	ast.Walk(forbidder{d}, root)
}

type forbidder struct{ d *document }

// Visit implements ast.Visitor.
func (f forbidder) Visit(n ast.Node) ast.Visitor {
	switch n.(type) {
	case *ast.AnchorNode, *ast.AliasNode:
		f.d.at(n, Forbidden, "anchors and aliases (& and *) are not allowed; write the value out")
		return nil
	case *ast.TagNode:
		f.d.at(n, Forbidden, "tags (!) are not allowed; write the plain value")
		return nil
	case *ast.MergeKeyNode:
		f.d.at(n, Forbidden, "merge keys (<<) are not allowed; write the keys out")
		return nil
	}
	return f
}
