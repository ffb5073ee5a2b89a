// Package mutation asks whether tests would notice a mistake: it changes one comparison,
// constant or operator of a source file at a time and lets the tests run on what comes
// out. It is a tool for the tests of the judge; see judge_test.go.
//
// Method: R. A. DeMillo, R. J. Lipton and F. G. Sayward, Hints on test data selection,
// IEEE Computer 11(4) (1978) 34–41. All mutants are compiled at once and one of them
// switched on for a run: R. H. Untch, A. J. Offutt and M. J. Harrold, Mutation analysis
// using mutant schemata, ISSTA 1993, 139–148.
//
//	mutation.go  which changes there are
//	weave.go     a file that has all of them in it
package mutation

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/printer"
	"go/token"
	"strconv"
)

// Mutant is a change of a source file in one place.
type Mutant struct {
	// Key names the change without line numbers: function, what stood there and what
	// stands there now, and a number where that comes more than once.
	Key      string
	Line     int
	Number   int // by which it is switched on, for the caller to give
	at       int // offset in the file of
	from, to string
}

// Source returns the file with the change made.
func (m Mutant) Source(original []byte) []byte {
	return bytes.Join([][]byte{original[:m.at], []byte(m.to), original[m.at+len(m.from):]}, nil)
}

// Mutants returns the changes of a Go file, in the order of the file.
func Mutants(name string, source []byte) ([]Mutant, error) {
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, name, source, parser.SkipObjectResolution|parser.ParseComments)
	if err != nil {
		return nil, err
	}
	f := &finder{set: set, seen: map[string]int{}}
	for _, d := range file.Decls {
		f.function = "declarations"
		if fn, ok := d.(*ast.FuncDecl); ok {
			f.function = fn.Name.Name
		}
		ast.Inspect(d, f.visit)
	}
	return f.found, nil
}

// finder walks over the declarations of a file.
type finder struct {
	set      *token.FileSet
	function string
	seen     map[string]int
	found    []Mutant
}

// opposite and boundary are what a comparison becomes; other is what the operators
// become that work a figure out.
var (
	opposite = map[token.Token]token.Token{
		token.LSS: token.GEQ, token.LEQ: token.GTR, token.GTR: token.LEQ, token.GEQ: token.LSS,
		token.EQL: token.NEQ, token.NEQ: token.EQL,
	}
	boundary = map[token.Token]token.Token{
		token.LSS: token.LEQ, token.LEQ: token.LSS, token.GTR: token.GEQ, token.GEQ: token.GTR,
	}
	other = map[token.Token]token.Token{
		token.ADD: token.SUB, token.SUB: token.ADD, token.MUL: token.QUO, token.QUO: token.MUL,
		token.LAND: token.LOR, token.LOR: token.LAND,
	}
	infinities = map[string]string{"1": "-1", "-1": "1", "0": "1"}
	functions  = map[string]string{"Max": "Min", "Min": "Max", "max": "min", "min": "max"}
)

func (f *finder) visit(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.ImportSpec, *ast.ArrayType:
		return false
	case *ast.BinaryExpr:
		for _, table := range []map[token.Token]token.Token{opposite, boundary, other} {
			if to, ok := table[n.Op]; ok {
				f.replace(n, n.OpPos, n.Op.String(), to.String())
			}
		}
	case *ast.CallExpr:
		return f.call(n)
	case *ast.BasicLit:
		if to, ok := changed(n); ok {
			f.replace(n, n.Pos(), n.Value, to)
		}
	}
	return true
}

// call changes the greater of some values into the lesser, and back, and one infinity
// into the other. It tells whether there is more to change inside.
func (f *finder) call(n *ast.CallExpr) bool {
	name, ok := n.Fun.(*ast.Ident)
	if s, isSelector := n.Fun.(*ast.SelectorExpr); isSelector {
		name, ok = s.Sel, true
	}
	if !ok {
		return true
	}
	if name.Name == "Inf" || name.Name == "IsInf" {
		last := n.Args[len(n.Args)-1]
		if to, ok := infinities[f.text(last)]; ok {
			f.replace(n, last.Pos(), f.text(last), to)
		}
		return false
	}
	if to, ok := functions[name.Name]; ok {
		f.replace(n, name.Pos(), name.Name, to)
	}
	return true
}

// changed returns another number: a small one a thousand times larger, others by one
// more.
func changed(n *ast.BasicLit) (string, bool) {
	v, err := strconv.ParseFloat(n.Value, 64)
	switch {
	case err != nil || n.Kind != token.INT && n.Kind != token.FLOAT:
		return "", false
	case n.Kind == token.INT:
		return strconv.Itoa(int(v) + 1), true
	case v < 0.01:
		return strconv.FormatFloat(1000*v, 'g', 6, 64), true
	}
	return strconv.FormatFloat(v+1, 'g', -1, 64), true
}

// replace adds the mutant that has another text at a position.
func (f *finder) replace(around ast.Node, at token.Pos, from, to string) {
	key := fmt.Sprintf("%s: %s  (%s → %s)", f.function, f.text(around), from, to)
	f.seen[key]++
	if n := f.seen[key]; n > 1 {
		key += fmt.Sprintf(" #%d", n)
	}
	place := f.set.Position(at)
	f.found = append(f.found, Mutant{Key: key, Line: place.Line, at: place.Offset, from: from, to: to})
}

// text is an expression in one line.
func (f *finder) text(n ast.Node) string {
	var b bytes.Buffer
	if err := printer.Fprint(&b, f.set, n); err != nil {
		return err.Error()
	}
	return string(bytes.Join(bytes.Fields(b.Bytes()), []byte(" ")))
}
