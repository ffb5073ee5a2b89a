package mockup

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/golang/geo/r2"

	"rackwright/export"
	"rackwright/export/card"
	"rackwright/export/drawing"
	"rackwright/pack"
)

// group are boxes of one kind that stand the same way.
type group struct {
	kind    pack.Kind
	numbers []int
	stand   *pack.Orientation
}

// name is what the group is called: "battery", with a layout "battery 1 and 3" or
// "battery 1 to 4".
func (g group) name() string {
	if g.stand == nil {
		return g.kind.Name
	}
	return g.kind.Name + " " + listed(g.numbers)
}

// single are groups of one box each.
func (g group) single() []group {
	var all []group
	for _, n := range g.numbers {
		all = append(all, group{g.kind, []int{n}, g.stand})
	}
	return all
}

// listed writes numbers in words: "1", "1 and 3", "1 to 4", "1, 3 and 5".
func listed(numbers []int) string {
	sorted := slices.Sorted(slices.Values(numbers))
	last := len(sorted) - 1
	switch {
	case last == 0:
		return strconv.Itoa(sorted[0])
	case last > 1 && sorted[last]-sorted[0] == last:
		return fmt.Sprintf("%d to %d", sorted[0], sorted[last])
	}
	var words []string
	for _, n := range sorted[:last] {
		words = append(words, strconv.Itoa(n))
	}
	return fmt.Sprintf("%s and %d", strings.Join(words, ", "), sorted[last])
}

// groups are the kinds of box, split by how they stand in the layout, tilt included: the card
// says all of it.
func groups(p pack.Problem, l *pack.Layout) []group {
	var all []group
	for _, k := range p.Pack.Kinds {
		if l == nil {
			all = append(all, group{kind: k, numbers: make([]int, max(1, k.Count))})
			continue
		}
		first := len(all)
		for _, at := range l.Placements {
			if at.Box != k.Name {
				continue
			}
			stand := at.Orientation
			i := first + slices.IndexFunc(all[first:], func(g group) bool { return *g.stand == stand })
			if i < first {
				i = len(all)
				all = append(all, group{kind: k, stand: &stand})
			}
			all[i].numbers = append(all[i].numbers, at.Number)
		}
	}
	return all
}

// Cards makes the card templates: one for all boxes that are alike, or, with sheets,
// one for each box, laid out on them.
func Cards(p pack.Problem, s Settings) (Result, error) {
	var r Result
	var list []template
	all := groups(p, s.Layout)
	var names []string
	for _, g := range all {
		names = append(names, g.name())
	}
	for i, file := range export.FileNames(names) {
		nets, err := r.nets(all[i].kind, s)
		if err != nil {
			return r, err
		}
		label := card.Label{
			Name: names[i], Stand: all[i].stand, Layout: s.Name, Unit: p.Pack.Unit, Clear: p.Pack.Gaps.Post, Copies: len(all[i].numbers),
		}
		list = append(list, template{all[i], label, nets, file})
	}
	if s.Sheet != (r2.Point{}) {
		return r, r.sheets(list, p.Pack, s)
	}
	for _, t := range list {
		r.card(s, t, p.Pack)
	}
	return r, nil
}

// template is what boxes that are alike are cut from: one of several nets.
type template struct {
	group
	label card.Label
	nets  []*card.Net // those of least board first
	file  string
}

// nets are those to choose from for the card, or for thinner card where the box is too
// small.
func (r *Result) nets(k pack.Kind, s Settings) ([]*card.Net, error) {
	board := card.Thickest(k, s.Board)
	if board < s.Board {
		r.note("%s is too small for card %g mm thick: its template is for %s.", k.Name, s.Board, card.Called(board))
	}
	return card.Choices(k, board, sheetFor(s.Sheet))
}

// card adds a template: its parts, and on paper with the strips for posts and the words where
// there is room for them.
func (r *Result) card(s Settings, t template, p *pack.Pack) {
	net := t.nets[0]
	words := withCautions(append(t.label.Copied(), net.Instructions(p.Unit)...), p, t.kind)
	pieces := net.Pieces(t.label, false)
	for j, piece := range pieces {
		name := "card-" + t.file
		if len(pieces) > 1 {
			name += fmt.Sprintf("-part-%d", j+1)
		}
		r.flat(s, name, piece.Drawing, words)
	}
	set := drawing.Set{Title: "Card template: " + t.label.Name}
	for _, piece := range net.Pieces(t.label, true) {
		set.Pieces = append(set.Pieces, piece.Drawing)
	}
	r.paper(s, "card-"+t.file, set, words)
}
