package answer

import (
	"fmt"
	"slices"

	"github.com/golang/geo/r2"

	"rackwright/frame"
	"rackwright/frame/survey"
	"rackwright/pack/limit"
)

// retaped says, of a thing that stands on marks, which distance decides where it is: what to
// tape again, and what to tape besides. It is empty of all others, and of a tube's diameter.
func retaped(f *frame.Frame, m limit.Measured) string {
	on, ok := standsOn(f, m)
	if !ok {
		return ""
	}
	a := f.Survey.Adjusted
	d := a.Deciding(on.Mark, on.Along)
	if d.Measurement < 0 {
		return ""
	}
	verb := "tape %s again"
	if a.Network.Measurements[d.Measurement].Sort != survey.Distance {
		verb = "measure the %s again"
	}
	text := fmt.Sprintf("; mark %s: "+verb, f.Survey.Network.Marks[on.Mark].Name, a.Network.MeasurementName(d.Measurement))
	if d.More != nil && d.Less > worthTaping {
		text += fmt.Sprintf(", or %s too", a.Network.PairName(*d.More))
	}
	return text
}

// worthTaping is the least part of a variance that a distance has to take off to be told.
const worthTaping = 0.1

// standsOn is the mark that decides where a measured thing is.
func standsOn(f *frame.Frame, m limit.Measured) (frame.OnMarks, bool) {
	if f.Survey == nil || f.Survey.Adjusted == nil {
		return frame.OnMarks{}, false
	}
	var on frame.OnMarks
	at := func(list []frame.OnMarks, i int) {
		if i >= 0 && i < len(list) {
			on = list[i]
		}
	}
	switch m.Sort {
	case limit.Side:
		at(f.Survey.Sides, slices.Index(f.Opening.Sides, m.Of))
	case limit.Rail:
		if !m.OfDiameter() {
			at(f.Survey.Rails, slices.IndexFunc(f.Rails, func(r frame.Rail) bool { return r.Name == m.Of }))
		}
	case limit.KeepOut:
		at(f.Survey.KeepOuts, slices.IndexFunc(f.KeepOuts, func(k frame.KeepOut) bool { return k.Name == m.Of }))
	}
	return on, on.Along != (r2.Point{})
}

// untrusted says that what was taped does not agree: then nothing that follows can be trusted.
func (p printer) untrusted(f *frame.Frame) []string {
	s := f.Survey
	if s == nil || s.Adjusted == nil || s.Adjusted.Agrees() && len(s.Found.Wrong)+len(s.Found.Doubted) == 0 {
		return nil
	}
	line := "What was taped of the frame does not agree"
	if len(s.Found.Wrong) > 0 {
		w := s.Found.Wrong[0]
		line += fmt.Sprintf(": %s is probably %s. Measure it again", s.Network.MeasurementName(w.Measurement), p.tooMuch(s.Network.Measurements[w.Measurement], w.Off))
	} else {
		line += ", and one of several distances is wrong: rackwright survey names them. Measure again"
	}
	return []string{line + " before you trust any of this; until then everything on marks counts as that much less accurate."}
}
