package drawing

import (
	"strings"

	"github.com/golang/geo/r2"
)

// Least is the smallest size of words on paper in millimetres: capitals are then 3 mm high, to
// be read in a shed.
const Least = 3 / capitals

// wrapped breaks all lines.
func wrapped(lines []string, size, room float64) []string {
	var all []string
	for _, line := range lines {
		all = append(all, Wrapped(line, size, room)...)
	}
	return all
}

// Notes are lines of words as a piece of their own, not wider than given, as far as single
// words allow.
func Notes(wide float64, lines ...string) Drawing {
	var d Drawing
	all := wrapped(lines, Least, wide)
	for i, line := range all {
		d.TextFrom(r2.Point{Y: lineHeight * (float64(len(all)-i) - 0.5)}, Least, max(wide, Width(line, Least)), line)
	}
	d.Size = r2.Point{X: d.Bounds().Hi().X, Y: lineHeight * float64(len(all))}
	return d
}

// Short is a line, cut off with three dots where it is wider than room at a size.
func Short(line string, size, room float64) string {
	letters := []rune(line)
	for n := len(letters); n > 0; n-- {
		short := string(letters[:n])
		if n < len(letters) {
			short = strings.TrimSpace(short) + "…"
		}
		if Width(short, size) <= room {
			return short
		}
	}
	return ""
}
