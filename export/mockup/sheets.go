package mockup

import (
	"fmt"
	"slices"

	"github.com/golang/geo/r2"

	"rackwright/export/nest"
	"rackwright/pack"
)

// Free room around a sheet and between parts on it.
const (
	sheetEdge = 5.0
	sheetGap  = 4.0
)

// sheets lays the templates of all boxes out on sheets and adds a drawing for each sheet.
func (r *Result) sheets(list []template, p *pack.Pack, s Settings) error {
	if len(list) == 0 {
		return nil
	}
	l := newLayer(list, s.Sheet)
	if err := l.choose(); err != nil {
		return err
	}
	var kinds []pack.Kind
	for _, t := range list {
		kinds = append(kinds, t.kind)
	}
	for i, d := range nest.Sheets(l.parts, l.places, l.count, l.set) {
		r.add(s, fmt.Sprintf("card-sheet-%d", i+1), d, withCautions([]string{
			fmt.Sprintf("%s, card of %g × %g mm. Solid: cut. Dashed: score and fold away from you. Dotted: keep metal out of here.", d.Title, s.Sheet.X, s.Sheet.Y),
		}, p, kinds...))
	}
	r.note("The templates take %s of card of %g × %g mm.", counted(l.count, "sheet"), s.Sheet.X, s.Sheet.Y)
	return nil
}

// layer lays templates out on sheets, and chooses the nets for that.
type layer struct {
	list   []template
	set    nest.Settings
	chosen []int                  // of each template, the net that all of its boxes are cut from
	drawn  map[[2]int][]nest.Part // of a template and a net of it
	parts  []nest.Part
	places []nest.Place
	count  int // of sheets
}

// most bounds how long choose looks, in parts laid out.
const most = 500

// choose takes the net of least board for each template, and then, one template at a
// time, another wherever that saves a sheet, until no single change does. So it is the
// fewest sheets found, and with these the least board; not every mix of nets is tried.
func (l *layer) choose() error {
	if err := l.lay(); err != nil {
		return err
	}
	tries := most / len(l.parts)
	for i := 0; i < len(l.list); i++ {
		for net := range l.list[i].nets {
			if net == l.chosen[i] || tries == 0 || l.count <= nest.LeastSheets(l.parts, l.set) {
				continue
			}
			tries--
			other := *l
			other.chosen = slices.Clone(l.chosen)
			other.chosen[i] = net
			if err := other.lay(); err != nil {
				return err
			}
			if other.count < l.count {
				*l = other
				i = -1 // another template may now save one more
				break
			}
		}
	}
	return nil
}

// lay lays out the chosen nets.
func (l *layer) lay() (err error) {
	l.parts = nil
	for i := range l.list {
		l.parts = append(l.parts, l.draw(i, l.chosen[i])...)
	}
	l.places, l.count, err = nest.Lay(l.parts, l.set)
	return err
}

// draw are the parts of all boxes of a template from one of its nets.
func (l *layer) draw(template, net int) []nest.Part {
	key := [2]int{template, net}
	if _, done := l.drawn[key]; !done {
		t := l.list[template]
		for _, g := range t.single() {
			label := t.label
			label.Name = g.name()
			l.drawn[key] = append(l.drawn[key], t.nets[net].Pieces(label, true)...)
		}
	}
	return l.drawn[key]
}

// newLayer has the net of least board chosen for each template.
func newLayer(list []template, sheet r2.Point) layer {
	return layer{
		list: list, chosen: make([]int, len(list)), drawn: map[[2]int][]nest.Part{},
		set: nest.Settings{Sheet: sheet, Edge: sheetEdge, Gap: sheetGap},
	}
}

// sheetFor is the part of a sheet that may be used, zero for none.
func sheetFor(sheet r2.Point) r2.Point {
	if sheet == (r2.Point{}) {
		return sheet
	}
	return sheet.Sub(r2.Point{X: 2 * sheetEdge, Y: 2 * sheetEdge})
}
