package strict

import (
	"fmt"
	"strings"
	"unicode"
)

// Rule names what an error breaks, so that programs need not read its words.
type Rule int

const (
	Syntax      Rule = iota // not YAML
	TooLarge                // file or nesting beyond the limit
	Forbidden               // anchors, aliases, tags, a second document
	UnknownKey              // a key that the format has not
	RepeatedKey             // a key given twice
	MissingKey              // a key that has to be there
	WrongType               // text for a number, null, 2.5 for a count
	OutOfRange              // a number beyond its limits
	BadName                 // a name that cannot be shown
	BadValue                // anything else that makes no sense
	NotTold                 // says how many more errors there are
)

// Error is one thing wrong with a file. Line and Column count from 1.
type Error struct {
	File   string
	Line   int
	Column int
	Rule   Rule
	Text   string // what is wrong and what to do
	Source string // the line itself
}

// Error shows the place, the line and a mark under the column.
func (e Error) Error() string {
	head := fmt.Sprintf("%s:%d:%d: %s", printable(e.File), e.Line, e.Column, e.Text)
	if e.Source == "" {
		return head
	}
	line, at := window(printable(e.Source), e.Column-1)
	return fmt.Sprintf("%s\n    %s\n    %s^", head, line, strings.Repeat(" ", at))
}

// MaxErrors is how many errors of a file are told: more help nobody.
const MaxErrors = 50

// Errors are all that is wrong with a file, in the order of its lines.
type Errors []Error

// Error shows every one.
func (e Errors) Error() string {
	var b strings.Builder
	for i, one := range e {
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(one.Error())
	}
	return b.String()
}

// shown is how much of a long line is quoted.
const shown = 100

// window cuts a long line to the part around a column and says where the column is in it.
func window(line string, at int) (string, int) {
	runes := []rune(line)
	at = min(max(at, 0), len(runes))
	from := max(0, at-shown/2)
	to := min(len(runes), from+shown)
	return string(runes[from:to]), at - from
}

// printable replaces everything that a terminal might act on.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\t':
			return ' '
		case !canShow(r):
			return '·'
		}
		return r
	}, text)
}

// canShow tells whether a character can be seen, or is a plain space. Those that
// Unicode tells programs to ignore count as letters in part, but show nothing.
func canShow(r rune) bool {
	return unicode.IsPrint(r) && !unicode.In(r, unicode.Other_Default_Ignorable_Code_Point, unicode.Variation_Selector)
}
