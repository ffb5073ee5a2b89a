package rackplan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"rackwright/pack/rack"
)

// Cut is one length to be sawn, with what it is for.
type Cut struct {
	Name   string
	Length float64
}

// Bought is how one section, or one size of rod, is cut from bought lengths.
type Bought struct {
	What    string
	Length  float64 // of each bought one
	Kerf    float64
	Bars    [][]Cut
	TooLong []Cut // longer than what is bought
	Fewest  bool  // that no fewer would do is known
}

// Left is what is left over of the last one.
func (b Bought) Left() float64 {
	if len(b.Bars) == 0 {
		return 0
	}
	return left(b.Bars[len(b.Bars)-1], b)
}

// left is what remains of one: nothing where the last cut takes the rest.
func left(cuts []Cut, b Bought) float64 { return max(0, b.Length-used(cuts, b.Kerf)) }

// Words say how many are bought and what is left.
func (b Bought) Words() string {
	text := fmt.Sprintf("%s: %d of %g mm, %.0f mm left over of the last", b.What, len(b.Bars), b.Length, b.Left())
	if b.Fewest {
		return text + " (no fewer would do)"
	}
	return text
}

// CutLines are the cut list in words: how each bought length is sawn, by the letters of parts.
func CutLines(a Answer) []string {
	letters := lettersOf(a.Rack)
	var lines []string
	for _, l := range CutList(a.Rack) {
		lines = append(lines, fmt.Sprintf("%s; the saw takes %g mm a cut", l.Words(), l.Kerf))
		for i, bar := range l.Bars {
			var words []string
			for _, c := range bar {
				words = append(words, fmt.Sprintf("%.1f mm %s", c.Length, cmp.Or(letters[c.Name], "rod")))
			}
			slices.SortStableFunc(words, byLetter)
			words = counted(words)
			lines = append(lines, fmt.Sprintf("%s, length %d: %s; left %.0f mm", l.What, i+1, strings.Join(words, " | "), left(bar, l)))
		}
		for _, c := range l.TooLong {
			lines = append(lines, fmt.Sprintf("%s is %.1f mm: longer than what is bought, %g mm", c.Name, c.Length, l.Length))
		}
	}
	for _, s := range Plates(a.Rack) {
		lines = append(lines, s.lines(a.Rack.Bought.Kerf)...)
	}
	return lines
}

// byLetter orders cuts by the letters that they end with, so that alike ones follow one another.
func byLetter(a, b string) int {
	last := func(s string) string { return s[strings.LastIndex(s, " ")+1:] }
	return cmp.Compare(last(a), last(b))
}

func used(cuts []Cut, kerf float64) float64 {
	sum := 0.0
	for _, c := range cuts {
		sum += c.Length + kerf
	}
	return sum
}

// CutList lays bars and rods out on bought lengths.
func CutList(r *rack.Rack) []Bought {
	by := map[string][]Cut{}
	for _, b := range r.Bars {
		if b.Section.Form == rack.Plate {
			continue
		}
		by[b.Section.String()] = append(by[b.Section.String()], Cut{b.Name, b.Length()})
	}
	rods := map[string][]Cut{}
	for _, f := range r.Fasteners {
		if f.Rod && !r.Stud(f) {
			what := fmt.Sprintf("rod %s of class %s", f.Size, f.Class)
			rods[what] = append(rods[what], Cut{f.Name, f.Length()})
		}
	}
	list := append(bought(by, r.Bought.Bar, r.Bought.Kerf), bought(rods, r.Bought.Rod, r.Bought.Kerf)...)
	slices.SortFunc(list, func(a, b Bought) int { return cmp.Compare(a.What, b.What) })
	return list
}

func bought(by map[string][]Cut, length, kerf float64) []Bought {
	var list []Bought
	for what, cuts := range by {
		b := Bought{What: what, Length: length, Kerf: kerf}
		var fit []Cut
		for _, c := range cuts {
			if c.Length > length {
				b.TooLong = append(b.TooLong, c)
			} else {
				fit = append(fit, c)
			}
		}
		b.Bars, b.Fewest = nest(fit, length, kerf)
		list = append(list, b)
	}
	return list
}

// nestSteps bounds the search for fewer bought lengths.
const nestSteps = 200_000

// nest puts cuts on as few bought lengths as it finds, and tells whether no fewer would do: first
// fit of the longest first, then a search for one fewer as long as the sum of lengths allows it,
// which ends after nestSteps.
func nest(cuts []Cut, length, kerf float64) (bars [][]Cut, fewest bool) {
	sorted := slices.Clone(cuts)
	slices.SortStableFunc(sorted, func(a, b Cut) int { return cmp.Compare(b.Length, a.Length) })
	best := firstFit(sorted, length, kerf)
	for float64(len(best)-1)*(length+kerf) >= used(sorted, kerf) {
		steps := nestSteps
		fewer, ok := into(sorted, make([][]Cut, len(best)-1), length, kerf, &steps)
		if !ok {
			return best, steps >= 0
		}
		best = fewer
	}
	return best, true
}

func firstFit(sorted []Cut, length, kerf float64) [][]Cut {
	var bars [][]Cut
	for _, c := range sorted {
		i := slices.IndexFunc(bars, func(b []Cut) bool { return used(b, kerf)+c.Length <= length })
		if i < 0 {
			bars = append(bars, nil)
			i = len(bars) - 1
		}
		bars[i] = append(bars[i], c)
	}
	return bars
}

// into puts the cuts into a number of bars, one after the other, trying each bar that has room.
func into(cuts []Cut, bars [][]Cut, length, kerf float64, steps *int) ([][]Cut, bool) {
	if len(cuts) == 0 {
		return bars, true
	}
	if *steps--; *steps < 0 {
		return nil, false
	}
	seen := map[float64]bool{}
	for i, b := range bars {
		u := used(b, kerf)
		if u+cuts[0].Length > length || seen[u] {
			continue
		}
		seen[u] = true
		next := slices.Clone(bars)
		next[i] = append(slices.Clone(b), cuts[0])
		if out, ok := into(cuts[1:], next, length, kerf, steps); ok {
			return out, true
		}
	}
	return nil, false
}
