package page

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/golang/geo/r3"

	"rackwright/export"
	"rackwright/export/view"
	"rackwright/geom"
	"rackwright/pack"
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
	Open    int           `json:"open"` // the layout to begin with, from 0
}

// sceneRim is a side of the opening as lines.
type sceneRim struct {
	Open  bool      `json:"open"`
	Lines [][]point `json:"lines"`
}

// sceneSolid is a rail, or a keep-out: a bar, a profile swept across, a block, or flat faces.
type sceneSolid struct {
	Name    string         `json:"name"`
	Layouts []int          `json:"layouts,omitempty"` // that it is in, from 0; none for all
	Rail    bool           `json:"rail"`
	Gap     float64        `json:"gap"`
	Hull    [][][2]float64 `json:"hull,omitempty"`  // of a profile: convex outlines, grown by the gap
	Piece   bool           `json:"piece,omitempty"` // of a keep-out that is in pieces, as notched
	Edges   [][2]point     `json:"edges,omitempty"` // of all its pieces, with the first one
	From    *point         `json:"from,omitempty"`
	To      *point         `json:"to,omitempty"`
	Radius  float64        `json:"radius,omitempty"`
	Outline [][2]float64   `json:"outline,omitempty"`
	Across  *[2]float64    `json:"across,omitempty"`
	Low     *point         `json:"low,omitempty"`
	High    *point         `json:"high,omitempty"`
	Faces   [][]point      `json:"faces,omitempty"`  // corners counter-clockwise seen from outside
	Around  [][]point      `json:"around,omitempty"` // of such a solid: the faces grown by the gap
	Swept   bool           `json:"swept,omitempty"`  // by a part that moves, or the road: drawn as a veil
	Label   string         `json:"label,omitempty"`  // written at it
	End     int            `json:"end,omitempty"`    // of a part that moves: the end of its movement, 1 or 2
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
	Number   int            `json:"number"` // from 0
	Title    both           `json:"title"`
	Alt      both           `json:"alt"`
	Boxes    []sceneBox     `json:"boxes"`
	Measures []sceneMeasure `json:"measures"`
	Legs     []sceneLeg     `json:"legs"`
	Done     string         `json:"done"` // what is told when all boxes are in
	Cables   []sceneCable   `json:"cables"`
	Joining  []sceneJoining `json:"joining"` // the order of making connections
	Rack     *sceneRack     `json:"rack,omitempty"`
}

type sceneBox struct {
	Name   string        `json:"name"`
	Short  string        `json:"short"` // where there is little room
	Kind   int           `json:"kind"`
	Centre point         `json:"centre"`
	Axes   [3][3]float64 `json:"axes"`
	Near   [][3]string   `json:"near,omitempty"` // its neighbours: name, clearance in mm and in inches
}

type sceneMeasure struct {
	From  point `json:"from"`
	To    point `json:"to"`
	Words both  `json:"words"`
}

// sceneLeg is one straight move of the order in, or of the order of building a rack.
type sceneLeg struct {
	Box   int      `json:"box"` // of the layout, or a part of the rack after these; -1: nothing moves
	First bool     `json:"first"`
	Move  point    `json:"move"`
	Off   []string `json:"off"`
	Words both     `json:"words"`
}

func sceneOf(in Input) scene {
	f, p := in.Problem.Frame, in.Problem.Pack
	s := scene{
		Rims: rims(f.Opening), Solids: allSolids(in),
		Gaps: sceneGaps{p.Gaps.Beside, p.Gaps.Above, p.Gaps.Post}, Layouts: []sceneLayout{}, Open: in.Open,
	}
	low, high := extent(f.Opening)
	s.Low, s.High = pointOf(low), pointOf(high)
	for _, k := range p.Kinds {
		s.Kinds = append(s.Kinds, kindOf(k))
	}
	for i, l := range in.Layouts {
		one := layoutOf(l.Framed(in.Problem), l)
		one.Number = i
		s.Layouts = append(s.Layouts, one)
	}
	return s
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

// short is the name of a box for where there is little room: its number, and the first
// letters where there are others.
func short(p *pack.Pack, part pack.Part) string {
	const letters = 3
	if name := []rune(part.Box); len(p.Kinds) > 1 && len(name) > letters {
		return fmt.Sprintf("%s… %d", string(name[:letters]), part.Number)
	} else if len(p.Kinds) > 1 {
		return part.String()
	}
	return strconv.Itoa(part.Number)
}

// alternative says what the picture of a layout shows.
func alternative(l Layout, u geom.Unit) string {
	text := fmt.Sprintf("3D picture of %s: %d boxes in the opening", l.title(u), len(l.Layout.Placements))
	if l.Rack != nil {
		text += fmt.Sprintf(", held by a rack of %d bars", len(l.Rack.Rack.Bars))
	}
	if t, ok := l.Report.Tightest(); ok {
		text += fmt.Sprintf("; tightest is %s to %s, %s where %s is required", t.A, t.B, export.Clearance(t.Gap, u), export.AtLeast(t.Required, u))
	}
	return text
}

func measuresOf(list []view.Measure) []sceneMeasure {
	all := []sceneMeasure{}
	for _, m := range list {
		all = append(all, sceneMeasure{pointOf(m.From), pointOf(m.To), bothOf(m.Words)})
	}
	return all
}

func layoutOf(problem pack.Problem, l Layout) sceneLayout {
	s := sceneLayout{
		Title: bothOf(l.title), Boxes: []sceneBox{}, Legs: []sceneLeg{}, Cables: []sceneCable{}, Joining: []sceneJoining{},
		Alt: bothOf(func(u geom.Unit) string { return alternative(l, u) }),
	}
	index := map[pack.Part]int{}
	for _, at := range l.Layout.Placements {
		part := at.Part()
		index[part] = len(s.Boxes)
		box := sceneBox{Name: part.String(), Short: short(problem.Pack, part), Kind: problem.Pack.Index(at.Box), Centre: pointOf(at.Centre)}
		for i, a := range at.Axes() {
			box.Axes[i] = [3]float64{a.X, a.Y, a.Z}
		}
		box.Near = neighbours(l.Report, part)
		s.Boxes = append(s.Boxes, box)
	}
	s.Measures = measuresOf(view.Measures(problem, l.Judged))
	s.Legs = append(s.Legs, legsOf(l.Entry, index)...)
	if l.Wiring != nil {
		s.Cables, s.Joining = cablesOf(*l.Wiring), joiningOf(*l.Wiring)
	}
	s.Done = strings.Join(append([]string{"All boxes are in."}, connections(l.Entry, nil)...), " ")
	if l.Rack != nil {
		var legs []sceneLeg
		if s.Rack, legs = rackOf(*l.Rack, index); len(l.Rack.Report.Order) > 0 {
			s.Legs, s.Done = legs, "Everything is in its place."
		}
	}
	return s
}
