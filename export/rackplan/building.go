package rackplan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
)

// Step is one step of building: what comes, by which moves, and what is said of it. Some have
// words alone: what is taken off, measured, tightened, connected.
type Step struct {
	Words string
	Comes []Coming // one after another
	With  []string // bolts that come with it, and what foam is named after
	Off   []string // of the frame, that is off then
}

// Coming is a bar, a rod or a box that is brought to its place by straight moves.
type Coming struct {
	Name string
	Legs []r3.Vector
}

// Building is the order of building: bars and boxes in the judge's order, bolts with the last
// of the bars that they join, rods that are alike in one step; then the connections.
func Building(a Answer) []Step {
	w := newWriter(a)
	w.begin()
	for n, s := range a.Report.Order {
		w.connectBefore(n)
		w.step(s)
	}
	w.finish()
	return w.steps
}

type writer struct {
	a       Answer
	letters map[string]string        // of bars, in the drawings
	left    map[string]rack.Fastener // not said yet
	there   map[string]bool          // bars, rods, boxes and mounts
	bars    map[string]int           // of each tray, that are not there yet
	off     []string                 // of the frame, for some move would meet it
	offNow  []string
	clamped bool               // the clamps are closed
	early   map[pack.Part]bool // posts that are connected on the way
	closed  map[int]bool       // last links that are closed on the way
	loose   bool               // that bars lie loose at first has been said
	steps   []Step
}

func newWriter(a Answer) *writer {
	w := &writer{
		a: a, letters: lettersOf(a.Rack), left: map[string]rack.Fastener{}, there: map[string]bool{}, bars: map[string]int{}, off: inTheWay(a),
		early: map[pack.Part]bool{}, closed: map[int]bool{},
	}
	for _, f := range a.Rack.Fasteners {
		w.left[f.Name] = f
	}
	for _, b := range a.Rack.Bars {
		w.bars[b.Tray]++
	}
	for _, m := range a.Problem.Frame.Mounts {
		for _, side := range m.Sides() {
			w.there[side.Name] = true
		}
	}
	for _, k := range a.Problem.Frame.KeepOuts {
		w.there[k.Name] = true
	}
	return w
}

func (w *writer) say(format string, args ...any) { w.add(Step{Words: fmt.Sprintf(format, args...)}) }

func (w *writer) add(s Step) {
	s.Off = w.offNow
	w.steps = append(w.steps, s)
}

func (w *writer) begin() {
	w.say("Saw, drill and deburr all bars by the drawings, mark each with its letter, paint %s. Cut foam, blocks and hose by the parts list.", map[bool]string{true: "those that are not welded", false: "them"}[len(w.a.Rack.Welds) > 0])
	if len(Plates(w.a.Rack)) > 0 {
		w.say("Plates: glue each card onto the sheet, punch the middles of its holes through it, drill, then saw along its outline and file the edges round.")
	}
	w.weldAll()
	for _, x := range w.a.Removals {
		w.say("Hold the vehicle up on both sides of %s, then take it off for good.", x.Rail)
	}
	if w.offNow = w.off; len(w.off) > 0 {
		w.say("Take off %s, until the end. Where that is a member that carries the vehicle, hold the vehicle up on both sides of it first.", strings.Join(w.off, " and "))
	}
}

// called is a bar's name with its letter, or what else is joined.
func (w *writer) called(name string) string {
	if l := w.letters[name]; l != "" {
		return fmt.Sprintf("%s (%s)", name, l)
	}
	return name
}

func (w *writer) step(s judge.Step) {
	c, isClamp := w.a.Rack.Clamp(s.Name)
	switch f, isRod := w.a.Rack.Fastener(s.Name); {
	case isClamp:
		w.clamp(s, c)
	case s.Box:
		w.box(s)
	case len(s.Bars) > 0:
		w.welded(s)
	case isRod && w.a.Rack.Stud(f): // its nut is said with its bar
	case isRod && f.Rod:
		w.rod(s, f)
	case !isRod:
		if b, ok := w.a.Rack.Bar(s.Name); ok {
			w.bar(s, b)
		}
	}
}

func (w *writer) box(s judge.Step) {
	w.there[s.Name] = true
	w.add(Step{
		Words: fmt.Sprintf("Put in %s%s%s. Boots stay on its posts.", s.Name, moves(s.Legs), w.padding(s.Name)),
		Comes: []Coming{{s.Name, s.Legs}}, With: []string{s.Name},
	})
}

// rod puts in a rod, in one step with those before it that are alike.
func (w *writer) rod(s judge.Step, f rack.Fastener) {
	w.there[f.Name] = true
	delete(w.left, f.Name)
	like := fmt.Sprintf(" (%s rod, %.1f mm)%s", f.Size, f.Length(), nutsOf(f))
	if i := len(w.steps) - 1; i >= 0 {
		if words, same := strings.CutSuffix(w.steps[i].Words, like); same {
			last := &w.steps[i]
			last.Words = words + ", " + f.Name + like
			last.Comes, last.With = append(last.Comes, Coming{s.Name, s.Legs}), append(last.With, s.Name)
			return
		}
	}
	w.add(Step{Words: "Put in " + f.Name + like, Comes: []Coming{{s.Name, s.Legs}}, With: []string{s.Name}})
}

// bar puts a bar in its place with the bolts that can go in then.
func (w *writer) bar(s judge.Step, b rack.Bar) {
	if !b.Late {
		w.supports(b.Tray)
	}
	w.there[b.Name] = true
	bolts, with := w.bolts()
	words := fmt.Sprintf("Place %s%s.", w.called(b.Name), moves(s.Legs))
	if b.Late {
		words = fmt.Sprintf("Lay %s on the boxes, then put %s over its rods: a washer and a locking nut on each, turned by turns until the foam gives by 1 mm and some thread shows.", w.foamUnder(b), w.called(b.Name))
	}
	w.add(Step{Words: words + bolts, Comes: []Coming{{s.Name, s.Legs}}, With: append(with, b.Name)})
	w.closeClamps()
	if w.bars[b.Tray]--; b.Tray != "" && w.bars[b.Tray] == 0 {
		w.say("The %s is whole: measure both its diagonals, shift it until they are equal, then tighten its bolts.", b.Tray)
	}
}

// supports says, before the first tray or the first of its bars, what these lie on until they are
// bolted to something.
func (w *writer) supports(tray string) {
	if w.loose || tray == "" {
		return
	}
	w.loose = true
	low := math.Inf(1)
	for _, o := range w.a.Rack.Bars {
		if o.Tray == tray {
			least, _ := geom.Bounds(o.Solids()...)
			low = math.Min(low, least.Z)
		}
	}
	w.say("What comes now lies loose until it is bolted to a mount, or to what is: stand wood under it, or hang it by string. The underside of the %s comes to %.1f mm, measured as the heights of the frame file are.", tray, low)
}

func (w *writer) foamUnder(b rack.Bar) string {
	var words []string
	for _, p := range w.a.Rack.Pads {
		if p.To == b.Name {
			words = append(words, sizeOf(p))
		}
	}
	slices.Sort(words)
	if len(words) == 0 {
		return "foam"
	}
	return strings.Join(counted(words), " and ")
}

// bolts says which bolts can go in now, by what they join, and names them.
func (w *writer) bolts() (words string, names []string) {
	count := map[string]int{}
	for _, f := range w.a.Rack.Fasteners {
		if _, left := w.left[f.Name]; !left || f.Rod && !w.a.Rack.Stud(f) || slices.ContainsFunc(f.Joins, func(n string) bool { return !w.there[n] }) {
			continue
		}
		delete(w.left, f.Name)
		names = append(names, f.Name)
		var joins []string
		for _, n := range f.Joins {
			joins = append(joins, w.called(n))
		}
		count[w.boltWords(f, joins)]++
	}
	var list []string
	for what, n := range count {
		list = append(list, fmt.Sprintf("%d %s", n, what))
	}
	if len(list) == 0 {
		return "", nil
	}
	slices.Sort(list)
	return " Bolts: " + strings.Join(list, "; ") + ".", names
}

// boltWords say what a bolt is and how it goes in, or what goes onto a stud.
func (w *writer) boltWords(f rack.Fastener, joins []string) string {
	if w.a.Rack.Stud(f) {
		return fmt.Sprintf("washer and locking nut %s on the stud of %s%s, through %s", f.Size, joins[0], sleeveOf(f), strings.Join(joins[1:], " and "))
	}
	text := fmt.Sprintf("%s × %.0f%s", f.Size, f.Length(), sleeveOf(f))
	if f.HeadWasher(w.a.Rack) {
		text += ", a washer under its head too"
	}
	if len(f.Nuts) == 0 {
		text += ", thread lock on it"
	}
	return fmt.Sprintf("%s, head %s, through %s", text, towards(f.Along().Mul(-1)), strings.Join(joins, " and "))
}

func sleeveOf(f rack.Fastener) string {
	if f.Sleeve == nil {
		return ""
	}
	if long := f.Sleeve.To - f.Sleeve.From; long < shortTube {
		return fmt.Sprintf(" with washers between, %.1f mm high", long)
	}
	return fmt.Sprintf(" in its sleeve, %.1f mm long", f.Sleeve.To-f.Sleeve.From)
}

func nutsOf(f rack.Fastener) string {
	var words []string
	for _, n := range f.Nuts {
		kind := "nut"
		if n.Locking {
			kind = "locking nut"
		}
		words = append(words, fmt.Sprintf("%s at %.0f", kind, n.At))
	}
	return ", washers against the bar: " + strings.Join(words, ", ") + " mm from its lower end."
}

// padding says what lies between a box and what is around it.
func (w *writer) padding(box string) string {
	var words []string
	for _, p := range w.a.Rack.Pads {
		if p.Part().String() == box && p.Face.Z <= 0 {
			words = append(words, lying(p)+w.called(p.To))
		}
	}
	slices.Sort(words)
	if len(words) == 0 {
		return ""
	}
	return ", with " + strings.Join(counted(words), "; ")
}

// lying says what lies between a box and what the words then name.
func lying(p rack.Pad) string {
	if p.Of == rack.Hose {
		return "hose over "
	}
	return sizeOf(p) + " against "
}

// counted says once what is there several times on end.
func counted(sorted []string) []string {
	var all []string
	for i := 0; i < len(sorted); {
		n := 1
		for i+n < len(sorted) && sorted[i+n] == sorted[i] {
			n++
		}
		text := sorted[i]
		if n > 1 {
			text = fmt.Sprintf("%d × %s", n, text)
		}
		all, i = append(all, text), i+n
	}
	return all
}

// moves says straight moves: "up 20 mm, to the right 300 mm".
func moves(legs []r3.Vector) string {
	var words []string
	for _, l := range straightened(legs) {
		if min(math.Abs(l.X), math.Abs(l.Z)) > 0.5 { // along tilted trays, or square to them
			words = append(words, fmt.Sprintf("%s %.0f mm, %s", towards(l.Normalize()), l.Norm(), alongTrays(l)))
			continue
		}
		for _, d := range []struct {
			by   float64
			word string
		}{{l.X, "forward"}, {-l.X, "backward"}, {l.Y, "to the left"}, {-l.Y, "to the right"}, {l.Z, "up"}, {-l.Z, "down"}} {
			if d.by > 0.5 {
				words = append(words, fmt.Sprintf("%s %.0f mm", d.word, d.by))
			}
		}
	}
	if len(words) == 0 {
		return ""
	}
	return " (" + strings.Join(words, ", then ") + ")"
}

// straightened are moves of which two that go the same way are one.
func straightened(legs []r3.Vector) []r3.Vector {
	var list []r3.Vector
	for _, l := range legs {
		if n := len(list); n > 0 && list[n-1].Cross(l).Norm() < 1e-6 && list[n-1].Dot(l) > 0 {
			list[n-1] = list[n-1].Add(l)
			continue
		}
		list = append(list, l)
	}
	return list
}

// alongTrays tells which of the two ways it is that a move in a tilted rack goes; no tray is tilted by
// more than 45° either way.
func alongTrays(l r3.Vector) string {
	if math.Abs(l.X) > math.Abs(l.Z) {
		return "along the tilted trays"
	}
	return "square to the tilted trays"
}

// Trays are those of a rack, by name.
func Trays(r *rack.Rack) []string {
	var all []string
	for _, b := range r.Bars {
		if b.Tray != "" {
			all = append(all, b.Tray)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}
