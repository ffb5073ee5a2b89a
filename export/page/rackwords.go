package page

import (
	"fmt"
	"strings"

	"rackwright/export/rackplan"
)

// racked is what the page tells of a rack.
type racked struct {
	Below      []string // where it holds less than published levels, first of all
	Summary    string
	Faults     []string
	Head       []string
	Holds      [][]string
	About      []string
	Parts      []rackplan.Item
	Cuts       []string
	Tightening []string
	Steps      []string
	Cautions   []string
}

func rackedOf(l Layout) *racked {
	if l.Rack == nil {
		return nil
	}
	a := *l.Rack
	r := &racked{
		Below: rackplan.Below(a.Report.Loads), Parts: rackplan.List(a), Cuts: rackplan.CutLines(a),
		Tightening: rackplan.Tightening(a), Cautions: rackplan.Cautions(a), Summary: rackplan.Headline(a),
	}
	for _, v := range a.Report.Violations {
		r.Faults = append(r.Faults, fmt.Sprintf("%v: %s", v.Rule, v.Text))
	}
	if len(a.Report.Loads.Directions) > 0 {
		r.Head, r.Holds = rackplan.Table(a)
		for _, level := range rackplan.Levels() {
			r.About = append(r.About, level.Rule+": "+level.About+".")
		}
	}
	if len(a.Report.Order) > 0 {
		for _, s := range rackplan.Building(a) {
			r.Steps = append(r.Steps, strings.TrimSpace(s.Words))
		}
	}
	return r
}
