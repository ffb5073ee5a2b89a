package answer

import (
	"io"
	"math"

	"rackwright/export"
	"rackwright/frame"
	"rackwright/frame/survey"
)

type jsonMark struct {
	X float64 `json:"x_mm"`
	Y float64 `json:"y_mm"`
	Z float64 `json:"z_mm"`
	// SD is the standard deviation in the worst direction, against the frame as a whole.
	SD          *float64 `json:"sd_mm"`
	SDX         *float64 `json:"sd_x_mm"`
	SDZ         *float64 `json:"sd_z_mm"`
	FromOriginX *float64 `json:"sd_x_from_origin_mm"`
	FromOriginZ *float64 `json:"sd_z_from_origin_mm"`
	Ellipse     *struct {
		Long      float64 `json:"long_mm"`
		Short     float64 `json:"short_mm"`
		Direction float64 `json:"direction_deg"`
	} `json:"ellipse"`
}

type jsonMeasurement struct {
	Sort     string     `json:"sort"`
	From     string     `json:"from,omitempty"`
	To       string     `json:"to,omitempty"`
	Mark     string     `json:"mark,omitempty"`
	Length   *float64   `json:"length_mm,omitempty"`
	Degrees  *float64   `json:"degrees,omitempty"`
	Residual *float64   `json:"residual_mm,omitempty"`
	Turned   *float64   `json:"residual_deg,omitempty"`
	Checked  float64    `json:"checked"`
	Test     float64    `json:"test"`
	Shows    *float64   `json:"shows_mm,omitempty"`
	ShowsDeg *float64   `json:"shows_deg,omitempty"`
	Check    *[2]string `json:"checked_by,omitempty"` // the distance that would check it
}

type jsonSuspect struct {
	From string   `json:"from,omitempty"`
	To   string   `json:"to,omitempty"`
	Mark string   `json:"mark,omitempty"`
	Off  *float64 `json:"off_mm,omitempty"`
	Deg  *float64 `json:"off_deg,omitempty"`
}

type jsonSurvey struct {
	export.Head
	Sigma0     *float64            `json:"sigma0"`
	Redundancy *int                `json:"redundancy"`
	Agrees     *bool               `json:"agrees"`
	Marks      map[string]jsonMark `json:"marks"`
	Measured   []jsonMeasurement   `json:"measurements"`
	Suspect    *jsonSuspect        `json:"suspect"`
	Suspects   []jsonSuspect       `json:"suspects"` // all that can be named
	Doubted    []jsonSuspect       `json:"doubted"`  // of which one is wrong
	Tells      *[2]string          `json:"tells"`    // the distance that tells which
	Plan       *jsonPlan           `json:"plan"`
	Assumed    *string             `json:"assumed_above"`
	Written    []string            `json:"written"`
}

type jsonPlan struct {
	Tape   []jsonTape `json:"tape"`
	Fewest bool       `json:"fewest"`
	Least  float64    `json:"least_checked"`
}

type jsonTape struct {
	From  string  `json:"from"`
	To    string  `json:"to"`
	About float64 `json:"about_mm"`
}

// WriteSurveyJSON writes a survey, or a plan of one, as one JSON object.
func WriteSurveyJSON(w io.Writer, in Survey) error {
	s := in.Frame.Survey
	out := jsonSurvey{
		Head: export.HeadOf(in.Frame), Marks: map[string]jsonMark{}, Measured: []jsonMeasurement{},
		Suspects: []jsonSuspect{}, Doubted: []jsonSuspect{}, Written: in.Written,
	}
	if out.Written == nil {
		out.Written = []string{}
	}
	for i, m := range s.Network.Marks {
		out.Marks[m.Name] = markJSON(s, i)
	}
	if s.Adjusted != nil {
		out.adjusted(s)
	}
	if in.Planned && in.Plan != nil {
		out.Plan = &jsonPlan{Tape: []jsonTape{}, Fewest: in.Plan.Fewest, Least: in.Plan.Least}
		for _, p := range in.Plan.Pairs {
			out.Plan.Tape = append(out.Plan.Tape, jsonTape{s.Network.Marks[p.From].Name, s.Network.Marks[p.To].Name, About(s, p)})
		}
	}
	return export.WriteJSON(w, out)
}

func markJSON(s *frame.Survey, i int) jsonMark {
	at := s.Places[i]
	m := jsonMark{X: at.X + 0, Y: s.Network.Marks[i].Y, Z: at.Y + 0}
	if s.Adjusted == nil {
		return m
	}
	e, sd, from := s.Adjusted.Ellipse(i), s.Adjusted.SD(i), s.Adjusted.SDFromDatum(i)
	m.SD, m.SDX, m.SDZ, m.FromOriginX, m.FromOriginZ = &e.Long, &sd.X, &sd.Y, &from.X, &from.Y
	m.Ellipse = &struct {
		Long      float64 `json:"long_mm"`
		Short     float64 `json:"short_mm"`
		Direction float64 `json:"direction_deg"`
	}{e.Long, e.Short, e.Direction.Degrees()}
	return m
}

// adjusted fills in what the adjustment says.
func (out *jsonSurvey) adjusted(s *frame.Survey) {
	a := s.Adjusted
	agrees := a.Agrees()
	out.Sigma0, out.Redundancy, out.Agrees = &a.Sigma0, &a.Spare, &agrees
	for i := range a.Network.Measurements {
		out.Measured = append(out.Measured, measurementJSON(a, i))
	}
	for _, w := range s.Found.Wrong {
		out.Suspects = append(out.Suspects, suspectJSON(a.Network, w))
	}
	for _, w := range s.Found.Doubted {
		out.Doubted = append(out.Doubted, suspectJSON(a.Network, w))
	}
	if len(out.Suspects) > 0 {
		out.Suspect = &out.Suspects[0]
	}
	if s.Found.Tells != nil {
		out.Tells = pairJSON(a.Network, *s.Found.Tells)
	}
	if a.Assumed >= 0 {
		out.Assumed = &a.Network.Marks[a.Assumed].Name
	}
}

func pairJSON(n *survey.Network, p survey.Pair) *[2]string {
	return &[2]string{n.Marks[p.From].Name, n.Marks[p.To].Name}
}

func measurementJSON(a *survey.Adjustment, i int) jsonMeasurement {
	m := a.Network.Measurements[i]
	out := jsonMeasurement{Sort: sortWords[m.Sort], Checked: a.Checked[i], Test: a.Test(i)}
	out.From, out.To, out.Mark = endsOf(a.Network, m)
	value, left, shows := m.Value, a.Residuals[i], a.Showing(i)
	known := !math.IsInf(shows, 0)
	if m.Sort == survey.Slope {
		value, left, shows = value*180/math.Pi, left*180/math.Pi, shows*180/math.Pi
		out.Degrees, out.Turned = &value, &left
		if known {
			out.ShowsDeg = &shows
		}
	} else {
		out.Length, out.Residual = &value, &left
		if known {
			out.Shows = &shows
		}
	}
	if a.Checked[i] < survey.CheckedFrom {
		if p, ok := a.Checking(i); ok {
			out.Check = pairJSON(a.Network, p)
		}
	}
	return out
}

var sortWords = [...]string{survey.Distance: "distance", survey.Height: "height", survey.Slope: "slope"}

// endsOf are the names of the marks of a measurement: from and to, or mark.
func endsOf(n *survey.Network, m survey.Measurement) (from, to, mark string) {
	if m.Sort == survey.Height {
		return "", "", n.Marks[m.From].Name
	}
	return n.Marks[m.From].Name, n.Marks[m.To].Name, ""
}

func suspectJSON(n *survey.Network, w survey.Suspect) jsonSuspect {
	m, off := n.Measurements[w.Measurement], w.Off
	var out jsonSuspect
	out.From, out.To, out.Mark = endsOf(n, m)
	if m.Sort == survey.Slope {
		off *= 180 / math.Pi
		out.Deg = &off
	} else {
		out.Off = &off
	}
	return out
}
