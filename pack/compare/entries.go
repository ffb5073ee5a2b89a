package compare

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"rackwright/frame"
	"rackwright/pack"
)

// Joined is how batteries are joined: so many in series, and so many of these in parallel.
type Joined struct{ Series, Parallel int }

// String writes it as the trade does: 6s, 6s2p.
func (j Joined) String() string {
	if j.Parallel == 1 {
		return fmt.Sprintf("%ds", j.Series)
	}
	return fmt.Sprintf("%ds%dp", j.Series, j.Parallel)
}

// Entry is a battery in a count: one row of the comparison.
type Entry struct {
	Row     int // from 0, in the order of the catalogue
	Battery pack.Battery
	Count   int
	Joined  Joined
}

// Name is what the entry is called, such as "block 18 Ah × 6".
func (e Entry) Name() string { return fmt.Sprintf("%s × %d", e.Battery.Name, e.Count) }

// KWh is the energy of the batteries, nominal.
func (e Entry) KWh() float64 {
	return float64(e.Count) * e.Battery.Volts * e.Battery.AmpHours / 1000
}

// Volts is the nominal voltage as they are joined.
func (e Entry) Volts() float64 { return float64(e.Joined.Series) * e.Battery.Volts }

// Mass is that of the batteries in kg, and whether it is known.
func (e Entry) Mass() (kg float64, known bool) {
	return float64(e.Count) * e.Battery.Mass, e.Battery.Mass > 0
}

// Price is that of the batteries, and whether it is known.
func (e Entry) Price() (price float64, known bool) {
	return float64(e.Count) * e.Battery.Price, e.Battery.Price >= 0
}

// Counts are how many of a battery are tried.
type Counts struct{ Least, Most int }

// Entries lists the batteries and counts that meet a wish, beside boxes that are there in any case. Of
// those that alone have more volume than the opening it has the first count only: more of the same
// do not go in either.
func Entries(f *frame.Frame, c *pack.Catalogue, fixed []pack.Kind, w Wish, counts Counts) []Entry {
	room := volumeOf(f) - volumeOfAll(fixed)
	most := min(counts.Most, pack.MaxBoxes-boxes(fixed))
	var list []Entry
	for _, b := range c.Batteries {
		for n := counts.Least; n <= most; n++ {
			joined, ok := w.meets(b, n)
			if !ok {
				continue
			}
			list = append(list, Entry{Row: len(list), Battery: b, Count: n, Joined: joined})
			if float64(n)*volumeOfOne(b.Kind) > room*(1+rounding) {
				break
			}
		}
	}
	return list
}

// volumeOf is at least that of an opening: the area of its side view times its greatest width.
func volumeOf(f *frame.Frame) float64 {
	across := 0.0
	for _, s := range f.Opening.Stations {
		across = max(across, s.Across.Length())
	}
	return math.Abs(f.Opening.Outline.Area()) * across
}

func volumeOfOne(k pack.Kind) float64 { return k.Size.X * k.Size.Y * k.Size.Z }

func volumeOfAll(kinds []pack.Kind) float64 {
	sum := 0.0
	for _, k := range kinds {
		sum += float64(k.Count) * volumeOfOne(k)
	}
	return sum
}

func boxes(kinds []pack.Kind) int {
	n := 0
	for _, k := range kinds {
		n += k.Count
	}
	return n
}

// ParseCounts reads how many of a battery are to be tried: a number, or from–to.
func ParseCounts(text string) (Counts, error) {
	from, to, two := strings.Cut(strings.ReplaceAll(text, "–", "-"), "-")
	if !two {
		to = from
	}
	a, err1 := strconv.Atoi(strings.TrimSpace(from))
	b, err2 := strconv.Atoi(strings.TrimSpace(to))
	if err1 != nil || err2 != nil || a < 1 || b < a || b > pack.MaxBoxes {
		return Counts{}, fmt.Errorf("counts are from 1 to %d, such as 4-8, not %q", pack.MaxBoxes, text)
	}
	return Counts{a, b}, nil
}
