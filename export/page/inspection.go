package page

import (
	"rackwright/export/inspection"
	"rackwright/geom"
)

// inspected is the sheet for the inspection, as the template fills it in.
type inspected struct {
	Title, Foot string
	Sections    []inspectedPart
}

// inspectedPart is a section of it in both units, which differ in its values and notes alone.
type inspectedPart struct {
	Title  string
	Fields []inspectedField
	Head   []string
	Rows   [][]string
	Ticks  []string
	Notes  []both
}

type inspectedField struct {
	Label string
	Value both
}

// inspectedOf is nil where no such sheet is asked for.
func inspectedOf(in *inspection.Input) *inspected {
	if in == nil {
		return nil
	}
	out := &inspected{Title: in.Title(), Foot: inspection.Foot}
	inches := inspection.Sections(*in, geom.Inch)
	for i, s := range inspection.Sections(*in, geom.Millimetre) {
		part := inspectedPart{Title: s.Title, Ticks: s.Ticks, Notes: pairs(s.Notes, inches[i].Notes)}
		for k, f := range s.Fields {
			part.Fields = append(part.Fields, inspectedField{f.Label, both{f.Value, inches[i].Fields[k].Value}})
		}
		if s.Table != nil {
			part.Head, part.Rows = s.Table.Head, s.Table.Rows
		}
		out.Sections = append(out.Sections, part)
	}
	return out
}
