package loads

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/beam"
)

// Pads: what a square millimetre of foam a millimetre thick takes for each millimetre, N. Our
// own choice, that of a firm closed-cell foam or soft rubber (from memory); a block of wood
// with foam on it is as its foam.
const foamModulus = 1.0

// blockFoam is how thick in mm the foam on a block is.
const blockFoam = 3

// merge is how near in mm stations of a bar are one.
const merge = 3

// model is a rack as a frame.
type model struct {
	frame   beam.Model
	rack    *rack.Rack
	bars    map[string]*line
	boxes   []body
	hung    []body // what hangs on the rack
	hangers map[string]bool
	joints  []joint
	gripped []grip
	seams   []seamed
	mass    float64
}

// line is a bar or rod as a row of members between its stations.
type line struct {
	name     string
	bar      *rack.Bar
	fastener *rack.Fastener
	from     r3.Vector
	along    r3.Vector
	stations []float64
	nodes    []int
	members  []int
}

// body is a box.
type body struct {
	name   string
	node   int
	mass   float64
	centre r3.Vector
}

// joint is a bolt between two parts, or a part and the ground.
type joint struct {
	number   int
	fastener *rack.Fastener
	lever    float64 // mm from the bolt to the edge that it is prised about
	holes    []bored // what it bears on
}

func newModel(p pack.Problem, l pack.Layout, r *rack.Rack) (*model, error) {
	m := &model{rack: r, bars: map[string]*line{}, hangers: hangers(p.Frame)}
	m.stations()
	m.addLines()
	for _, at := range l.Placements {
		kind, _ := p.Kind(at.Box)
		if kind.Mass == 0 {
			continue
		}
		n := m.frame.Node(at.Centre, at.Part().String())
		m.boxes = append(m.boxes, body{at.Part().String(), n, kind.Mass, at.Centre})
		m.mass += kind.Mass
	}
	for i := range r.Fasteners {
		if err := m.join(&r.Fasteners[i]); err != nil {
			return nil, err
		}
	}
	m.addHangs(p.Frame)
	m.addWelds()
	for _, pad := range r.Pads {
		m.touch(pad)
	}
	return m, nil
}

// stations notes where along each bar and rod something happens.
func (m *model) stations() {
	for i := range m.rack.Bars {
		b := &m.rack.Bars[i]
		m.bars[b.Name] = &line{name: b.Name, bar: b, from: b.From, along: b.Along(), stations: []float64{0, b.Length()}}
	}
	for i := range m.rack.Fasteners {
		f := &m.rack.Fasteners[i]
		if f.Rod && !m.rack.Stud(*f) { // a stud is the mount's
			m.bars[f.Name] = &line{name: f.Name, fastener: f, from: f.From, along: f.Along(), stations: []float64{0, f.Length()}}
		}
		for _, name := range f.Joins {
			b, ok := m.rack.Bar(name)
			if !ok {
				continue
			}
			for _, h := range f.Through(b) {
				m.bars[name].station(h.At)
				if rod := m.bars[f.Name]; rod != nil {
					rod.station((h.Begins + h.Ends) / 2)
				}
			}
		}
	}
	m.weldStations()
	for _, pad := range m.rack.Pads {
		if l := m.bars[pad.To]; l != nil {
			for _, q := range points(pad) {
				l.station(q.Sub(l.from).Dot(l.along))
			}
		}
	}
}

func (l *line) station(at float64) {
	if at < 0 || slices.ContainsFunc(l.stations, func(s float64) bool { return math.Abs(s-at) < merge }) {
		return
	}
	l.stations = append(l.stations, at)
}

// nearest is the node next to a place along the line.
func (l *line) nearest(at float64) int {
	best := 0
	for i, s := range l.stations {
		if math.Abs(s-at) < math.Abs(l.stations[best]-at) {
			best = i
		}
	}
	return l.nodes[best]
}

func (l *line) nearestTo(p r3.Vector) int { return l.nearest(p.Sub(l.from).Dot(l.along)) }

// addLines makes nodes and members.
func (m *model) addLines() {
	for _, b := range m.rack.Bars {
		m.addLine(m.bars[b.Name])
	}
	for _, f := range m.rack.Fasteners {
		if rod := m.bars[f.Name]; rod != nil {
			m.addLine(rod)
		}
	}
}

func (m *model) addLine(l *line) {
	slices.Sort(l.stations)
	for i, s := range l.stations {
		at := l.from.Add(l.along.Mul(s))
		section, y := rodSection(l.fastener), l.along.Ortho()
		if l.bar != nil {
			at, section, y = l.bar.Centre(s), l.bar.Section.Properties(), principal(*l.bar)
		}
		l.nodes = append(l.nodes, m.frame.Node(at, l.name))
		if i > 0 {
			l.members = append(l.members, m.frame.Member(l.nodes[i-1], l.nodes[i], section, beam.Steel, y, l.name))
		}
	}
}

// principal is the axis y of a bar's section: an angle's axis of symmetry, a flat's width.
func principal(b rack.Bar) r3.Vector {
	if b.Section.Form == rack.Angle {
		return b.A.Add(b.B).Normalize()
	}
	return b.A
}

// rodSection is the round core of a thread: its diameter is that of the stress area.
func rodSection(f *rack.Fastener) beam.Section {
	if f == nil {
		return beam.Section{}
	}
	t, _ := rack.ThreadOf(f.Size)
	a := t.StressArea()
	i := a * a / (4 * math.Pi)
	return beam.Section{Area: a, IY: i, IZ: i, J: 2 * i}
}

// join makes the joints of a bolt, from each part that it goes through to the next, or those
// of a rod to each.
func (m *model) join(f *rack.Fastener) error {
	type place struct {
		node int
		at   r3.Vector
		half float64
		hole bored
	}
	var places []place
	mount := false
	for _, name := range f.Joins {
		b, ok := m.rack.Bar(name)
		if !ok {
			mount = mount || !m.hangers[name]
			continue
		}
		holes := f.Through(b)
		if len(holes) != 1 {
			return fmt.Errorf("%s does not go through %s", f.Name, name)
		}
		h := holes[0]
		places = append(places, place{m.bars[name].nearest(h.At), h.Place(b), math.Min(h.Across, b.Section.Width-h.Across), bored{b, h}})
		if f.Rod && !mountIn(m, f) {
			rod := m.bars[f.Name]
			m.add(f, places[len(places)-1].node, rod.nearest((h.Begins+h.Ends)/2), h.Place(b), !clamped(f, h), h.Across, bored{b, h})
		}
	}
	switch {
	case f.Rod && !mount:
	case mount && len(places) > 0:
		if _, last := m.rack.Bar(f.Joins[len(f.Joins)-1]); last { // a stud: the mount comes first
			slices.Reverse(places)
		}
		end := places[len(places)-1]
		at, lever := end.at, end.half
		if f.Sleeve != nil { // it stands on the mount's face, and is prised off there
			at, lever = farther(*f, at), f.Sleeve.Outer/2
		}
		m.add(f, end.node, beam.Ground, at, true, lever, end.hole)
		m.grip(f, at)
		fallthrough
	default:
		for i := 1; i < len(places); i++ {
			at := places[i-1].at.Add(places[i].at).Mul(0.5)
			m.add(f, places[i-1].node, places[i].node, at, true, math.Min(places[i-1].half, places[i].half), places[i-1].hole, places[i].hole)
		}
	}
	return nil
}

// grip notes the clamp that a bolt goes into, if it does; the joint is the last one.
func (m *model) grip(f *rack.Fastener, at r3.Vector) {
	for _, name := range f.Joins {
		if c, ok := m.rack.Clamp(name); ok {
			m.gripped = append(m.gripped, grip{m.joints[len(m.joints)-1].number, at, c})
		}
	}
}

// farther is the end of a bolt's sleeve that is farther from a place: on the mount's face.
func farther(f rack.Fastener, from r3.Vector) r3.Vector {
	a, b := f.At(f.Sleeve.From), f.At(f.Sleeve.To)
	if a.Sub(from).Norm() > b.Sub(from).Norm() {
		return a
	}
	return b
}

func mountIn(m *model, f *rack.Fastener) bool {
	return slices.ContainsFunc(f.Joins, func(n string) bool { _, ok := m.rack.Bar(n); return !ok && !m.hangers[n] })
}

// clamped tells whether a rod has nuts on both sides of a bar.
func clamped(f *rack.Fastener, h rack.Hole) bool {
	before, after := false, false
	for _, n := range f.Nuts {
		after = after || n.Beyond && n.At >= h.Ends-1
		before = before || !n.Beyond && n.At <= h.Begins+1
	}
	between := slices.ContainsFunc(f.Nuts, func(n rack.Nut) bool { return n.Beyond && n.At >= h.Ends-1 && n.At <= h.Ends+6 })
	return before && after && between && slices.ContainsFunc(f.Nuts, func(n rack.Nut) bool { return !n.Beyond && n.At >= h.Begins-6 })
}

func (m *model) add(f *rack.Fastener, a, b int, at r3.Vector, pinned bool, lever float64, holes ...bored) {
	n := m.frame.Join(beam.Joint{A: a, B: b, At: at, Axis: f.Along(), Pinned: pinned, Name: f.Name})
	m.joints = append(m.joints, joint{n, f, math.Max(lever, 5), holes})
}

// touch makes a pad four contacts.
func (m *model) touch(pad rack.Pad) {
	a := slices.IndexFunc(m.boxes, func(b body) bool { return b.name == pad.Part().String() })
	if a < 0 {
		return
	}
	size := pad.High.Sub(pad.Low)
	area := size.X * size.Y * size.Z / pad.Thickness()
	thick := pad.Thickness()
	if pad.Of == rack.Block {
		thick = blockFoam
	}
	for _, q := range points(pad) {
		b := -2
		if l := m.bars[pad.To]; l != nil {
			b = l.nearestTo(q)
		} else if k := slices.IndexFunc(m.boxes, func(b body) bool { return b.name == pad.To }); k >= 0 {
			b = m.boxes[k].node
		}
		if b == -2 {
			return
		}
		m.frame.Touch(beam.Contact{
			A: m.boxes[a].node, B: b, At: q, Normal: pad.InVehicle(pad.Face.Mul(-1)), Stiffness: foamModulus * area / thick / 4,
			Name: pad.Name(),
		})
	}
}

// points are the four points of Gauss's rule on the middle of a pad.
func points(p rack.Pad) []r3.Vector {
	middle, half := p.Low.Add(p.High).Mul(0.5), p.High.Sub(p.Low).Mul(0.5/math.Sqrt(3))
	n := p.Face.Abs()
	var list []r3.Vector
	for _, s := range [][2]float64{{-1, -1}, {-1, 1}, {1, -1}, {1, 1}} {
		var d r3.Vector
		switch {
		case n.X > 0.5:
			d = r3.Vector{Y: s[0] * half.Y, Z: s[1] * half.Z}
		case n.Y > 0.5:
			d = r3.Vector{X: s[0] * half.X, Z: s[1] * half.Z}
		default:
			d = r3.Vector{X: s[0] * half.X, Y: s[1] * half.Y}
		}
		list = append(list, p.InVehicle(middle.Add(d)))
	}
	return list
}
