package mutation

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"strings"
)

// Switch is a file to add to a package with woven files in it. Which mutant is on is
// told by the environment; none is where it tells nothing.
func Switch(packageName, variable string) []byte {
	return fmt.Appendf(nil, `package %s

import (
	"os"
	"strconv"
)

var mutantOn, _ = strconv.Atoi(os.Getenv(%q))

func mutated[T any](number int, mutant, original T) T {
	if mutantOn == number {
		return mutant
	}
	return original
}
`, packageName, variable)
}

// Weave returns a file that has mutants of it inside, each under its number: for every
// function that has some there is a copy for each at the end, and the function hands over
// to the copy that is on; a variable of the package starts with the value that is on. It
// returns the mutants that cannot be put in, which are those of constants. The compiler's
// errors on a copy name a file as WovenFile does.
func Weave(name string, source []byte, mutants []Mutant) (woven []byte, left []Mutant, err error) {
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, name, source, parser.SkipObjectResolution)
	if err != nil {
		return nil, nil, err
	}
	w := weaver{source: source, offset: func(p token.Pos) int { return set.Position(p).Offset }}
	for _, d := range file.Decls {
		left = append(left, w.declaration(d, w.within(d, mutants))...)
	}
	w.copyTo(len(source))
	return append(w.out.Bytes(), w.copies.Bytes()...), left, nil
}

// WovenFile is what the compiler calls the file of a mutant.
func WovenFile(number int) string { return fmt.Sprintf("mutant%d.go", number) }

// weaver copies a file from front to back and puts things in between.
type weaver struct {
	source []byte
	offset func(token.Pos) int
	done   int // how much of the source is copied
	out    bytes.Buffer
	copies bytes.Buffer // what follows the file
}

func (w *weaver) copyTo(offset int) {
	w.out.Write(w.source[w.done:offset])
	w.done = offset
}

// within returns the mutants that change something inside n.
func (w *weaver) within(n ast.Node, mutants []Mutant) (own []Mutant) {
	for _, m := range mutants {
		if w.offset(n.Pos()) <= m.at && m.at < w.offset(n.End()) {
			own = append(own, m)
		}
	}
	return own
}

// declaration weaves mutants into one declaration and returns those that it cannot.
func (w *weaver) declaration(d ast.Decl, mutants []Mutant) (left []Mutant) {
	switch d := d.(type) {
	case *ast.FuncDecl:
		if arguments, ok := argumentsOf(d); ok {
			w.function(d, arguments, mutants)
			return nil
		}
	case *ast.GenDecl:
		for _, s := range d.Specs {
			own := w.within(s, mutants)
			if v, ok := s.(*ast.ValueSpec); ok && d.Tok == token.VAR && v.Type == nil && len(v.Values) == 1 {
				w.variable(v.Values[0], own)
			} else {
				left = append(left, own...)
			}
		}
		return left
	}
	return mutants
}

// function puts a switch at the start of a function, and its copies behind the file.
func (w *weaver) function(d *ast.FuncDecl, arguments string, mutants []Mutant) {
	if len(mutants) == 0 {
		return
	}
	w.copyTo(w.offset(d.Body.Lbrace) + 1)
	w.out.WriteString("switch mutantOn {")
	receiver := ""
	if d.Recv != nil {
		receiver = d.Recv.List[0].Names[0].Name + "."
	}
	for _, m := range mutants {
		name := fmt.Sprintf("%sMutant%d", d.Name.Name, m.Number)
		call := receiver + name + arguments
		if d.Type.Results != nil {
			call = "return " + call
		}
		fmt.Fprintf(&w.out, "case %d: %s; ", m.Number, call)
		if d.Type.Results == nil {
			w.out.WriteString("return; ")
		}
		fmt.Fprintf(&w.copies, "\n//line %s:1\n%s%s%s\n", WovenFile(m.Number),
			w.source[w.offset(d.Pos()):w.offset(d.Name.Pos())], name, w.changed(m, d.Name.End(), d.End()))
	}
	w.out.WriteString("}; ")
}

// variable puts what a variable of the package starts with into calls of mutated.
func (w *weaver) variable(value ast.Expr, mutants []Mutant) {
	w.copyTo(w.offset(value.Pos()))
	for _, m := range mutants {
		fmt.Fprintf(&w.out, "mutated(%d, /*line %s:1:1*/%s, ", m.Number, WovenFile(m.Number),
			w.changed(m, value.Pos(), value.End()))
	}
	w.copyTo(w.offset(value.End()))
	w.out.WriteString(strings.Repeat(")", len(mutants)))
}

// changed returns a stretch of the source with the change made, which lies in it.
func (w *weaver) changed(m Mutant, from, to token.Pos) []byte {
	lo, hi := w.offset(from), w.offset(to)
	m.at -= lo
	return m.Source(w.source[lo:hi])
}

// argumentsOf returns the parameters of a function as the arguments of a call. It
// reports false where one has no name.
func argumentsOf(d *ast.FuncDecl) (string, bool) {
	if d.Recv != nil && !named(d.Recv.List[0]) {
		return "", false
	}
	var names []string
	for _, field := range d.Type.Params.List {
		if !named(field) {
			return "", false
		}
		for _, n := range field.Names {
			name := n.Name
			if _, variadic := field.Type.(*ast.Ellipsis); variadic {
				name += "..."
			}
			names = append(names, name)
		}
	}
	return "(" + strings.Join(names, ", ") + ")", true
}

func named(field *ast.Field) bool {
	for _, n := range field.Names {
		if n.Name == "_" {
			return false
		}
	}
	return len(field.Names) > 0
}
