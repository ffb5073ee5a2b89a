package answer

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"text/tabwriter"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/wire"
)

// WriteWiring prints a plan of the wiring, as one reads it out to oneself with the spanner in
// hand, and the paths of files that were written.
func WriteWiring(w io.Writer, problem pack.Problem, plan wire.Plan, written []string) error {
	out := bufio.NewWriter(w)
	p := printer{out, problem.Pack.Unit}
	p.line("Wiring of %s in %s", problem.Pack.Name, problem.Frame.Name)
	for _, part := range WiringParts(problem, plan, p.unit) {
		p.line("\n%s:", part.Title)
		for _, l := range part.Lines {
			p.line("  %s", l.Text)
		}
		if part.Title == jumpersTitle {
			p.jumpers(problem, plan)
		}
	}
	p.files("Written", written)
	return out.Flush()
}

const jumpersTitle = "Cables"

// WiringParts are the parts of a plan in words and lengths of a unit, without the table of jumpers.
func WiringParts(problem pack.Problem, plan wire.Plan, u geom.Unit) []Part {
	p := printer{unit: u}
	parts := []Part{part("Mind", append(append([]string{}, plan.Notes...), wiringCautions...)...), p.what(plan), p.cables(plan), p.protection(plan), connecting(plan), boots(plan)}
	if len(plan.Wiring.Assumed) > 0 {
		parts = append(parts, part("Taken for granted, for the pack file does not say", plan.Wiring.Assumed...))
	}
	return parts
}

// wiringCautions hold for every plan.
var wiringCautions = []string{
	"Boots on every post that you are not working on; tools with one insulated end; no rings or watches; eye protection. A spanner across two posts welds and burns.",
	"The charger and its earth, and all beyond the fuse, are not planned here. Local rules and a qualified electrician have the last word.",
}

func part(title string, lines ...string) Part { return Part{Title: title, Lines: plain(lines...)} }

// what says how the batteries are joined.
func (p printer) what(plan wire.Plan) Part {
	w := plan.Wiring
	joined := fmt.Sprintf("%d batteries in series", w.Series)
	switch {
	case w.Parallel > 1:
		joined = fmt.Sprintf("%d groups in series, each of %d batteries in parallel", w.Series, w.Parallel)
	case w.Strings > 1:
		joined = fmt.Sprintf("%d strings in parallel, each of %d batteries in series", w.Strings, w.Series)
	}
	best := "no other order has less cable (all were gone through)"
	if !plan.Proven {
		best = "another order may have less cable: there are too many to go through them all"
	}
	return part("Batteries",
		joined+": "+fmt.Sprintf("%.4g V, %.4g V at the end of charging.", plan.Volts, plan.EndVolts),
		"From the pack's minus to its plus: "+names(plan.Order)+".",
		fmt.Sprintf("%s of cable in all jumpers, along their middles; %s.", p.cableLength(plan.Total()), best),
		"The pack's minus is "+names(plan.Minus)+", its plus "+names(plan.Plus)+".")
}

func names(parts []pack.Part) string {
	all := make([]string, len(parts))
	for i, part := range parts {
		all[i] = part.String()
	}
	return strings.Join(all, ", ")
}

// cableLength is a length of cable, to what one can cut.
func (p printer) cableLength(mm float64) string { return p.length(math.Round(mm)) }

// cables says which cable, and what it does at the lasting current.
func (p printer) cables(plan wire.Plan) Part {
	w := plan.Wiring
	where := "in the open"
	if w.Around.Hot {
		where = "in a space of 50 °C"
	}
	lines := []string{
		fmt.Sprintf("%s, stranded copper, insulation for %d °C, %.0f mm thick outside: it carries %.0f A for long %s (33 CFR 183.425, Table 5; made for boats); asked for are %g A, and %g A for seconds.",
			plan.Cable, w.Around.Insulation, plan.Cable.Outside(), plan.Carries, where, w.Amps, w.Peak),
		fmt.Sprintf("At %g A, copper at %d °C: %.2f V lost, %.0f W of heat in these cables.", w.Amps, wire.Warm, plan.Drop, plan.Heat),
		"Lugs: " + lugWords(plan) + ". Crimp with the tool for the lug, sleeve over it. Torque: ask the battery's maker, figures differ threefold.",
	}
	out := part(jumpersTitle, lines...)
	if len(plan.Leads) == 0 {
		out.Lines = append(out.Lines, Line{Text: "Leads from the pack are not measured: say wiring: {controller: {box: …, plus: …, minus: …}} in the pack file."})
	}
	if len(plan.Charging) > 0 {
		out.Lines = append(out.Lines, Line{Text: "The leads to the charger carry its own current only: a thinner cable may do there, with a fuse for that cable at the pack's plus."})
	}
	return out
}

func lugWords(plan wire.Plan) string {
	var all []string
	for _, l := range plan.Lugs {
		bolt := l.Bolt
		if bolt == "" {
			bolt = "posts without bolt: in the pack file (measure the hole)"
		}
		all = append(all, fmt.Sprintf("%d of %s for %s", l.Count, plan.Cable, bolt))
	}
	return strings.Join(all, ", ")
}

// CableRow is a row of the table of cables to cut.
type CableRow struct {
	Name, From, To string
	Along, Cut     string // lengths
	Lugs           string // for the bolts at from and to, where they are known
	Leaves, Bend   string // which way it leaves its first post, and its sharpest bend
}

// CableHead are the titles of the columns of a CableRow, as Cells has them.
func CableHead() []string {
	return []string{"", "from", "to", "along", "cut", "lugs", "leaves towards", "bend"}
}

// Cells are the columns of a row.
func (r CableRow) Cells() []string {
	return []string{r.Name, r.From, r.To, r.Along, r.Cut, r.Lugs, r.Leaves, r.Bend}
}

// CableRows are the cables to cut: jumpers first, then leads.
func CableRows(problem pack.Problem, plan wire.Plan, u geom.Unit) []CableRow {
	p := printer{unit: u}
	var rows []CableRow
	add := func(name string, j wire.Jumper) {
		rows = append(rows, CableRow{
			name, j.From.String(), j.To.String(), p.cableLength(j.Path.Length), p.cableLength(j.Cut),
			lugsOf(problem, j), j.Leaves, p.bend(j),
		})
	}
	for i, j := range plan.Jumpers {
		add(jumperName(plan, i), j)
	}
	for _, j := range plan.Leads {
		add(leadName(plan, "lead", j), j)
	}
	for _, j := range plan.Charging {
		add(leadName(plan, "charger", j), j)
	}
	return rows
}

// lugsOf are the bolts that a cable's lugs go on.
func lugsOf(problem pack.Problem, j wire.Jumper) string {
	bolt := func(part pack.Part) string {
		kind, _ := problem.Kind(part.Box)
		for _, post := range kind.Posts {
			if post.Name == part.Post && post.Bolt != "" {
				return post.Bolt
			}
		}
		return "?"
	}
	from, to := bolt(j.From), bolt(j.To)
	if from == to {
		return "2 × " + from
	}
	return from + ", " + to
}

// jumpers is the table of cables to cut.
func (p printer) jumpers(problem pack.Problem, plan wire.Plan) {
	table := tabwriter.NewWriter(p, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "  "+strings.Join(CableHead(), "\t"))
	for _, row := range CableRows(problem, plan, p.unit) {
		fmt.Fprintln(table, "  "+strings.Join(row.Cells(), "\t"))
	}
	table.Flush()
}

func (p printer) bend(j wire.Jumper) string {
	if math.IsInf(j.Path.Bend, 1) {
		return "straight"
	}
	return p.cableLength(math.Floor(j.Path.Bend))
}

func jumperName(_ wire.Plan, i int) string { return fmt.Sprintf("jumper %d", i+1) }

// leadName is that of a lead to a box by the end of the pack that it comes from.
func leadName(plan wire.Plan, to string, j wire.Jumper) string {
	if k := slices.Index(plan.Plus, j.From); k >= 0 {
		return to + " plus" + plan.StringName(k)
	}
	return to + " minus"
}

// protection says fuse, switch and break.
func (p printer) protection(plan wire.Plan) Part {
	w := plan.Wiring
	of, meet := "the pack's plus", ""
	if w.Strings > 1 {
		of = fmt.Sprintf("the plus of each string (%s): %d fuses", names(plan.Plus), w.Strings)
		meet = " The strings' leads meet behind their fuses, at the main switch, never before: a string that fails would be fed by the others."
	}
	lines := []string{
		fmt.Sprintf("Fuse: %g A, for at least %.0f V DC, in the lead from %s, within %s of the post along the cable, or within %s where it is sheathed all along (33 CFR 183.455).%s", plan.Fuse, math.Ceil(plan.EndVolts), of, p.length(wire.FuseWithin), p.length(wire.FuseSheathed), meet),
	}
	if plan.Interrupt > 0 {
		lines = append(lines, fmt.Sprintf("It has to be able to break %.0f A (batteries in series do not add, in parallel they do).", plan.Interrupt))
	} else {
		lines = append(lines, "What it has to be able to break: ask the battery's maker for the short-circuit current (in series they do not add, in parallel they do), and compare with the fuse's interrupt rating.")
	}
	lines = append(lines, fmt.Sprintf("Main switch: next to the fuse, for at least %g A lasting and %.0f V DC, within the rider's reach.", w.Amps, math.Ceil(plan.EndVolts)))
	for _, i := range plan.Breaks {
		j := plan.Jumpers[i]
		lines = append(lines, fmt.Sprintf("Break in the middle: %s, from %s to %s, is joined last and taken off first: it halves the voltage while you work.", jumperName(plan, i), j.From, j.To))
	}
	return part("Fuse, switch, break", lines...)
}

// connecting says in which order connections are made.
func connecting(plan wire.Plan) Part {
	out := Part{Title: "Order of making connections"}
	for n, text := range JoiningSteps(plan) {
		out.Lines = append(out.Lines, Line{Text: fmt.Sprintf("%d. %s", n+1, text)})
	}
	out.Lines = append(out.Lines, Line{Text: "To take it apart: the same backwards, fuse out first."})
	return out
}

// JoiningSteps are the steps of making connections in words, as Plan.Steps has them.
func JoiningSteps(plan wire.Plan) []string {
	var all []string
	for _, s := range plan.Steps() {
		all = append(all, stepText(plan, s))
	}
	return all
}

func stepText(plan wire.Plan, s wire.Step) string {
	switch s.Do {
	case wire.Prepare:
		return "Fuse out, main switch off, charger unplugged. All boxes in and held down, boots on every post."
	case wire.Join:
		j := plan.Jumpers[s.Jumper]
		return fmt.Sprintf("%s: lift the boots of %s and %s, join them, boots back on.", jumperName(plan, s.Jumper), j.From, j.To)
	case wire.JoinLead:
		j := plan.Leads[s.Jumper]
		return fmt.Sprintf("%s: %s first, then %s, boots back on.", leadName(plan, "lead", j), j.To, j.From)
	case wire.JoinCharger:
		j := plan.Charging[s.Jumper]
		return fmt.Sprintf("%s: %s first, then %s, boots back on.", leadName(plan, "charger", j), j.To, j.From)
	case wire.CloseLast:
		j := plan.Jumpers[s.Jumper]
		return fmt.Sprintf("Last link, %s: %s to %s. From now on the whole voltage is there.", jumperName(plan, s.Jumper), j.From, j.To)
	}
	return "Look once more: every post under its boot, no tool left, nothing chafes. Measure the voltage at the fuse holder and its polarity; then put in the fuse, switch on."
}

// boots lists every live post.
func boots(plan wire.Plan) Part {
	colours := map[string]string{"+": "red", "-": "black"}
	var red, black, unused, unknown []string
	for _, b := range plan.Boots {
		name := b.Post.String()
		switch colours[b.Polarity] {
		case "red":
			red = append(red, name)
		case "black":
			black = append(black, name)
		default:
			unknown = append(unknown, name)
		}
		if b.Unused {
			unused = append(unused, name)
		}
	}
	out := Part{Title: "Boots"}
	add := func(words string, list []string) {
		if len(list) > 0 {
			out.Lines = append(out.Lines, Line{Text: fmt.Sprintf("%d %s: %s.", len(list), words, strings.Join(list, ", "))})
		}
	}
	add("red", red)
	add("black", black)
	add("of no known polarity", unknown)
	add("of them have no cable here, and get a boot all the same", unused)
	return out
}
