package page

import (
	"fmt"
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/export/answer"
	"rackwright/export/view"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
)

// both is a text with lengths in either unit.
type both struct {
	Mm string `json:"mm"`
	In string `json:"in"`
}

func bothOf(text func(geom.Unit) string) both { return both{text(geom.Millimetre), text(geom.Inch)} }

// point is written in thousandths of a millimetre at the finest.
type point [3]float64

func pointOf(v r3.Vector) point { return point{rounded(v.X), rounded(v.Y), rounded(v.Z)} }

func rounded(v float64) float64 { return math.Round(v*1000)/1000 + 0 }

// scene is what the script draws in three dimensions. Lengths are millimetres.
type scene struct {
	Low     point         `json:"low"` // corners of what is looked at
	High    point         `json:"high"`
	Rims    []sceneRim    `json:"rims"`
	Solids  []sceneSolid  `json:"solids"`
	Kinds   []sceneKind   `json:"kinds"`
	Gaps    sceneGaps     `json:"gaps"`
	Layouts []sceneLayout `json:"layouts"`
}

// sceneRim is a side of the opening as lines.
type sceneRim struct {
	Open  bool      `json:"open"`
	Lines [][]point `json:"lines"`
}

// sceneSolid is a rail, or a keep-out: a bar, a profile swept across, or a block.
type sceneSolid struct {
	Name    string       `json:"name"`
	Rail    bool         `json:"rail"`
	Gap     float64      `json:"gap"`
	From    *point       `json:"from,omitempty"`
	To      *point       `json:"to,omitempty"`
	Radius  float64      `json:"radius,omitempty"`
	Outline [][2]float64 `json:"outline,omitempty"`
	Across  *[2]float64  `json:"across,omitempty"`
	Low     *point       `json:"low,omitempty"`
	High    *point       `json:"high,omitempty"`
}

type sceneKind struct {
	Size  point       `json:"size"`
	Posts []scenePost `json:"posts"`
}

// scenePost is a post in its box's own axes from the box's middle.
type scenePost struct {
	At     point   `json:"at"`
	Axis   point   `json:"axis"`
	Radius float64 `json:"radius"`
	Height float64 `json:"height"`
	Sign   string  `json:"sign"`
}

type sceneGaps struct {
	Beside float64 `json:"beside"`
	Above  float64 `json:"above"`
	Post   float64 `json:"post"`
}

type sceneLayout struct {
	Title    both           `json:"title"`
	Alt      string         `json:"alt"`
	Boxes    []sceneBox     `json:"boxes"`
	Measures []sceneMeasure `json:"measures"`
	Legs     []sceneLeg     `json:"legs"`
}

type sceneBox struct {
	Name   string        `json:"name"`
	Kind   int           `json:"kind"`
	Centre point         `json:"centre"`
	Axes   [3][3]float64 `json:"axes"`
}

type sceneMeasure struct {
	From  point `json:"from"`
	To    point `json:"to"`
	Words both  `json:"words"`
}

// sceneLeg is one straight move of the order in.
type sceneLeg struct {
	Box   int      `json:"box"`
	First bool     `json:"first"`
	Move  point    `json:"move"`
	Off   []string `json:"off"`
	Words both     `json:"words"`
}

func sceneOf(in Input) scene {
	f, p := in.Problem.Frame, in.Problem.Pack
	s := scene{
		Rims: rims(f.Opening), Solids: solids(f, p.Gaps),
		Gaps: sceneGaps{p.Gaps.Beside, p.Gaps.Above, p.Gaps.Post}, Layouts: []sceneLayout{},
	}
	low, high := extent(f.Opening)
	s.Low, s.High = pointOf(low), pointOf(high)
	for _, k := range p.Kinds {
		s.Kinds = append(s.Kinds, kindOf(k))
	}
	for _, l := range in.Layouts {
		s.Layouts = append(s.Layouts, layoutOf(in.Problem, l))
	}
	return s
}

// extent is the low and the high corner of the opening.
func extent(o frame.Opening) (low, high r3.Vector) {
	b := o.Outline.Bounds()
	low, high = r3.Vector{X: b.X.Lo, Z: b.Y.Lo}, r3.Vector{X: b.X.Hi, Z: b.Y.Hi}
	for _, z := range heights(o, b.Y.Lo, b.Y.Hi) {
		in := o.AcrossAt(z)
		low.Y, high.Y = min(low.Y, in.Lo), max(high.Y, in.Hi)
	}
	return low, high
}

// heights are where the width may change between two heights, from a to b.
func heights(o frame.Opening, a, b float64) []float64 {
	list := []float64{a}
	for i := range o.Stations {
		z := o.Stations[i].Z
		if b < a {
			z = o.Stations[len(o.Stations)-1-i].Z
		}
		if z > min(a, b) && z < max(a, b) {
			list = append(list, z)
		}
	}
	return append(list, b)
}

// rims draws each side of the opening at its right and left limit, and across at its
// first corner.
func rims(o frame.Opening) []sceneRim {
	var all []sceneRim
	for i, a := range o.Outline.Corners {
		b := o.Outline.Corners[(i+1)%len(o.Outline.Corners)]
		var right, left []point
		for _, q := range along(o, a, b) {
			in := o.AcrossAt(q.Y)
			right = append(right, pointOf(geom.SideView.Point(q, in.Lo)))
			left = append(left, pointOf(geom.SideView.Point(q, in.Hi)))
		}
		open := i < len(o.Open) && o.Open[i]
		all = append(all, sceneRim{open, [][]point{right, left}}, sceneRim{false, [][]point{{right[0], left[0]}}})
	}
	return all
}

// along is the side from a to b with the points where the width changes.
func along(o frame.Opening, a, b r2.Point) []r2.Point {
	if a.Y == b.Y {
		return []r2.Point{a, b}
	}
	var all []r2.Point
	for _, z := range heights(o, a.Y, b.Y) {
		all = append(all, r2.Point{X: a.X + (b.X-a.X)*(z-a.Y)/(b.Y-a.Y), Y: z})
	}
	return all
}

func solids(f *frame.Frame, gaps pack.Gaps) []sceneSolid {
	all := []sceneSolid{}
	profiles := map[int]bool{}
	for _, o := range f.Obstacles(0) {
		s := sceneSolid{Name: o.Name, Rail: o.Kind == frame.RailTube, Gap: gaps.KeepOut}
		switch {
		case o.Gap != nil:
			s.Gap = *o.Gap
		case s.Rail:
			s.Gap = gaps.Rail
		}
		switch v := o.Solid.(type) {
		case geom.Tube:
			s.bar(v.From, v.To, v.Radius)
		case geom.Cylinder:
			s.bar(v.From, v.To, v.Radius)
		case geom.Box:
			low, high := pointOf(v.Centre.Sub(v.Half)), pointOf(v.Centre.Add(v.Half))
			s.Low, s.High = &low, &high
		default:
			if o.Kind != frame.KeptOut || profiles[o.Source] {
				continue
			}
			profiles[o.Source] = true // one outline, however many convex pieces it has
			s.profile(f.KeepOuts[o.Source].Profile)
		}
		all = append(all, s)
	}
	return all
}

func (s *sceneSolid) bar(from, to r3.Vector, radius float64) {
	a, b := pointOf(from), pointOf(to)
	s.From, s.To, s.Radius = &a, &b, rounded(radius)
}

func (s *sceneSolid) profile(p *frame.Profile) {
	for _, c := range p.Outline.Corners {
		s.Outline = append(s.Outline, [2]float64{rounded(c.X), rounded(c.Y)})
	}
	s.Across = &[2]float64{rounded(p.Across.Lo), rounded(p.Across.Hi)}
}

func kindOf(k pack.Kind) sceneKind {
	s := sceneKind{Size: pointOf(k.Size), Posts: []scenePost{}}
	for _, t := range k.Posts {
		s.Posts = append(s.Posts, scenePost{
			At: pointOf(foot(k, t)), Axis: pointOf(t.Face.Normal()),
			Radius: rounded(t.Diameter / 2), Height: rounded(t.Height), Sign: t.Polarity,
		})
	}
	return s
}

// foot is where a post stands on its face, from the box's middle in the box's own axes.
func foot(k pack.Kind, t pack.Post) r3.Vector {
	var at [3]float64
	size := [3]float64{k.Size.X, k.Size.Y, k.Size.Z}
	in := []float64{t.At.X, t.At.Y}
	for axis := range at {
		if axis == t.Face.Axis() {
			continue
		}
		at[axis], in = in[0]-size[axis]/2, in[1:]
	}
	n := t.Face.Normal()
	return r3.Vector{X: at[0] + n.X*size[0]/2, Y: at[1] + n.Y*size[1]/2, Z: at[2] + n.Z*size[2]/2}
}

func layoutOf(problem pack.Problem, l Layout) sceneLayout {
	s := sceneLayout{
		Title: bothOf(l.title), Alt: fmt.Sprintf("%d boxes in the opening", len(l.Layout.Placements)),
		Boxes: []sceneBox{}, Measures: []sceneMeasure{}, Legs: []sceneLeg{},
	}
	if t, ok := l.Report.Tightest(); ok {
		s.Alt += fmt.Sprintf("; tightest is %s to %s", t.A, t.B)
	}
	index := map[pack.Part]int{}
	for _, at := range l.Layout.Placements {
		part := pack.Part{Box: at.Box, Number: at.Number}
		index[part] = len(s.Boxes)
		box := sceneBox{Name: part.String(), Kind: kindIndex(problem.Pack, at.Box), Centre: pointOf(at.Centre)}
		for i, a := range at.Axes() {
			box.Axes[i] = [3]float64{a.X, a.Y, a.Z}
		}
		s.Boxes = append(s.Boxes, box)
	}
	for _, m := range view.Measures(problem, l.Judged) {
		s.Measures = append(s.Measures, sceneMeasure{pointOf(m.From), pointOf(m.To), bothOf(m.Words)})
	}
	s.Legs = append(s.Legs, legsOf(l.Entry.Order, index)...)
	return s
}

func kindIndex(p *pack.Pack, name string) int {
	for i, k := range p.Kinds {
		if k.Name == name {
			return i
		}
	}
	return 0
}

// legsOf are the moves of an order, first to last.
func legsOf(o entry.Order, index map[pack.Part]int) []sceneLeg {
	var all []sceneLeg
	for n, step := range o.Steps {
		for i, leg := range step.Legs {
			all = append(all, sceneLeg{
				Box: index[step.Part()], First: i == 0, Move: pointOf(leg), Off: append([]string{}, step.Off...),
				Words: bothOf(func(u geom.Unit) string {
					return fmt.Sprintf("%d of %d. %s: %s", n+1, len(o.Steps), step.Part(), answer.StepWords(step, entry.Order{}, u))
				}),
			})
		}
	}
	return all
}
