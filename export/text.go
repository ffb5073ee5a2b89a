package export

import (
	"html"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Printable returns a name fit for a drawing: composed letters, no characters of
// control and none that turn the direction of writing.
func Printable(text string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return -1
		}
		return r
	}, norm.NFC.String(text))
}

// Markup returns a printable name fit for SVG, as text or as a value in quotes.
func Markup(text string) string { return html.EscapeString(Printable(text)) }
