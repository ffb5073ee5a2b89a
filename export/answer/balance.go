package answer

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/balance"
)

// WriteBalance prints what a layout, called name, does to the vehicle's balance.
func WriteBalance(w io.Writer, problem pack.Problem, name string, b balance.Balance) error {
	out := bufio.NewWriter(w)
	p := printer{out, problem.Pack.Unit}
	p.line("Balance of %s in %s, %s", problem.Pack.Name, problem.Frame.Name, name)
	for _, line := range balanceLines(p, problem, b) {
		p.line("%s", line)
	}
	p.wheels(b)
	p.contributions(b)
	return out.Flush()
}

// balanced says what a layout, whose boxes are called so, does to the balance of a vehicle that
// the frame file tells of.
func (p printer) balanced(problem pack.Problem, l pack.Layout, whose string) {
	if problem.Frame.Vehicle == nil {
		return
	}
	b := balance.Of(problem, l)
	p.line("\nBalance with %s in place:", whose)
	for _, line := range balanceLines(p, problem, b) {
		p.line("  %s", line)
	}
	p.wheels(b)
}

// BalanceLines says what a layout does to the vehicle's balance, without its tables.
func BalanceLines(problem pack.Problem, b balance.Balance, u geom.Unit) []string {
	return balanceLines(printer{unit: u}, problem, b)
}

func balanceLines(p printer, problem pack.Problem, b balance.Balance) []string {
	var lines []string
	add := func(format string, args ...any) { lines = append(lines, fmt.Sprintf(format, args...)) }
	for _, w := range b.Wheels {
		if over := w.Over(); over > 0 {
			add("Too much on the %s wheel: %s, riders and all, where %s is allowed: %s too much.", w.Name, p.kg(*w.Loaded), p.kg(*w.Allowed), p.kg(over))
		}
		if w.Lifted() {
			add("The %s wheel would lift: the mass lies beyond the other wheels.", w.Name)
		}
	}
	if len(b.Unknown) > 0 {
		add("No mass is given for: %s. They count as nothing here; weigh them and say mass in the pack file.", strings.Join(b.Unknown, ", "))
	}
	lines = append(lines, p.masses(problem, b)...)
	if b.Sideways != nil {
		add("Sideways: %s.", p.side(*b.Sideways, b.Whole != nil))
	}
	return append(lines, p.wanted(problem, b)...)
}

// masses says what all weighs, and where its middle is.
func (p printer) masses(problem pack.Problem, b balance.Balance) []string {
	var lines []string
	if b.Packed > 0 && len(b.Boxes) > 0 {
		lines = append(lines, fmt.Sprintf("Packed: %s. Its middle is %s.", p.kg(b.Packed), p.middle(b.Middle.X, b.Middle.Y, &b.Middle.Z)))
	}
	switch {
	case problem.Frame.Vehicle == nil:
		return append(lines, "This is of the packed boxes alone: with vehicle in the frame file (wheels, and what they bear) it says the loads on the wheels.")
	case b.Whole == nil:
		return append(lines, "The vehicle itself was not weighed: with weighed in the frame file, for every wheel, it says the whole.")
	}
	whole := "Vehicle as weighed " + p.kg(*b.Vehicle)
	if b.Packed > 0 {
		whole += ", with what is packed " + p.kg(b.Whole.Mass)
	}
	whole += ". Its middle is " + p.middle(b.Whole.At.X, b.Whole.At.Y, b.Whole.Height) + "."
	if b.Whole.Height == nil {
		whole += " How high is not known: give height_of_mass or raised, and ground with clear."
	}
	lines = append(lines, whole)
	if b.Battery > 0 {
		lines = append(lines, fmt.Sprintf("Rules that count a vehicle's mass without its propulsion batteries (EU 168/2013, Article 5) see %s, without driver; with the batteries it is %s.", p.kg(b.Whole.Mass-b.Battery), p.kg(b.Whole.Mass)))
	}
	return lines
}

// middle says where a middle of mass is, from zero, to what one can measure.
func (p printer) middle(x, y float64, z *float64) string {
	words := p.way(x, "forward of zero", "behind zero") + ", "
	if math.Abs(y) < aside {
		words += "in the middle across"
	} else {
		words += p.way(y, "to the left", "to the right")
	}
	if z == nil {
		return words
	}
	return words + ", " + p.way(*z, "above zero", "below zero")
}

// aside in mm is what is not worth telling of a middle of mass.
const aside = 0.5

func (p printer) way(mm float64, plus, minus string) string {
	if mm < 0 {
		plus = minus
	}
	if p.unit == geom.Millimetre {
		mm = math.Round(mm)
	}
	return p.length(math.Abs(mm)) + " " + plus
}

func (p printer) side(mm float64, whole bool) string {
	of := "the middle of the whole"
	if !whole {
		of = "the middle of what is packed"
	}
	if math.Abs(mm) < aside {
		return of + " is in the line of the wheels"
	}
	return fmt.Sprintf("%s is %s of the line of the wheels", of, p.way(mm, "to the left", "to the right"))
}

// wanted says where the boxes' middle would have to be for the loads of before.
func (p printer) wanted(problem pack.Problem, b balance.Balance) []string {
	packed := b.Packed
	if len(b.Boxes) == 0 {
		for _, k := range problem.Pack.Kinds {
			packed += float64(k.Count) * k.Mass
		}
	}
	x, ok := balance.Wanted(problem, packed)
	switch {
	case !ok:
		return nil
	case len(b.Boxes) == 0:
		return []string{fmt.Sprintf("To share the load as with the engine, the middle of the %s that are to be packed would have to be %s.", p.kg(packed), p.way(x, "forward of zero", "behind zero"))}
	case math.Abs(x-b.Middle.X) < 1:
		return []string{"The wheels share the load as with the engine."}
	}
	return []string{fmt.Sprintf("To share the load as with the engine, the middle of what is packed would have to be %s from where it is.", p.way(x-b.Middle.X, "further forward", "further back"))}
}

// kg says a mass, in an answer in inches in pounds as well.
func (p printer) kg(kg float64) string {
	if p.unit == geom.Inch {
		return fmt.Sprintf("%.1f kg (%.1f lb)", kg, kg/geom.KilogramsPerPound)
	}
	return fmt.Sprintf("%.1f kg", kg)
}

// wheels is the table of what each wheel bears.
func (p printer) wheels(b balance.Balance) {
	if len(b.Wheels) == 0 {
		return
	}
	before := beforeOf(b)
	p.line("\nOn each wheel, in kg:")
	table := tabwriter.NewWriter(p, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(table, "wheel\tnow\tpacked\twith them\tshare\twith riders\tbefore\tshare\tallowed\t\n")
	for _, w := range b.Wheels {
		loaded := w.Loaded
		if b.Loaded == nil {
			loaded = nil
		}
		fmt.Fprintf(table, "%s\t%s\t%.1f\t%s\t%s\t%s\t%s\t%s\t%s\t\n", w.Name, known(w.Now), w.Packed, known(w.With), percent(w.With, wholeOf(b)), known(loaded), known(w.Before), percent(w.Before, before), known(w.Allowed))
	}
	table.Flush()
}

// wholeOf is the mass of vehicle and boxes, beforeOf that of the vehicle with its engine; NaN
// where they are not known.
func wholeOf(b balance.Balance) float64 {
	if b.Whole == nil {
		return math.NaN()
	}
	return b.Whole.Mass
}

func beforeOf(b balance.Balance) float64 {
	sum := 0.0
	for _, w := range b.Wheels {
		if w.Before == nil {
			return math.NaN()
		}
		sum += *w.Before
	}
	return sum
}

func known(kg *float64) string {
	if kg == nil {
		return "?"
	}
	return fmt.Sprintf("%.1f", *kg)
}

func percent(kg *float64, of float64) string {
	if kg == nil || !(of > 0) {
		return "?"
	}
	return fmt.Sprintf("%.0f %%", 100**kg/of)
}

// contributions is the table of what each box adds to each wheel.
func (p printer) contributions(b balance.Balance) {
	if len(b.Boxes) == 0 {
		return
	}
	p.line("\nWhat each box adds, in kg:")
	table := tabwriter.NewWriter(p, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprint(table, "box\tmass\t")
	for _, w := range b.Wheels {
		fmt.Fprintf(table, "%s\t", w.Name)
	}
	fmt.Fprintln(table)
	for _, s := range b.Boxes {
		fmt.Fprintf(table, "%s\t%.1f\t", s.Part, s.Mass)
		for _, kg := range s.Wheels {
			fmt.Fprintf(table, "%.1f\t", kg)
		}
		fmt.Fprintln(table)
	}
	table.Flush()
}
