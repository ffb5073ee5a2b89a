package bench

import (
	"encoding/json"
	"fmt"

	"rackwright/export"
	"rackwright/export/page"
	"rackwright/export/view"
	"rackwright/geom"
	"rackwright/pack"
)

// tightestShown is how many clearances are shown at a time.
const tightestShown = 3

// State is what a page shows of a desk: the layout to draw, and the judge's words on it.
type State struct {
	Revision int             `json:"revision"`
	Scene    int             `json:"scene"` // another one: the frame or the pack is another
	Moves    int             `json:"moves"` // by hand, since the desk was made
	Layout   json.RawMessage `json:"layout"`
	Boxes    []Box           `json:"boxes"`
	Holds    bool            `json:"holds"`
	Headline string          `json:"headline"`
	Tightest []string        `json:"tightest"`
	Faults   []string        `json:"faults"`
	Undo     int             `json:"undo"`
	Redo     int             `json:"redo"`
	Unsaved  bool            `json:"unsaved"`
	Saying   string          `json:"saying"`
	Question *Question       `json:"question"` // about files that were changed elsewhere; null for none
}

// Box is what a page has to know of a box beside its picture.
type Box struct {
	Box    string `json:"box"`
	Number int    `json:"number"`
	Pinned bool   `json:"pinned"`
	Bad    bool   `json:"bad"` // it has less than it has to have, or a fault
}

// State tells how things stand.
func (d *Desk) State() (State, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	problem := d.now.framed.problem
	u := problem.Pack.Unit
	judged := export.Judged{Layout: d.now.layout, Report: d.report}
	tightest := view.Tightest(problem, judged, tightestShown)
	judged.Report.Relations = nil // what is drawn of them is in tightest
	layout, err := page.LayoutScene(problem, page.Layout{Judged: judged, Name: "The bench"}, tightest)
	s := State{
		Revision: d.revision, Scene: d.scene, Moves: d.moves, Layout: layout, Holds: d.report.Holds(), Headline: headline(d.report, u),
		Boxes: []Box{}, Tightest: []string{}, Faults: []string{}, Undo: len(d.undo), Redo: len(d.redo), Unsaved: d.unsaved().Any(), Saying: d.saying,
		Question: d.question,
	}
	for _, m := range tightest {
		s.Tightest = append(s.Tightest, clearance(m.Relation, u))
	}
	for _, f := range d.report.Faults {
		s.Faults = append(s.Faults, f.Text)
	}
	bad := bad(d.report)
	for _, p := range d.now.layout.Placements {
		s.Boxes = append(s.Boxes, Box{Box: p.Box, Number: p.Number, Pinned: p.Pinned, Bad: bad[p.Part()]})
	}
	return s, err
}

// bad are the boxes that have less than they have to have, or a fault.
func bad(r pack.Report) map[pack.Part]bool {
	is := map[pack.Part]bool{}
	for _, relation := range r.Relations { // the tightest first
		if relation.Left >= 0 {
			break
		}
		for _, part := range []pack.Part{relation.A, relation.B} {
			is[pack.Part{Box: part.Box, Number: part.Number}] = true
		}
	}
	for _, f := range r.Faults {
		is[pack.Part{Box: f.Part.Box, Number: f.Part.Number}] = true
	}
	return is
}

func headline(r pack.Report, u geom.Unit) string {
	switch {
	case r.Holds():
		return fmt.Sprintf("It holds: %s to spare as measured.", geom.FormatLengthRounded(r.Spare, u, geom.ToLess))
	case r.Spare < 0:
		return fmt.Sprintf("It does not hold: %s short.", geom.FormatLengthRounded(-r.Spare, u, geom.ToMore))
	}
	return "It does not hold."
}

// clearance is one relation in words.
func clearance(r pack.Relation, u geom.Unit) string {
	there := "clearance " + export.Clearance(r.Gap, u)
	if r.Gap < 0 {
		there = "overlap " + export.AtLeast(-r.Gap, u)
	}
	return fmt.Sprintf("%s – %s: %s, gap %s", r.A, r.B, there, export.AtLeast(r.Required, u))
}

func same(a, b pack.Layout) bool {
	if len(a.Placements) != len(b.Placements) {
		return false
	}
	for i := range a.Placements {
		if a.Placements[i] != b.Placements[i] {
			return false
		}
	}
	return true
}
