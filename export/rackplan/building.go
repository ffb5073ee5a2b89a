package rackplan

import (
	"fmt"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
)

// Building is the order of building in words: bolts go in with the last of the bars that they
// join.
func Building(a Answer) []string {
	w := writer{a: a, left: map[string]rack.Fastener{}, there: map[string]bool{}}
	for _, f := range a.Rack.Fasteners {
		w.left[f.Name] = f
	}
	for _, m := range a.Problem.Frame.Mounts {
		for _, side := range m.Sides() {
			w.there[side.Name] = true
		}
	}
	for _, s := range a.Report.Order {
		w.step(s)
	}
	return w.lines
}

type writer struct {
	a     Answer
	left  map[string]rack.Fastener // not said yet
	there map[string]bool
	lines []string
}

func (w *writer) say(format string, args ...any) {
	w.lines = append(w.lines, fmt.Sprintf(format, args...))
}

func (w *writer) step(s judge.Step) {
	if s.Box {
		w.say("Put in %s%s%s.", s.Name, moves(s.Legs), w.padding(s.Name))
		w.there[s.Name] = true
		return
	}
	if f, ok := w.a.Rack.Fastener(s.Name); ok {
		if f.Rod && len(w.a.Problem.Frame.Mounts) > 0 && f.Late {
			w.say("Put in %s (%s rod, %.0f mm)%s.", f.Name, f.Size, f.Length(), nutsOf(f))
			w.there[f.Name] = true
			delete(w.left, f.Name)
		}
		return
	}
	b, ok := w.a.Rack.Bar(s.Name)
	if !ok {
		return
	}
	w.there[b.Name] = true
	w.say("%s %s.%s", verb(b), b.Name, w.bolts())
}

func verb(b rack.Bar) string {
	if b.Late {
		return "Lay foam on the boxes, then put on"
	}
	return "Place"
}

// bolts says which bolts can go in now, by what they join.
func (w *writer) bolts() string {
	var ready []rack.Fastener
	for _, f := range w.left {
		if !f.Rod && !slices.ContainsFunc(f.Joins, func(n string) bool { return !w.there[n] }) {
			ready = append(ready, f)
		}
	}
	slices.SortFunc(ready, func(a, b rack.Fastener) int { return strings.Compare(a.Name, b.Name) })
	var words []string
	for _, f := range ready {
		delete(w.left, f.Name)
		words = append(words, fmt.Sprintf("%s × %.0f to join %s", f.Size, f.Length(), strings.Join(f.Joins, " and ")))
	}
	if len(words) == 0 {
		return ""
	}
	return " Bolts: " + strings.Join(words, "; ") + ", locking nuts hand-tight; tighten when the tray is square."
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
	return ", measured from its lower end: " + strings.Join(words, ", ") + " mm, each with a washer"
}

// padding says what lies between a box and what is around it.
func (w *writer) padding(box string) string {
	var words []string
	for _, p := range w.a.Rack.Pads {
		if p.Part().String() == box && p.Of != rack.Hose && p.Face.Z <= 0 {
			words = append(words, fmt.Sprintf("%.0f mm %s to %s", p.Thickness(), p.Of, p.To))
		}
	}
	slices.Sort(words)
	words = slices.Compact(words)
	if len(words) == 0 {
		return ""
	}
	return ", with " + strings.Join(words, ", ")
}

// moves says straight moves: "up 20 mm, to the right 300 mm".
func moves(legs []r3.Vector) string {
	var words []string
	for _, l := range legs {
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
