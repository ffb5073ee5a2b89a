package frame

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame/strict"
	"rackwright/frame/survey"
)

// Limits of what is taped.
const (
	MaxMarks  = 64
	MaxTaped  = 1024
	MaxLevels = 256 // heights, and slopes
	// SlopeAccuracy in degrees is what a phone's level is taken to be off by at most where the
	// file does not say: our own choice, for a phone that was set to zero on something level.
	SlopeAccuracy = 0.5
)

// Survey is what was taped, and what follows from it.
type Survey struct {
	Network *survey.Network // measurements in the order taped, heights, slopes
	// Adjusted is nil where what is taped does not fix the marks yet; places are then those that
	// the file gives roughly. Only ReadRough allows that.
	Adjusted *survey.Adjustment
	Found    survey.Findings
	Places   []r2.Point
	// What sides, in the outline's order, rails and keep-outs stand on, as the file has them.
	Sides, Rails, KeepOuts []OnMarks
}

type markFile struct {
	Name strict.Name    `yaml:"name" jsonschema:"example=A" jsonschema_description:"Name of the mark."`
	Y    strict.Length  `yaml:"y,omitempty" jsonschema_description:"How far to the left of the middle plane it is, where it lies off it. Default 0."`
	Near *strict.Point2 `yaml:"near,omitempty" jsonschema_description:"About where it is [x, z]: tells one side of a line from the other, and is what plans are made from."`
	At   *strict.Point2 `yaml:"at,omitempty" jsonschema_description:"Where it is [x, z], where that is known exactly, as from a drawing. Two such marks stand instead of level."`
}

type levelFile struct {
	Origin strict.Name  `yaml:"origin" jsonschema:"example=A" jsonschema_description:"The mark at x 0, z 0."`
	Along  strict.Words `yaml:"along" jsonschema:"example=A-B" jsonschema_description:"The line whose slope is known, from its rear mark to its front mark: A-B, or [A, B]."`
	Slope  float64      `yaml:"slope,omitempty" jsonschema:"minimum=-180,maximum=180" jsonschema_description:"Degrees by which that line rises to the front. Default 0."`
}

type tapedFile struct {
	From     strict.Name    `yaml:"from" jsonschema_description:"Mark at one end."`
	To       strict.Name    `yaml:"to" jsonschema_description:"Mark at the other end."`
	Length   strict.Length  `yaml:"length" jsonschema:"exclusiveMinimum=0" jsonschema_description:"The distance, straight from mark to mark."`
	Accuracy *strict.Length `yaml:"accuracy,omitempty" jsonschema:"exclusiveMinimum=0,maximum=1000" jsonschema_description:"What it is off by at most, 99 times of 100. The file's accuracy without."`
}

type heightFile struct {
	Mark     strict.Name    `yaml:"mark" jsonschema_description:"The mark."`
	Length   strict.Length  `yaml:"length" jsonschema_description:"Its height above the line that all heights are measured from."`
	Accuracy *strict.Length `yaml:"accuracy,omitempty" jsonschema:"exclusiveMinimum=0,maximum=1000" jsonschema_description:"What it is off by at most, 99 times of 100. The file's accuracy without."`
}

type slopeFile struct {
	From     strict.Name `yaml:"from" jsonschema_description:"Mark at the lower end."`
	To       strict.Name `yaml:"to" jsonschema_description:"Mark at the upper end."`
	Degrees  float64     `yaml:"degrees" jsonschema:"minimum=-180,maximum=180" jsonschema_description:"By how much the line rises, whichever way it leans; above 90 its direction, counted from forward upwards."`
	Accuracy *float64    `yaml:"accuracy,omitempty" jsonschema:"exclusiveMinimum=0,maximum=45" jsonschema_description:"Degrees that it is off by at most. Default 0.5."`
}

// marks are those of a file while it is read.
type marks struct {
	at     map[string]int
	survey *Survey // nil where there are none, or where they have errors
	broken bool    // their errors are told, and what stands on them is left alone
	rough  bool    // places may be those given roughly
}

// readSurvey reads marks and what was taped, and adjusts it.
func (r *reader) readSurvey() {
	f := r.file
	if !r.Given(&f.Marks) {
		r.withoutMarks()
		return
	}
	before := r.Faults()
	net := r.network()
	if r.Faults() > before || !r.Sound(&f.Marks, &f.Level, &f.Taped, &f.Heights, &f.Slopes) {
		r.marks.broken = true
		return
	}
	s := &Survey{Network: net}
	a, err := survey.Adjust(net)
	var fault *survey.Fault
	switch {
	case err == nil:
		s.Adjusted, s.Places, s.Found = a, a.Places, a.Snoop()
	case !errors.As(err, &fault):
		r.At(&f.Marks, strict.BadValue, "%s", err)
	case r.marks.rough && fault.Rule != survey.Unclosed && roughly(net, s):
	default:
		if r.marks.rough && fault.Rule == survey.Unfixed {
			fault.Text += "; or, for a plan, say about where every mark is: near: [x, z]"
		}
		r.surveyFault(fault)
		r.marks.broken = true
		return
	}
	r.marks.survey = s
}

// roughly takes the places that the file gives, and tells whether it gives all.
func roughly(net *survey.Network, s *Survey) bool {
	for _, m := range net.Marks {
		switch {
		case m.At != nil:
			s.Places = append(s.Places, *m.At)
		case m.Near != nil:
			s.Places = append(s.Places, *m.Near)
		default:
			return false
		}
	}
	return true
}

// surveyFault tells a fault at the measurement or the mark that it is about.
func (r *reader) surveyFault(fault *survey.Fault) {
	f := r.file
	switch {
	case len(fault.Measurements) > 0:
		i := fault.Measurements[0]
		if i < len(f.Taped) {
			r.At(&f.Taped[i], strict.BadValue, "%s", fault.Text)
			return
		}
		fallthrough
	case len(fault.Marks) == 0:
		r.At(&f.Marks, strict.BadValue, "%s", fault.Text)
	default:
		r.At(&f.Marks[fault.Marks[0]], strict.BadValue, "%s", fault.Text)
	}
}

// withoutMarks refuses measurements where there is nothing to measure between.
func (r *reader) withoutMarks() {
	f := r.file
	for _, at := range []any{&f.Level, &f.Taped, &f.Heights, &f.Slopes} {
		if r.Given(at) {
			r.At(at, strict.MissingKey, "this is between marks, and there are none: name them, as in marks: [A, B, C]")
		}
	}
}

func (r *reader) network() *survey.Network {
	f, net := r.file, &survey.Network{}
	r.marks.at = map[string]int{}
	r.limit(&f.Marks, len(f.Marks), MaxMarks, "marks")
	known := 0
	for i := range f.Marks {
		net.Marks = append(net.Marks, r.mark(i))
		if f.Marks[i].Of.At != nil {
			known++
		}
	}
	r.datum(net, known)
	r.limit(&f.Taped, len(f.Taped), MaxTaped, "distances")
	r.limit(&f.Heights, len(f.Heights), MaxLevels, "heights")
	r.limit(&f.Slopes, len(f.Slopes), MaxLevels, "slopes")
	for i := range f.Taped {
		net.Measurements = append(net.Measurements, r.taped(&f.Taped[i]))
	}
	for i := range f.Heights {
		h := &f.Heights[i]
		net.Measurements = append(net.Measurements, survey.Measurement{
			Sort: survey.Height, From: r.markNamed(&h.Mark), Value: float64(h.Length), SD: r.deviation(h, h.Accuracy),
		})
	}
	for i := range f.Slopes {
		net.Measurements = append(net.Measurements, r.slope(&f.Slopes[i]))
	}
	return net
}

func (r *reader) mark(i int) survey.Mark {
	m := &r.file.Marks[i].Of
	name := string(m.Name)
	if _, twice := r.marks.at[name]; twice && r.Sound(&m.Name) {
		r.At(&m.Name, strict.BadName, "two marks are called %q; give one of them another name", name)
	} else {
		r.marks.at[name] = i
	}
	if m.Near != nil && m.At != nil {
		r.At(m.Near, strict.BadValue, "near and at both say where %s is: leave one out", name)
	}
	out := survey.Mark{Name: name, Y: float64(m.Y)}
	if m.Near != nil {
		out.Near = &r2.Point{X: m.Near[0], Y: m.Near[1]}
	}
	if m.At != nil {
		out.At = &r2.Point{X: m.At[0], Y: m.At[1]}
	}
	return out
}

// datum reads where zero is.
func (r *reader) datum(net *survey.Network, known int) {
	f := r.file
	level := r.Given(&f.Level)
	switch {
	case known > 0 && level:
		r.At(&f.Level, strict.BadValue, "either level says where zero is, or marks with at do: leave one out")
	case known == 1:
		r.At(&f.Marks, strict.BadValue, "one mark with at does not say which way is up: give at of another, or level instead")
	case known == 0 && !level:
		r.At(&f.Marks, strict.MissingKey, "where is zero? Say it with level, as in level: {origin: %s, along: %s, slope: 0}", r.sample(0), r.sample(0)+"-"+r.sample(1))
	}
	if f.Level == nil || known > 0 || !r.Sound(&f.Level) {
		return
	}
	l := f.Level
	net.Datum.Origin = r.markNamed(&l.Origin)
	net.Datum.Slope = l.Slope * math.Pi / 180
	if math.Abs(l.Slope) > 180 {
		r.At(&l.Slope, strict.OutOfRange, "a slope is from -180 to 180 degrees, not %g", l.Slope)
	}
	from, to, ok := r.line(l.Along)
	if !ok {
		r.At(&l.Along, strict.BadValue, "along is the line between two marks, as in along: %s; marks are %s", r.sample(0)+"-"+r.sample(1), r.markNames())
	}
	net.Datum.From, net.Datum.To = from, to
}

// sample is the name of mark i for an example.
func (r *reader) sample(i int) string {
	if i < len(r.file.Marks) {
		return string(r.file.Marks[i].Of.Name)
	}
	return string(rune('A' + i))
}

// line finds the two marks of a line. Names may hold a dash, so every one is tried.
func (r *reader) line(words strict.Words) (from, to int, ok bool) {
	var ends [][2]string
	switch len(words) {
	case 1:
		for i, c := range words[0] {
			if c == '-' || c == '–' {
				ends = append(ends, [2]string{strings.TrimSpace(words[0][:i]), strings.TrimSpace(strings.TrimLeft(words[0][i:], "-–"))})
			}
		}
	case 2:
		ends = append(ends, [2]string{words[0], words[1]})
	}
	for _, e := range ends {
		a, known := r.marks.at[e[0]]
		b, also := r.marks.at[e[1]]
		if known && also && a != b {
			return a, b, true
		}
	}
	return 0, 0, false
}

func (r *reader) taped(f *tapedFile) survey.Measurement {
	m := survey.Measurement{From: r.markNamed(&f.From), To: r.markNamed(&f.To), Value: float64(f.Length), SD: r.deviation(f, f.Accuracy)}
	if f.Length <= 0 {
		r.At(&f.Length, strict.OutOfRange, "the distance from %s to %s has to be more than 0: tape it again", f.From, f.To)
	}
	r.different(&f.From, &f.To)
	return m
}

// different refuses a line from a mark to itself.
func (r *reader) different(from, to *strict.Name) {
	if *from == *to && r.Sound(from) {
		r.At(to, strict.BadValue, "this goes from %s to itself: name the mark at the other end", *from)
	}
}

func (r *reader) slope(f *slopeFile) survey.Measurement {
	r.different(&f.From, &f.To)
	if math.Abs(f.Degrees) > 180 {
		r.At(&f.Degrees, strict.OutOfRange, "a slope is from -180 to 180 degrees, not %g", f.Degrees)
	}
	accuracy := SlopeAccuracy
	if f.Accuracy != nil {
		accuracy = *f.Accuracy
		if accuracy <= 0 || accuracy > 45 {
			r.At(f.Accuracy, strict.OutOfRange, "the accuracy of a slope is more than 0 and at most 45 degrees, not %g", accuracy)
		}
	}
	return survey.Measurement{
		Sort: survey.Slope, From: r.markNamed(&f.From), To: r.markNamed(&f.To),
		Value: f.Degrees * math.Pi / 180, SD: accuracy / survey.AtMost * math.Pi / 180,
	}
}

// deviation is the standard deviation of a length with an accuracy of its own, or that of the
// file.
func (r *reader) deviation(at any, own *strict.Length) float64 {
	accuracy := float64(r.file.Accuracy)
	switch {
	case own != nil:
		accuracy = float64(*own)
		if accuracy <= 0 || accuracy > MaxGap {
			r.At(own, strict.OutOfRange, "the accuracy of a measurement is more than 0 and at most %d mm, not %g", MaxGap, accuracy)
		}
	case accuracy == 0 && r.Sound(&r.file.Accuracy):
		r.At(at, strict.MissingKey, "how far may this be off? Give its accuracy, or the file's, as in accuracy: 3 (by hand over round tubes 2 to 3 mm is common practice)")
	}
	const least = 1e-6 // where it has an error
	return max(accuracy, least) / survey.AtMost
}

// markNamed is the number of a mark; 0 where there is no such mark, which is told.
func (r *reader) markNamed(name *strict.Name) int {
	i, known := r.marks.at[string(*name)]
	if !known && r.Sound(name) {
		r.At(name, strict.BadValue, "no mark is called %q; marks are %s", *name, r.markNames())
	}
	return i
}

func (r *reader) markNames() string {
	names := make([]string, len(r.file.Marks))
	for i := range names {
		names[i] = string(r.file.Marks[i].Of.Name)
	}
	const shown = 12
	if len(names) > shown {
		names = append(slices.Clone(names[:shown]), fmt.Sprintf("%d more", len(names)-shown))
	}
	return strings.Join(names, ", ")
}

// place2 is where a corner is, and whether that is known.
func (r *reader) place2(p *strict.Place2) (r2.Point, bool) {
	if p.Mark == "" {
		return r2.Point{X: p.Point[0], Y: p.Point[1]}, r.Sound(p)
	}
	at, ok := r.place(p, p.Mark)
	return r2.Point{X: at.X, Y: at.Z}, ok
}

// place3 is where a point is, and whether that is known.
func (r *reader) place3(p *strict.Place3) (r3.Vector, bool) {
	if p.Mark == "" {
		return r3.Vector{X: p.Point[0], Y: p.Point[1], Z: p.Point[2]}, r.Sound(p)
	}
	return r.place(p, p.Mark)
}

// known tells whether it is known where points are.
func (r *reader) known(list ...*strict.Place3) bool {
	for _, p := range list {
		if _, ok := r.place3(p); !ok && p.Mark != "" {
			return false
		}
	}
	return true
}

// at3 is place3 where a wrong place does no harm, for it is told.
func (r *reader) at3(p *strict.Place3) r3.Vector {
	at, _ := r.place3(p)
	return at
}

// place is where a mark is that stands for a point.
func (r *reader) place(at any, mark string) (r3.Vector, bool) {
	i, known := r.marks.at[mark]
	switch {
	case r.marks.broken:
		return r3.Vector{}, false
	case !known && len(r.file.Marks) == 0:
		r.once(at, "this is a list of numbers or the name of a mark, and there are no marks: name them, as in marks: [A, B, C]")
		return r3.Vector{}, false
	case !known:
		r.once(at, fmt.Sprintf("no mark is called %q; marks are %s", mark, r.markNames()))
		return r3.Vector{}, false
	}
	p := r.marks.survey.Places[i]
	return r3.Vector{X: p.X, Y: r.marks.survey.Network.Marks[i].Y, Z: p.Y}, true
}

// once tells an error at a point that is looked at more than once.
func (r *reader) once(at any, text string) {
	if r.told == nil {
		r.told = map[any]bool{}
	}
	if !r.told[at] {
		r.told[at] = true
		r.At(at, strict.BadValue, "%s", text)
	}
}

// TapeDeviation is the standard deviation in mm of a distance that is still to be taped: of
// the file's accuracy, or, where it gives none, of 3 mm, what taping by hand over round tubes
// is off by (common practice).
func (f *Frame) TapeDeviation() float64 {
	const byHand = 3
	if f.Accuracy > 0 {
		return f.Accuracy / survey.AtMost
	}
	return byHand / survey.AtMost
}
