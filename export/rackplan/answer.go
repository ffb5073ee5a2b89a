package rackplan

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
	"rackwright/pack/wire"
)

// Answer is what there is to say of a rack.
type Answer struct {
	Problem pack.Problem
	Layout  pack.Layout
	Rack    *rack.Rack // nil where none could be designed
	Report  judge.Report
	Why     []string // what could not be had
	// Wiring is how the batteries are joined: it goes into the order of building. Nil where that
	// was not looked at.
	Wiring *wire.Plan
	// Removals are the rails that the layout takes off for good.
	Removals []Removal
}

// removed says what comes off for good, and what goes there instead.
func (a Answer) removed(b *strings.Builder) {
	for _, x := range a.Removals {
		fmt.Fprintln(b)
		for i, line := range x.Words() {
			fmt.Fprintf(b, "%s %s\n", map[bool]string{true: "!", false: " "}[i == 0], line)
		}
	}
}

// g is a number of g, rounded down.
func g(v float64) string {
	if v >= 10 {
		return fmt.Sprintf("%.0f", math.Floor(v))
	}
	return fmt.Sprintf("%.1f", math.Floor(10*v)/10)
}

// Write prints the answer: cautions first where the rack holds less than a published level.
func Write(w io.Writer, a Answer) error {
	var b strings.Builder
	if a.Rack == nil {
		b.WriteString("No rack could be designed for this layout:\n")
		for _, line := range a.Why {
			fmt.Fprintf(&b, "  - %s\n", line)
		}
		b.WriteString("Fit again with room for a rack: rackwright fit FRAME PACK --rack. Or give the boxes more room there (gaps.tray, gaps.wall), and add mounts that are there.\n")
		a.removed(&b)
		_, err := io.WriteString(w, b.String())
		return err
	}
	weak := a.onlyWeak()
	if weak { // what was asked for comes first
		a.headline(&b)
	}
	for _, line := range Below(a) {
		fmt.Fprintln(&b, line)
	}
	if !weak {
		a.headline(&b)
	}
	a.table(&b)
	a.cuts(&b)
	a.removed(&b)
	fmt.Fprintln(&b)
	for _, line := range Cautions(a) {
		fmt.Fprintf(&b, "! %s\n", line)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// shownMost is how many violations are printed.
const shownMost = 12

// Headline says how much there is of a rack, and whether it keeps the rules.
func Headline(a Answer) string {
	switch n := len(a.Report.Violations); {
	case a.onlyWeak():
		return fmt.Sprintf("The rack holds less than it is to hold (%s, %d bolts and rods, %.1f kg); it keeps all other rules.", barsAndPlates(a.Rack), len(a.Rack.Fasteners), a.Rack.Mass())
	case n == 1:
		return "The rack breaks a rule."
	case n > 1:
		return fmt.Sprintf("The rack breaks rules %d times.", n)
	}
	return fmt.Sprintf("The rack keeps all seven rules: %s, %d bolts and rods, %.1f kg.%s", barsAndPlates(a.Rack), len(a.Rack.Fasteners), a.Rack.Mass(), tilted(a.Rack))
}

// onlyWeak tells whether the rack breaks no rule but that it holds less than is aimed at.
func (a Answer) onlyWeak() bool {
	return len(a.Report.Violations) > 0 && !slices.ContainsFunc(a.Report.Violations, func(v judge.Violation) bool { return v.Unit != "g" })
}

// barsAndPlates says how many there are of each, and of clamps.
func barsAndPlates(r *rack.Rack) string {
	plates := 0
	for _, b := range r.Bars {
		if b.Section.Form == rack.Plate {
			plates++
		}
	}
	text := fmt.Sprintf("%d bars", len(r.Bars)-plates)
	if plates > 0 {
		text += fmt.Sprintf(", %d plate%s", plates, plural(plates))
	}
	if n := len(r.Clamps); n > 0 {
		text += fmt.Sprintf(", %d clamp%s", n, plural(n))
	}
	return text
}

// tilted says by how much trays are tilted that are.
func tilted(r *rack.Rack) string {
	switch d := r.Tilt.Degrees(); {
	case d > 0.005:
		return fmt.Sprintf(" Its trays are tilted like the boxes, %.4g° nose down.", d)
	case d < -0.005:
		return fmt.Sprintf(" Its trays are tilted like the boxes, %.4g° nose up.", -d)
	}
	return ""
}

func (a Answer) headline(b *strings.Builder) {
	if fmt.Fprintln(b, Headline(a)); a.Report.Sound() {
		return
	}
	for i, v := range a.Report.Violations {
		if i == shownMost {
			fmt.Fprintf(b, "  and %d more\n", len(a.Report.Violations)-i)
			break
		}
		fmt.Fprintf(b, "  %v: %s\n", v.Rule, v.Text)
	}
}

// Table is what a rack holds beside the published levels: the heads of columns, and a row for each
// direction.
func Table(a Answer) (head []string, rows [][]string) {
	head = []string{"", "holds", "what gives first", "moves at 1 g"}
	for _, l := range Levels() {
		head = append(head, l.Rule)
	}
	for _, d := range a.Report.Loads.Directions {
		row := []string{d.Name, g(d.Holds), d.Weakest, fmt.Sprintf("%.1f mm", d.Moves)}
		for _, l := range Levels() {
			text := "-"
			if v := l.G[d.Name]; v > 0 {
				text = fmt.Sprintf("%g", v)
			}
			row = append(row, text)
		}
		rows = append(rows, row)
	}
	return head, rows
}

// table is what it holds beside the published levels.
func (a Answer) table(b *strings.Builder) {
	if len(a.Report.Loads.Directions) == 0 {
		return
	}
	fmt.Fprintf(b, "\nHow many times the boxes' weight (g) it holds until the first part gives:\n")
	head, rows := Table(a)
	for _, row := range append([][]string{head}, rows...) {
		fmt.Fprintf(b, "  %-9s %6s  %-44s %12s", row[0], row[1], row[2], row[3])
		for _, cell := range row[4:] {
			fmt.Fprintf(b, "  %16s", cell)
		}
		fmt.Fprintln(b)
	}
	for _, l := range Levels() {
		fmt.Fprintf(b, "  %s: %s.\n", l.Rule, l.About)
	}
	fmt.Fprintln(b, "  None of these is about your vehicle. Bars of S235 steel to their yield, bolts by EN 1993-1-8.")
}

func (a Answer) cuts(b *strings.Builder) {
	fmt.Fprintf(b, "\nTo cut:\n")
	for _, p := range Parts(a.Rack) {
		fmt.Fprintf(b, "  %2d × %-14s %6.1f mm  %s\n", len(p.Names), p.Bar.Section, p.Bar.Length(), strings.Join(p.Names, ", "))
	}
	for _, l := range CutList(a.Rack) {
		fmt.Fprintf(b, "  %s\n", l.Words())
	}
	for _, s := range Plates(a.Rack) {
		fmt.Fprintf(b, "  %s\n", s.Words())
	}
}

// Cautions of building a rack and of living with it.
func Cautions(a Answer) []string {
	list := []string{
		"The rack carries the boxes in a crash and over bumps: have someone qualified look at it. What it holds is reckoned, not tested.",
		"Nothing is drilled into or welded to the vehicle. Bolts of mounts: measure their length and thread before buying.",
		fmt.Sprintf("With its boxes it weighs %.0f kg: two people or a hoist, or box by box in the frame.", a.Rack.Mass()+boxMass(a)),
		"Locking nuts everywhere: the thread shows beyond the nut; take new ones when fingers turn them.",
		"Boots on every live post, and the posts covered, before any bar comes near: a bar or spanner across two posts welds and burns.",
		"No torque for battery posts is given here: makers differ threefold, ask for the maker's figure.",
	}
	if names := assumed(a); len(names) > 0 {
		list = append(list, fmt.Sprintf("Bolts through %s are as long as %d mm of metal needs, for the frame file does not say: measure it there, write it as thick to the mount, and make the rack again.", strings.Join(names, ", "), rack.AssumedThick))
	}
	list = append(list, clampCautions(a.Rack)...)
	for _, f := range a.Rack.Fasteners {
		if a.Rack.Stud(f) {
			list = append(list, fmt.Sprintf("The stud of %s has to stand %.0f mm out of its metal: measure it first.", f.Joins[0], math.Ceil(f.Length())))
		}
	}
	if a.Rack.Joints == rack.Welded {
		list = append(list, weldingCautions()...)
	}
	return append(list, "Local rules for vehicles decide; this program does not know them.")
}

// assumed are the mounts of whose metal nobody has told how thick it is where a bolt goes through.
func assumed(a Answer) []string {
	var names []string
	ties := a.Rack.Ties()
	for _, m := range a.Problem.Frame.Mounts {
		for _, side := range m.Sides() {
			if m.Holds == frame.Hole && m.Thick == 0 && slices.Contains(ties, side.Name) {
				names = append(names, side.Name)
			}
		}
	}
	return names
}

func boxMass(a Answer) float64 {
	sum := 0.0
	for _, p := range a.Layout.Placements {
		if k, ok := a.Problem.Kind(p.Box); ok {
			sum += k.Mass
		}
	}
	return sum
}

type violationJSON struct {
	Rule  string   `json:"rule"`
	Parts []string `json:"parts"`
	By    float64  `json:"by,omitempty"`
	Unit  string   `json:"unit,omitempty"`
	Text  string   `json:"text"`
}

type cutJSON struct {
	Part    string   `json:"part"`
	Parts   []string `json:"parts"`
	Section string   `json:"section"`
	Length  float64  `json:"length_mm"`
	Count   int      `json:"count"`
}

type answerJSON struct {
	Format     int                `json:"format"`
	Parts      int                `json:"parts"`
	Mass       float64            `json:"mass_kg"`
	Violations []violationJSON    `json:"violations"`
	Why        []string           `json:"why,omitempty"`
	Holds      map[string]float64 `json:"holds_g"`
	Weakest    map[string]string  `json:"weakest"`
	Moves      map[string]float64 `json:"moves_mm"`
	Below      []string           `json:"below"`
	Cuts       []cutJSON          `json:"cuts"`
	Order      []string           `json:"order"`
	Cautions   []string           `json:"cautions"`
	Removed    []removedJSON      `json:"removed,omitempty"`
}

// removedJSON is a rail that comes off for good; the points of the way that a tube may take
// instead are empty where none was found.
type removedJSON struct {
	Rail   string       `json:"rail"`
	Points [][3]float64 `json:"points_mm"`
	Pieces []float64    `json:"pieces_mm"`
	Bends  []float64    `json:"bends_deg"`
	Why    string       `json:"why,omitempty"`
}

func (x Removal) json() removedJSON {
	out := removedJSON{Rail: x.Rail, Points: [][3]float64{}, Pieces: []float64{}, Bends: []float64{}, Why: x.Why}
	if x.Way == nil {
		return out
	}
	for _, q := range x.Way.Points {
		out.Points = append(out.Points, [3]float64{round(q.X, 10), round(q.Y, 10), round(q.Z, 10)})
	}
	for _, l := range x.Way.Pieces() {
		out.Pieces = append(out.Pieces, round(l, 10))
	}
	for _, b := range x.Way.Bends() {
		out.Bends = append(out.Bends, round(b, 10))
	}
	return out
}

// WriteJSON prints one object.
func WriteJSON(w io.Writer, a Answer) error {
	out := answerJSON{
		Format: 1, Violations: []violationJSON{}, Why: a.Why, Holds: map[string]float64{}, Weakest: map[string]string{}, Moves: map[string]float64{},
		Below: append([]string{}, Below(a)...), Cuts: []cutJSON{}, Order: []string{}, Cautions: []string{},
	}
	if a.Rack != nil {
		out.Parts, out.Mass, out.Cautions = a.Rack.Parts(), round(a.Rack.Mass(), 1000), Cautions(a)
		for _, p := range Parts(a.Rack) {
			out.Cuts = append(out.Cuts, cutJSON{p.Names[0], p.Names, p.Bar.Section.String(), round(p.Bar.Length(), 10), len(p.Names)})
		}
	}
	for _, v := range a.Report.Violations {
		out.Violations = append(out.Violations, violationJSON{v.Rule.String(), v.Parts, round(v.By, 1000), v.Unit, v.Text})
	}
	for _, d := range a.Report.Loads.Directions {
		out.Holds[d.Name], out.Weakest[d.Name], out.Moves[d.Name] = math.Floor(100*d.Holds)/100, d.Weakest+": "+d.How, round(d.Moves, 100)
	}
	for _, x := range a.Removals {
		out.Removed = append(out.Removed, x.json())
	}
	for _, s := range a.Report.Order {
		out.Order = append(out.Order, s.Name)
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(out)
}

func round(v, to float64) float64 { return math.Round(v*to) / to }

// plural is the s of more than one.
func plural(n int) string {
	if n == 1 {
		return ""
	}
	return "s"
}
