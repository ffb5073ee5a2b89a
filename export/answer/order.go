package answer

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/outcome"
)

// order writes how the boxes go in and which posts have their moment, or why they do
// not go in.
func (p printer) order(a entry.Answer) {
	if why := Hindered(a); why != "" {
		p.line("\nIt cannot be used as it is:\n  %s.", strings.ReplaceAll(why, "; ", "\n  "))
		return
	}
	if len(a.Order.Steps) == 0 {
		return
	}
	p.line("\nHow it goes in:%s", offWords(a.Order))
	for i, s := range a.Order.Steps {
		p.line("  %d. %s: %s", i+1, s.Part(), p.step(s, a.Order))
	}
	for _, words := range connections(a.Reach) {
		p.line("  %s.", words)
	}
}

// connections says which posts need something off, those with the same together.
func connections(all []entry.Reach) []string {
	var moments []string
	posts := map[string][]string{}
	for _, r := range all {
		if r.When != entry.Before || beforeABox(r) {
			continue
		}
		moment := strings.TrimPrefix(r.Words(), "connect "+r.Post.String())
		if posts[moment] == nil {
			moments = append(moments, moment)
		}
		posts[moment] = append(posts[moment], r.Post.String())
	}
	var lines []string
	for _, moment := range moments {
		lines = append(lines, "Connect "+strings.Join(posts[moment], ", ")+moment)
	}
	return lines
}

// beforeABox tells whether all that a post asks for is to be connected before a box goes in.
func beforeABox(r entry.Reach) bool {
	return r.When == entry.Before && len(r.Things) == 0 && len(r.Boxes) > 0
}

// connectFirst are the posts to connect before each box goes in.
func connectFirst(a entry.Answer) map[pack.Part][]string {
	first := map[pack.Part][]string{}
	for _, r := range a.Reach {
		if beforeABox(r) {
			first[r.Boxes[0]] = append(first[r.Boxes[0]], r.Post.String())
		}
	}
	return first
}

// offWords names what is off throughout.
func offWords(o entry.Order) string {
	if off := o.Off(); len(off) > 0 {
		return " take off first: " + strings.Join(off, ", ") + "."
	}
	return ""
}

// step is a step in words. What is off for every step has been told once.
func (p printer) step(s entry.Step, o entry.Order) string {
	if slices.Equal(s.Off, o.Off()) {
		s.Off = nil
	}
	return s.Words(p.unit)
}

func upper(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

// Hindered says why a layout cannot be put in or used, empty where it can.
func Hindered(a entry.Answer) string {
	if a.Unknown {
		return "there was no time to find out whether the boxes can be put in and connected"
	}
	if words := a.Stuck.Words(); words != "" {
		return words
	}
	var all []string
	for _, r := range a.Unreachable() {
		all = append(all, r.Words())
	}
	return strings.Join(all, "; ")
}

// briefly is Hindered with the first of many reasons.
func briefly(a entry.Answer) string {
	all := strings.Split(Hindered(a), "; ")
	if len(all) > 2 {
		return fmt.Sprintf("%s; and %d more", all[0], len(all)-1)
	}
	return strings.Join(all, "; ")
}

// barred tells of a layout that would have more to spare.
func (p printer) barred(f *outcome.Found) []string {
	if f == nil {
		return nil
	}
	return []string{fmt.Sprintf("Another layout would have %s to spare, but %s.", p.spare(f.Report.Spare), briefly(f.Entry))}
}

// Entry is what there is to tell of a layout's way in.
type Entry struct {
	Answer  entry.Answer
	Given   bool          // the order came with the layout
	Faults  []entry.Fault // of a given order
	Undo    []Undo        // of every box
	Unknown bool          // nothing is known of it: the boxes overlap, or it was not asked for
}

// Holds tells whether nothing is wrong with it, as far as is known.
func (e Entry) Holds() bool { return e.Unknown || len(e.Faults) == 0 && e.Answer.Holds() }

// WriteEntry writes how the boxes go in, or what is wrong with the order that is given,
// when posts can be reached, and what has to come out to reach each box.
func WriteEntry(w io.Writer, problem pack.Problem, e Entry) error {
	b := bufio.NewWriter(w)
	p := printer{b, problem.Pack.Unit}
	switch {
	case e.Unknown:
	case len(e.Faults) > 0:
		p.line("")
		for _, f := range e.Faults {
			p.line("Fault of the order: %s", f.Text)
		}
	default:
		if e.Given {
			p.line("\nThe order that is given holds: every box goes in.")
		}
		p.order(e.Answer)
	}
	p.undo(e.Undo)
	return b.Flush()
}

// Undo is what it takes to get at one box later.
type Undo struct {
	Box   pack.Part
	Steps []entry.Step // of entry.Undo; empty where straight moves do not bring it out
}

// Words says what has to be off and what comes out first, empty for a box that comes
// out by itself.
func (u Undo) Words() string {
	if len(u.Steps) == 0 {
		return "no straight moves bring it out"
	}
	var list []string
	if off := (entry.Order{Steps: u.Steps}).Off(); len(off) > 0 {
		list = append(list, "take off "+strings.Join(off, ", "))
	}
	var first []string
	for _, s := range u.Steps[:len(u.Steps)-1] {
		first = append(first, s.Part().String())
	}
	if len(first) > 0 {
		list = append(list, "first take out "+strings.Join(first, ", then "))
	}
	return strings.Join(list, "; ")
}

// undo writes what it takes to reach the boxes that do not come out by themselves.
func (p printer) undo(all []Undo) {
	var lines []string
	for _, u := range all {
		if words := u.Words(); words != "" {
			lines = append(lines, u.Box.String()+": "+words)
		}
	}
	if len(lines) > 0 {
		p.line("\nTo reach a box later (the others come out by themselves):\n  %s", strings.Join(lines, "\n  "))
	}
}

type jsonStep struct {
	Box    string       `json:"box"`
	Number int          `json:"number"`
	Legs   [][3]float64 `json:"legs_mm"`
	Off    []string     `json:"off"`
	Words  string       `json:"words"`
}

func orderJSON(o entry.Order) []jsonStep {
	steps := []jsonStep{}
	for _, s := range o.Steps {
		j := jsonStep{Box: s.Box, Number: s.Number, Legs: [][3]float64{}, Off: []string{}, Words: s.Words(geom.Millimetre)}
		for _, l := range s.Legs {
			j.Legs = append(j.Legs, [3]float64{l.X, l.Y, l.Z})
		}
		j.Off = append(j.Off, s.Off...)
		steps = append(steps, j)
	}
	return steps
}

// postsJSON are the posts that have their moment, in words.
func postsJSON(a entry.Answer) []string {
	list := []string{}
	for _, r := range a.Reach {
		if words := r.Words(); words != "" {
			list = append(list, words)
		}
	}
	return list
}
