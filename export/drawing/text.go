package drawing

import (
	"strings"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"rackwright/export"
)

// The face that PDF files embed and that widths are taken from.
var face = sync.OnceValue(func() *sfnt.Font {
	f, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		panic(err) // the face is part of the program
	}
	return f
})

// spread is how much wider than the embedded face others may be that a viewer takes
// for a drawing in SVG.
const spread = 1.15

// Width returns how wide a line of text of a size is taken to be, in millimetres: more
// than it is in PDF, for other faces are wider. Letters that the face lacks count as
// one size each.
func Width(line string, size float64) float64 { return spread * size * exactWidth(line) }

// Wrapped breaks a text of a size between words into lines that are no wider than given, but for
// words that are wider themselves. There is at least one, which may be empty.
func Wrapped(text string, size, wide float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && Width(longer, size) > wide {
			lines = append(lines, line)
			longer = word
		}
		line = longer
	}
	return append(lines, line)
}

// exactWidth is how wide a line is in the embedded face, over its size.
func exactWidth(line string) float64 {
	var b sfnt.Buffer
	f, sum := face(), 0.0
	em := float64(f.UnitsPerEm())
	for _, r := range line {
		i, err := f.GlyphIndex(&b, r)
		if err != nil || i == 0 {
			sum++
			continue
		}
		if w, err := f.GlyphAdvance(&b, i, fixed.I(int(em)), font.HintingNone); err == nil {
			sum += float64(w) / 64 / em
		}
	}
	return sum
}

// Shown tells whether PDF can show all letters of a text; each other one is a box there.
func Shown(text string) bool {
	_, all := known(export.Printable(text))
	return all
}

// missing stands in PDF for a letter that the embedded face lacks.
const missing = '□'

// known replaces letters that the embedded face lacks, and tells whether there were any.
func known(line string) (text string, all bool) {
	var b sfnt.Buffer
	all = true
	text = strings.Map(func(r rune) rune {
		if i, err := face().GlyphIndex(&b, r); err != nil || i == 0 {
			all = false
			return missing
		}
		return r
	}, line)
	return text, all
}
