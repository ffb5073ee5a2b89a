package limit

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// Sort tells what kind of thing a measured one is.
type Sort int

const (
	Size      Sort = iota // a size of a kind of box
	PostSize              // height or diameter of a post
	PostPlace             // where a post is in its face
	Gap                   // a required gap: chosen, not measured
	Side                  // where a side of the opening is
	Width                 // where a limit of the width is
	Rail                  // where a rail is, or its diameter
	KeepOut               // where a keep-out is, or its faces
)

var sortNames = [...]string{"size", "post", "post_place", "gap", "side", "width", "rail", "keepout"}

// String gives the word used in JSON.
func (s Sort) String() string { return sortNames[s] }

// Measured is a thing that can be more or less.
type Measured struct {
	Sort Sort
	Of   string // what it belongs to: a kind of box, a side, a rail, a keep-out; empty for gaps of the pack
	What string // "height", "diameter", "forward"; the name of the gap
	// Accuracy is how much it may be off, as the files say; 0 for gaps.
	Accuracy float64
	// rates gives by how much what is left of a row changes for each millimetre more.
	rates func(row) float64
}

// MoreWords says what it means that there is more of it: "battery height", "seat post further
// out", "down-tube further forward".
func (m Measured) MoreWords() string {
	switch m.Sort {
	case Gap:
		if m.Of != "" {
			return "gap of the " + m.Of
		}
		return "gap " + m.What
	case Side, Width:
		return m.Of + " further " + m.What
	case PostPlace:
		return m.Of + " further " + m.What
	case Rail, KeepOut:
		if m.What == diameter {
			return m.Of + " " + diameter
		}
		if m.What == allRound {
			return m.Of + " larger all round"
		}
		return m.Of + " further " + m.What
	case PostSize:
		return m.Of + " post " + m.What
	}
	return m.Of + " " + m.What
}

// Words for what is measured.
const (
	diameter = "diameter"
	allRound = "all round"
)

var sizeNames = [...]string{"length", "width", "height"}

// fromFaces are the faces that places of posts are measured from, along L, W and H.
var fromFaces = [...]string{"from the back", "from the right", "from the bottom"}

// measured lists everything measured or chosen in the problem of a scene.
func (s *scene) measured() []Measured {
	list := s.sizes()
	list = append(list, s.gaps()...)
	list = append(list, s.sides()...)
	list = append(list, s.widths()...)
	list = append(list, s.rails()...)
	return append(list, s.keepOuts()...)
}

func axisVector(axis int, length float64) r3.Vector {
	var v [3]float64
	v[axis] = length
	return r3.Vector{X: v[0], Y: v[1], Z: v[2]}
}

// changedKind is the scene with a kind of box changed. Bodies are linear in sizes, so
// one whole millimetre shows the rate.
func (s *scene) changedKind(k int, change func(*pack.Kind)) *scene {
	p := *s.problem.Pack
	p.Kinds = slices.Clone(p.Kinds)
	p.Kinds[k].Posts = slices.Clone(p.Kinds[k].Posts)
	change(&p.Kinds[k])
	problem := s.problem
	problem.Pack = &p
	other, err := newScene(problem, pack.Layout{Placements: s.places})
	if err != nil {
		s.fault = err
		return s
	}
	return other
}

// against compares rows with another scene.
func (s *scene) against(other *scene) func(row) float64 {
	return func(r row) float64 { return r.gapAlong(other) - r.gapAlong(s) }
}

func (s *scene) sizes() []Measured {
	var list []Measured
	for k, kind := range s.problem.Pack.Kinds {
		for axis, name := range sizeNames {
			other := s.changedKind(k, func(k *pack.Kind) { k.Size = k.Size.Add(axisVector(axis, 1)) })
			list = append(list, Measured{Sort: Size, Of: kind.Name, What: name, Accuracy: kind.Accuracy, rates: s.against(other)})
		}
		for i, post := range kind.Posts {
			tall := s.changedKind(k, func(k *pack.Kind) { k.Posts[i].Height++ })
			thick := s.changedKind(k, func(k *pack.Kind) { k.Posts[i].Diameter++ })
			of := kind.Name + " " + post.Name
			list = append(list,
				Measured{Sort: PostSize, Of: of, What: "height", Accuracy: kind.Accuracy, rates: s.against(tall)},
				Measured{Sort: PostSize, Of: of, What: diameter, Accuracy: kind.Accuracy, rates: s.against(thick)})
			list = append(list, s.postPlaces(k, i)...)
		}
	}
	return list
}

// postPlaces are the two coordinates of a post in its face.
func (s *scene) postPlaces(k, post int) []Measured {
	kind := s.problem.Pack.Kinds[k]
	of, across := kind.Name+" "+kind.Posts[post].Name, kind.Posts[post].Face.Axis()
	var list []Measured
	for axis, from := range fromFaces {
		if axis == across {
			continue
		}
		first := len(list) == 0
		aside := s.changedKind(k, func(k *pack.Kind) {
			if first {
				k.Posts[post].At.X++
			} else {
				k.Posts[post].At.Y++
			}
		})
		list = append(list, Measured{Sort: PostPlace, Of: of, What: from, Accuracy: kind.Accuracy, rates: s.against(aside)})
	}
	return list
}

// gaps are those of the pack, and rails' and keep-outs' own.
func (s *scene) gaps() []Measured {
	var list []Measured
	for rule := pack.Beside; rule <= pack.BootGap; rule++ {
		list = append(list, Measured{Sort: Gap, What: rule.String(), rates: func(r row) float64 {
			return minusIf(r.need.Rule == rule && !r.need.Own)
		}})
	}
	own := func(name string, is func(row) bool) {
		list = append(list, Measured{Sort: Gap, Of: name, What: "own gap", rates: func(r row) float64 {
			return minusIf(r.need.Own && is(r))
		}})
	}
	for i, r := range s.problem.Frame.Rails {
		if r.Gap != nil {
			own(r.Name, s.with(frame.RailTube, i))
		}
	}
	for i, k := range s.problem.Frame.KeepOuts {
		if k.Gap != nil {
			own(k.Name, s.with(frame.KeptOut, i))
		}
	}
	return list
}

// with tells of rows whether they are with a rail or keep-out of the frame.
func (s *scene) with(kind frame.ObstacleKind, source int) func(row) bool {
	return func(r row) bool {
		return r.j == onFrame && s.obstacles[r.obstacle].Kind == kind && s.obstacles[r.obstacle].Source == source
	}
}

func minusIf(yes bool) float64 {
	if yes {
		return -1
	}
	return 0
}

// widths are the two limits of the width, further out.
func (s *scene) widths() []Measured {
	limit := func(name string, out r3.Vector) Measured {
		return Measured{Sort: Width, Of: name, What: "out", Accuracy: s.problem.Frame.Accuracy, rates: func(r row) float64 {
			if r.j != onFrame || s.obstacles[r.obstacle].Kind != frame.Width || s.obstacles[r.obstacle].Name != name {
				return 0
			}
			return r.u.Dot(out)
		}}
	}
	return []Measured{limit("width right", r3.Vector{Y: -1}), limit("width left", r3.Vector{Y: 1})}
}

// ways are the directions in which rails and keep-outs are moved.
var ways = []struct {
	name string
	to   r3.Vector
}{{"forward", r3.Vector{X: 1}}, {"to the left", r3.Vector{Y: 1}}, {"up", r3.Vector{Z: 1}}}

func (s *scene) rails() []Measured {
	var list []Measured
	for i, rail := range s.problem.Frame.Rails {
		is := s.with(frame.RailTube, i)
		list = append(list, Measured{Sort: Rail, Of: rail.Name, What: diameter, Accuracy: s.problem.Frame.RailAccuracy(i), rates: func(r row) float64 {
			return minusIf(is(r)) / 2
		}})
		for _, way := range ways {
			list = append(list, s.railMoved(i, is, way.name, way.to))
		}
	}
	return list
}

// railMoved is a rail moved: its mirror image moves the other way across.
func (s *scene) railMoved(i int, is func(row) bool, name string, to r3.Vector) Measured {
	rail := s.problem.Frame.Rails[i]
	return Measured{Sort: Rail, Of: rail.Name, What: name, Accuracy: s.problem.Frame.RailAccuracy(i), rates: func(r row) float64 {
		if !is(r) {
			return 0
		}
		if s.isImage(rail, s.obstacles[r.obstacle].Solid) {
			return r.u.Dot(r3.Vector{X: to.X, Y: -to.Y, Z: to.Z})
		}
		return r.u.Dot(to)
	}}
}

// isImage tells whether a tube is of the mirror image of a rail, and not of itself.
func (s *scene) isImage(rail frame.Rail, solid geom.Solid) bool {
	tube, ok := geom.BarOf(solid)
	if !ok || !rail.Mirror {
		return false
	}
	for i := 1; i < len(rail.Path); i++ {
		if tube.From == rail.Path[i-1] && tube.To == rail.Path[i] {
			return false
		}
	}
	return true
}

func (s *scene) keepOuts() []Measured {
	var list []Measured
	larger := s.larger()
	for i, k := range s.problem.Frame.KeepOuts {
		is := s.with(frame.KeptOut, i)
		list = append(list, Measured{Sort: KeepOut, Of: k.Name, What: allRound, Accuracy: s.problem.Frame.KeepOutAccuracy(i), rates: func(r row) float64 {
			if !is(r) {
				return 0
			}
			return larger[r.obstacle].Solid.Extent(r.u).Lo - s.obstacles[r.obstacle].Solid.Extent(r.u).Lo
		}})
		for _, way := range ways {
			list = append(list, Measured{Sort: KeepOut, Of: k.Name, What: way.name, Accuracy: s.problem.Frame.KeepOutAccuracy(i), rates: func(r row) float64 {
				if !is(r) {
					return 0
				}
				return r.u.Dot(way.to)
			}})
		}
	}
	return list
}

// larger is the scene's frame with every face nearer by another millimetre.
func (s *scene) larger() []frame.Obstacle {
	if s.problem.Worst {
		return s.problem.Frame.StillObstaclesAtWorst(1)
	}
	return s.problem.Frame.StillObstacles(1)
}

// rate is the change of what is left of a row, rounding taken out.
func (m Measured) rate(r row) float64 {
	v := m.rates(r)
	if math.Abs(v) < 1e-9 {
		return 0
	}
	return v
}

// String names the measured thing, for messages and tests.
func (m Measured) String() string { return fmt.Sprintf("%v %s", m.Sort, m.MoreWords()) }

// OfDiameter tells whether it is how thick a thing is, not where.
func (m Measured) OfDiameter() bool { return m.What == diameter }
