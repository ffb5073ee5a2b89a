package compare

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/golang/geo/r1"

	"rackwright/geom"
	"rackwright/pack"
)

// Wish is what the batteries are to have together.
type Wish struct {
	Volts    r1.Interval // nominal; empty when it does not matter
	WattHour r1.Interval // from at least to at most
	Mass     float64     // kg at most; +Inf when it does not matter
	Price    float64     // at most; +Inf when it does not matter
}

// voltsAround is how far, in parts of it, volts may be off a wish of one number: batteries come in steps of
// their own. It is our own choice.
const voltsAround = 0.1

// Grammar says how a wish is written, for messages.
const Grammar = "such as '72 V, 3 kWh' or '60-84 V, 3-5 kWh, 45 kg, 900 EUR': volts, energy, most mass, most money"

// wishTerm is a number or two, and what they are of.
var wishTerm = regexp.MustCompile(`^(at least|at most|up to|from)?\s*([$£€]?)\s*(\d+(?:\.\d+)?)(?:\s*(?:-|–|to|\.\.)\s*(\d+(?:\.\d+)?))?\s*([\pL€$£]*)$`)

// ParseWish reads a wish such as "72 V, 3 kWh". A number of volts alone means a tenth around it; of
// energy at least so much, of kg, lb and money at most. currency is that of the prices; money is
// written with it or with the word money.
func ParseWish(text, currency string) (Wish, error) {
	w := Wish{Volts: r1.EmptyInterval(), WattHour: r1.Interval{Lo: 0, Hi: math.Inf(1)}, Mass: math.Inf(1), Price: math.Inf(1)}
	seen := map[string]bool{}
	for _, term := range strings.Split(text, ",") {
		of, err := w.add(strings.TrimSpace(term), currency)
		switch {
		case err != nil:
			return Wish{}, fmt.Errorf("the wish %q: %w; write it %s", text, err, Grammar)
		case seen[of]:
			return Wish{}, fmt.Errorf("the wish %q says %s twice", text, of)
		}
		seen[of] = true
	}
	return w, nil
}

// add takes one term, and tells what it was about.
func (w *Wish) add(term, currency string) (of string, err error) {
	m := wishTerm.FindStringSubmatch(term)
	if m == nil {
		return "", fmt.Errorf("%q is no number with its unit", term)
	}
	lo, _ := strconv.ParseFloat(m[3], 64)
	hi, single := lo, m[4] == ""
	if !single {
		hi, _ = strconv.ParseFloat(m[4], 64)
	}
	unit := m[5] + m[2]
	switch {
	case hi < lo:
		return "", fmt.Errorf("%q goes from the greater to the lesser number", term)
	case unit == "":
		return "", fmt.Errorf("%q has no unit (and decimals have a point: 3.5 kWh)", term)
	}
	bounds := r1.Interval{Lo: lo, Hi: hi}
	switch m[1] {
	case "at least", "from":
		bounds.Hi = math.Inf(1)
	case "at most", "up to":
		bounds.Lo = 0
	}
	return w.set(unit, bounds, single && m[1] == "", currency)
}

// set notes what is wished of a unit; bare tells that it is one number and no more.
func (w *Wish) set(unit string, in r1.Interval, bare bool, currency string) (of string, err error) {
	switch strings.ToLower(unit) {
	case "v", "volts", "volt":
		if bare {
			in = r1.Interval{Lo: in.Lo * (1 - voltsAround), Hi: in.Hi * (1 + voltsAround)}
		}
		w.Volts = in
		return "volts", nil
	case "kwh":
		in = r1.Interval{Lo: in.Lo * 1000, Hi: in.Hi * 1000}
		fallthrough
	case "wh":
		if bare {
			in.Hi = math.Inf(1)
		}
		w.WattHour = in
		return "energy", nil
	case "kg", "lb":
		if err := atMost(in, bare, "mass"); err != nil {
			return "", err
		}
		w.Mass, err = geom.ParseMass(fmt.Sprintf("%g %s", in.Hi, strings.ToLower(unit)))
		return "mass", err
	case "money", strings.ToLower(currency):
		w.Price = in.Hi
		return "money", atMost(in, bare, "money")
	}
	return "", fmt.Errorf("%s is no unit of a wish: V, kWh, Wh, kg, lb%s", unit, moneyUnits(currency))
}

// atMost refuses a least mass and a least price, which nobody wants.
func atMost(in r1.Interval, bare bool, what string) error {
	if !bare && in.Lo > 0 {
		return fmt.Errorf("of %s only the most can be wished", what)
	}
	return nil
}

func moneyUnits(currency string) string {
	if currency == "" {
		return ", money"
	}
	return ", " + currency
}

// meets tells whether so many of a battery meet a wish, and how they are joined then: among the ways
// to join them that which comes nearest to the middle of the volts.
func (w Wish) meets(b pack.Battery, count int) (joined Joined, ok bool) {
	n := float64(count)
	wh := n * b.Volts * b.AmpHours
	switch {
	case !within(w.WattHour, wh):
		return Joined{}, false
	case !math.IsInf(w.Mass, 1) && (b.Mass == 0 || n*b.Mass > w.Mass*(1+rounding)):
		return Joined{}, false
	case !math.IsInf(w.Price, 1) && (b.Price < 0 || n*b.Price > w.Price*(1+rounding)):
		return Joined{}, false
	case w.Volts.IsEmpty():
		return Joined{Series: count, Parallel: 1}, true
	}
	off := math.Inf(1)
	middle := w.Volts.Center()
	if math.IsInf(middle, 0) {
		middle = w.Volts.Lo
	}
	for series := 1; series <= count; series++ {
		volts := float64(series) * b.Volts
		if count%series == 0 && within(w.Volts, volts) && math.Abs(volts-middle) < off {
			joined, off = Joined{Series: series, Parallel: count / series}, math.Abs(volts-middle)
		}
	}
	return joined, joined.Series > 0
}

// rounding is what sums of decimals may be off by, in parts.
const rounding = 1e-9

func within(in r1.Interval, v float64) bool {
	return v >= in.Lo*(1-rounding) && v <= in.Hi*(1+rounding)
}

// Nothing says of a wish that nothing meets what comes nearest: which battery, and what of it does not
// agree.
func (w Wish) Nothing(c *pack.Catalogue, counts Counts) error {
	var lines []string
	for _, b := range c.Batteries {
		if text := w.short(b, counts); text != "" && !slices.Contains(lines, text) {
			lines = append(lines, text)
		}
	}
	const most = 5
	more := ""
	if n := len(lines) - most; n > 0 {
		lines, more = lines[:most], fmt.Sprintf("\n  and %d more like these", n)
	}
	return fmt.Errorf("no battery of %q meets the wish in any count from %d to %d:\n  %s%s\nask for less, or for volts from–to, such as '60-84 V'",
		c.Name, counts.Least, counts.Most, strings.Join(lines, "\n  "), more)
}

// short says why no count of a battery meets a wish.
func (w Wish) short(b pack.Battery, counts Counts) string {
	only := func(one Wish) bool {
		for n := counts.Least; n <= counts.Most; n++ {
			if _, ok := one.meets(b, n); ok {
				return true
			}
		}
		return false
	}
	free := Wish{Volts: r1.EmptyInterval(), WattHour: r1.Interval{Lo: 0, Hi: math.Inf(1)}, Mass: math.Inf(1), Price: math.Inf(1)}
	volts, energy, mass, price := free, free, free, free
	volts.Volts, energy.WattHour, mass.Mass, price.Price = w.Volts, w.WattHour, w.Mass, w.Price
	switch {
	case !only(volts):
		return fmt.Sprintf("%s: of %g V each, no number in series gives %s", b.Name, b.Volts, span(w.Volts, 1, "V"))
	case !only(energy):
		return fmt.Sprintf("%s: of %.4g Wh each, none of these counts gives %s", b.Name, b.Volts*b.AmpHours, span(w.WattHour, 1000, "kWh"))
	case !only(mass) && b.Mass == 0:
		return fmt.Sprintf("%s: its mass is not given", b.Name)
	case !only(mass):
		return fmt.Sprintf("%s: one alone has %g kg", b.Name, b.Mass)
	case !only(price) && b.Price < 0:
		return fmt.Sprintf("%s: its price is not given", b.Name)
	case !only(price):
		return fmt.Sprintf("%s: one alone costs %g", b.Name, b.Price)
	}
	return fmt.Sprintf("%s: no count meets all of it at once", b.Name)
}

// Words say what is wished, so that it can be seen how it was understood.
func (w Wish) Words(currency string) string {
	var list []string
	if !w.Volts.IsEmpty() {
		list = append(list, span(w.Volts, 1, "V"))
	}
	if w.WattHour.Lo > 0 || !math.IsInf(w.WattHour.Hi, 1) {
		list = append(list, span(w.WattHour, 1000, "kWh"))
	}
	if !math.IsInf(w.Mass, 1) {
		list = append(list, fmt.Sprintf("at most %.4g kg of batteries", w.Mass))
	}
	if !math.IsInf(w.Price, 1) {
		list = append(list, strings.TrimSpace(fmt.Sprintf("at most %.8g %s", w.Price, currency)))
	}
	return strings.Join(list, ", ")
}

func span(in r1.Interval, per float64, unit string) string {
	switch {
	case math.IsInf(in.Hi, 1):
		return fmt.Sprintf("at least %.4g %s", in.Lo/per, unit)
	case in.Lo <= 0:
		return fmt.Sprintf("at most %.4g %s", in.Hi/per, unit)
	}
	return fmt.Sprintf("%.4g to %.4g %s", in.Lo/per, in.Hi/per, unit)
}
