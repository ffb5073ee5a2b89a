// Package page makes the report: one HTML file with everything in it, which opens in a
// browser from a memory stick with no network. It shows layouts in three dimensions, in
// dimensioned drawings and in tables, and prints.
//
// The 3D view is three.js, bundled with our own script from web/src into bundle.js by
// `npm ci && npm run build` in web. Go needs only the bundle.
package page

import (
	"bytes"
	_ "embed" // for the page, its style and its script
	"encoding/json"
	"html/template"
	"io"

	"rackwright/export"
	"rackwright/export/answer"
	"rackwright/export/inspection"
	"rackwright/export/rackplan"
	"rackwright/export/view"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/whatif"
	"rackwright/pack/wire"
)

// Input is what the page shows.
type Input struct {
	Problem pack.Problem
	// Verdict are the words on the whole in lengths of a unit, the headline first.
	Verdict func(geom.Unit) []string
	// Advice is what follows from a search, in lengths of a unit; nil without one.
	Advice  func(geom.Unit) []answer.Part
	Layouts []Layout
	Open    int      // the layout that the page opens on, from 0
	Written []string // paths of the files that were written
	Date    string   // as it is to be shown; none when empty
	// Cuts are the heights of level cuts in millimetres above the floor of the opening;
	// none means through the middle of the boxes.
	Cuts []float64
	// Views are drawn beside those that always are.
	Views []view.Direction
	// Inspection is what the sheet for the inspection is made from; nil for none.
	Inspection *inspection.Input
}

// Layout is one layout with all that is told of it.
type Layout struct {
	export.Judged
	Name   string        // such as "Layout 1", or a file's name
	Faults []string      // of the order that came with it
	Undo   []answer.Undo // what comes out to reach each box; nil when not known
	// Concession is what the layout takes, and was judged with; nil for nothing.
	Concession *whatif.Concession
	// Wiring is how the batteries are joined; nil where that was not planned. Unwired then says
	// why not; both are empty where nothing is to be wired.
	Wiring  *wire.Plan
	Unwired string
	// Rack is what holds the boxes; nil where none is given. It is one that could be read.
	Rack *rackplan.Answer
}

// Framed is the problem with the frame that the layout was judged with.
func (l Layout) Framed(p pack.Problem) pack.Problem {
	if l.Concession != nil {
		p.Frame = l.Concession.Frame
	}
	return p
}

// notches are what the layout takes out of keep-outs.
func (l Layout) notches() []view.Notch {
	if l.Concession == nil {
		return nil
	}
	return view.NotchesOf(*l.Concession)
}

// rack is what holds the boxes, nil where none is given.
func (l Layout) rack() *rack.Rack {
	if l.Rack == nil {
		return nil
	}
	return l.Rack.Rack
}

var (
	//go:embed page.html
	pageHTML string
	//go:embed rack.html
	rackHTML string
	//go:embed inspection.html
	inspectionHTML string
	//go:embed style.css
	styleCSS string
	//go:embed bundle.js
	bundleJS string
)

// shortHash is how many digits of a hash stand on every sheet: enough to tell files apart.
const shortHash = 12

var pageTemplate = template.Must(template.New("page").Funcs(template.FuncMap{
	"short": func(hash string) string { return hash[:min(shortHash, len(hash))] },
}).Parse(pageHTML + rackHTML + inspectionHTML))

// content is what the template is filled with.
type content struct {
	Style  template.CSS
	Script template.JS
	Data   template.JS // JSON
	Unit   string
	document
}

// Write writes the page. The same input gives the same bytes. The error is that of
// Problem.Bodies for a layout that cannot be drawn, or of w.
func Write(w io.Writer, in Input) error {
	doc, err := documentOf(in)
	if err != nil {
		return err
	}
	data, err := json.Marshal(sceneOf(in)) // escapes <, > and & in names
	if err != nil {
		return err
	}
	var page bytes.Buffer
	if err := pageTemplate.Execute(&page, content{
		Style: template.CSS(view.Style + styleCSS), Script: template.JS(bundleJS), Data: template.JS(data),
		Unit: in.Problem.Pack.Unit.String(), document: doc,
	}); err != nil {
		return err
	}
	_, err = page.WriteTo(w)
	return err
}
