package page

import (
	"bytes"
	"fmt"
	"html/template"
	"strings"

	"rackwright/export/rackplan"
	"rackwright/export/view"
	"rackwright/pack"
	"rackwright/pack/rack/judge"
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
	Drawings   []template.HTML
}

// draw makes the drawings of the rack with its boxes, and of each tray from the top.
func (r *racked) draw(a rackplan.Answer, options view.Options) error {
	pictures, err := rackplan.Pictures(a, options)
	if err != nil {
		return err
	}
	for _, d := range view.Directions {
		if err := r.view(pictures, d); err != nil {
			return err
		}
	}
	prefix := options.Prefix
	for i := range rackplan.Trays(a.Rack) {
		options.Prefix = fmt.Sprintf("%stray%d-", prefix, i+1)
		tray, err := rackplan.TrayAlone(a, i, options)
		if err != nil {
			return err
		}
		if err := r.view(tray, view.FromTop); err != nil {
			return err
		}
	}
	return nil
}

func (r *racked) view(s *view.Scene, d view.Direction) error {
	var b bytes.Buffer
	err := s.WriteView(&b, d)
	r.Drawings = append(r.Drawings, template.HTML(b.String()))
	return err
}

func rackedOf(l Layout) *racked {
	if l.Rack == nil {
		return nil
	}
	a := *l.Rack
	r := &racked{
		Below: rackplan.Below(a), Parts: rackplan.List(a), Cuts: rackplan.CutLines(a),
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

// ruledByRack leaves to the rack what it decides: what lies between boxes, how these go in, when posts
// are connected.
func (s *sheet) ruledByRack(l Layout) {
	if s.Rack == nil || len(s.Rack.Steps) == 0 {
		return
	}
	s.Packing, s.Order = nil, nil
	for _, r := range l.Rack.Report.Reach {
		for i := range s.Posts {
			if s.Posts[i].Post == r.Post.String() {
				s.Posts[i].Room = reachWords(r, l.Rack.Report.Order)
			}
		}
	}
}

// reachWords say when a post is connected in the order in which a rack is built.
func reachWords(r judge.Reach, order []judge.Step) string {
	switch {
	case r.Before < len(order) && order[r.Before].Box && order[r.Before].Name == (pack.Part{Box: r.Post.Box, Number: r.Post.Number}).String():
		return "connect it before its box goes in"
	case r.Before < len(order):
		return "connect it before " + order[r.Before].Name + " is in its place"
	case len(r.Things) > 0:
		return "connect it with " + strings.Join(r.Things, " and ") + " off"
	}
	return "can be reached with all in place"
}
