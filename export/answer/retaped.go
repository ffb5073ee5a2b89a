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
