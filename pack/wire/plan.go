package wire

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/cable"
	"rackwright/pack/wire/route"
)

// Settings steer the planning. The zero value is valid.
type Settings struct {
	// Rack is what of a rack cables go round.
	Rack []route.Obstacle
	// Longest looks for the order with the shortest longest jumper, not for the least sum.
	Longest bool
}

// Plan is how the batteries of a layout are joined.
type Plan struct {
	Wiring  pack.Wiring // with its defaults
	Cable   cable.Size
	Carries float64     // A, the cable for long
	Order   []pack.Part // from the pack's minus to its plus: groups, or strings, one behind the other
	Jumpers []Jumper    // in that order
	Proven  bool        // no order has less cable
	Leads   []Jumper    // from the pack's ends to the controller; none where that is not placed
	// Charging are the cables from the pack's ends to the charger; none where that is not placed,
	// or has no posts.
	Charging []Jumper
	Plus     []pack.Part // the posts at the pack's plus: one, or one of each string
	Minus    []pack.Part
	Electric
	Breaks []int // which of Jumpers are left open in the middle until the last, one of each string; none where that is not needed
	Boots  []Boot
	Lugs   []Lug
	Notes  []string // what the builder has to know, the gravest first
}

// Jumper is a cable between two posts.
type Jumper struct {
	From, To pack.Part
	Path     route.Path
	Cut      float64 // mm of cable to cut, lugs reckoned in, in steps of 5
	Leaves   string  // which way it leaves the first post: front, back, left, right, up, down
	Parallel bool    // between posts of one polarity
	Least    float64 // mm, the radius that it may be bent to
	// Solids are the cable in its place, straight pieces with round ends.
	Solids []geom.Tube
}

// Sharp tells whether the cable would have to be bent more sharply than it allows.
func (j Jumper) Sharp() bool { return j.Path.Bend < j.Least*(1-1e-6) }

// Cables are all of them: jumpers first, then leads to the controller, then those to the charger.
func (p Plan) Cables() []Jumper { return slices.Concat(p.Jumpers, p.Leads, p.Charging) }

// Total is the length of all jumpers along their middle lines, in mm.
func (p Plan) Total() float64 {
	sum := 0.0
	for _, j := range p.Jumpers {
		sum += j.Path.Length
	}
	return sum
}

// StringName tells the leads of strings apart: " 1", " 2"; empty where there is but one.
func (p Plan) StringName(k int) string {
	if len(p.Plus) < 2 {
		return ""
	}
	return fmt.Sprintf(" %d", k+1)
}

// FaultsError is what keeps a pack from being wired.
type FaultsError struct{ Faults []pack.WiringFault }

func (e *FaultsError) Error() string {
	var all []string
	for _, f := range e.Faults {
		all = append(all, f.Text)
	}
	return strings.Join(all, "; ")
}

// ErrNoWay is wrapped where a jumper has no way.
var ErrNoWay = errors.New("a jumper has no way")

// Make plans the wiring of a layout without faults. It returns a *FaultsError for a pack that
// cannot be wired as asked, and ErrNoWay, wrapped, where there is no room for a cable.
func Make(p pack.Problem, l pack.Layout, s Settings) (Plan, error) {
	w, faults := p.Pack.Wired()
	if len(faults) > 0 {
		return Plan{}, &FaultsError{faults}
	}
	batteries, err := batteriesOf(p, l)
	if err != nil {
		return Plan{}, err
	}
	if n := w.Series * w.Parallel * w.Strings; len(batteries) != n {
		return Plan{}, &FaultsError{[]pack.WiringFault{{Key: "series", Text: fmt.Sprintf("the layout has %d of the %d batteries", len(batteries), n)}}}
	}
	m := maker{problem: p, layout: l, batteries: batteries}
	m.plan.Wiring = w
	return m.make(s)
}

// maker is a plan that is being made.
type maker struct {
	problem   pack.Problem
	layout    pack.Layout
	batteries []battery
	lanes     *lanes
	plan      Plan
}

func (m *maker) make(s Settings) (Plan, error) {
	volts := m.batteries[0].kind.EndVolts() * float64(m.plan.Wiring.Series)
	size, _, err := m.plan.Wiring.Choose(volts)
	if err != nil {
		return Plan{}, err
	}
	m.plan.Cable = size
	m.plan.Carries, _ = size.Carries(m.plan.Wiring.Around)
	fixed, posts, err := surroundings(m.problem, m.layout, s.Rack)
	if err != nil {
		return Plan{}, err
	}
	c := route.Cable{Radius: size.Outside() / 2, Bend: cable.BendFixed * size.Outside()}
	m.lanes = newLanes(fixed, posts, c, m.batteries)
	order, joints, proven := m.lanes.ordered(m.plan.Wiring, s.Longest)
	m.plan.Proven = proven
	for _, i := range order {
		m.plan.Order = append(m.plan.Order, m.batteries[i].part)
	}
	if err := m.jumpers(joints); err != nil {
		return Plan{}, err
	}
	m.ends(order, joints)
	m.leads()
	m.electric()
	m.finish()
	return m.plan, nil
}

// jumpers lays the cables, each clear of those before that do not share a post with it.
func (m *maker) jumpers(joints []joint) error {
	for _, t := range joints {
		way := m.lanes.at(t)
		if way.length >= never {
			return fmt.Errorf("%w: no cable of %s goes from %s to %s, with %d mm straight behind each lug; a thinner cable, or another layout, may",
				ErrNoWay, m.plan.Cable, m.batteries[t.from].part, m.batteries[t.to].part, int(math.Ceil(straightLug(m.lanes.cable))))
		}
		j := m.laid(way.from, way.to, way.path)
		j.Parallel = t.between != plusToMinus
		m.plan.Jumpers = append(m.plan.Jumpers, j)
	}
	return nil
}

// laid is a cable along a path, or, where that runs into one laid before, along another one.
func (m *maker) laid(from, to terminal, path route.Path) Jumper {
	j := m.jumper(from, to, path)
	others := m.crossed(j)
	if len(others) == 0 {
		return j
	}
	if path, err := m.lanes.route(from, to, others); err == nil {
		return m.jumper(from, to, path)
	}
	m.plan.Notes = append(m.plan.Notes, fmt.Sprintf("%s to %s lies across another cable: put a sleeve between them.", j.From, j.To))
	return j
}

// crossed are the cables laid before that a new one would run into.
func (m *maker) crossed(j Jumper) []route.Obstacle {
	var all []route.Obstacle
	for _, o := range m.plan.Cables() {
		if o.From == j.From || o.From == j.To || o.To == j.From || o.To == j.To {
			continue
		}
		for _, piece := range o.Solids {
			all = append(all, route.Obstacle{Name: "cable", Solid: piece})
		}
	}
	for _, o := range all {
		for _, piece := range j.Solids {
			if geom.Distance(piece, o.Solid) < 0 {
				return all
			}
		}
	}
	return nil
}

// Cutting: cable that goes into each lug beyond the middle of its post, and the steps in which
// it is cut (practice).
const (
	intoLug = 20
	cutStep = 5
)

func (m *maker) jumper(from, to terminal, path route.Path) Jumper {
	j := Jumper{From: from.part, To: to.part, Path: path, Least: m.lanes.cable.Bend}
	j.Cut = math.Ceil((path.Length+2*intoLug)/cutStep) * cutStep
	j.Leaves = wayOf(path.Points[1].Sub(path.Points[0]))
	line := path.Line()
	for i := 1; i < len(line); i++ {
		if line[i].Distance(line[i-1]) > geom.Tolerance {
			j.Solids = append(j.Solids, geom.Tube{From: line[i-1], To: line[i], Radius: m.lanes.cable.Radius})
		}
	}
	return j
}

// wayOf is the nearest of the six ways of the vehicle.
func wayOf(v r3.Vector) string {
	ways := []struct {
		name string
		r3.Vector
	}{{"front", r3.Vector{X: 1}}, {"back", r3.Vector{X: -1}}, {"left", r3.Vector{Y: 1}}, {"right", r3.Vector{Y: -1}}, {"up", r3.Vector{Z: 1}}, {"down", r3.Vector{Z: -1}}}
	best := ways[0]
	for _, w := range ways {
		if v.Dot(w.Vector) > v.Dot(best.Vector) {
			best = w
		}
	}
	return best.name
}

// ends finds the posts that are the pack's plus and minus.
func (m *maker) ends(order []int, joints []joint) {
	used := map[pack.Part]bool{}
	for _, j := range m.plan.Jumpers {
		used[j.From], used[j.To] = true, true
	}
	w := m.plan.Wiring
	string := w.Series * w.Parallel
	for s := range w.Strings {
		first, last := m.batteries[order[s*string]], m.batteries[order[(s+1)*string-1]]
		m.plan.Minus = append(m.plan.Minus, atEnd(first, "-", used))
		m.plan.Plus = append(m.plan.Plus, atEnd(last, "+", used))
	}
}

// atEnd is the post of a battery at the pack's end: one that jumpers are on already, where
// batteries in parallel are joined, or the first of its polarity.
func atEnd(b battery, polarity string, used map[pack.Part]bool) pack.Part {
	posts := b.with(polarity)
	for _, t := range posts {
		if used[t.part] {
			return t.part
		}
	}
	return posts[0].part
}

// leads lays the cables from the pack's ends to the controller and to the charger.
func (m *maker) leads() {
	m.leadsTo(m.plan.Wiring.Controller, &m.plan.Leads)
	m.leadsTo(m.plan.Wiring.Charger, &m.plan.Charging)
}

// leadsTo adds the cables to a box to those of the plan, one after the other, for the next keeps
// clear of them.
func (m *maker) leadsTo(c *pack.Connection, of *[]Jumper) {
	if c == nil {
		return
	}
	for _, at := range m.layout.Placements {
		if at.Box != c.Box {
			continue
		}
		posts, err := terminalsOf(m.problem, at)
		if err != nil {
			return
		}
		for _, plus := range m.plan.Plus {
			*of = append(*of, m.lead(plus, posts, "+", c.Plus)...)
		}
		*of = append(*of, m.lead(m.plan.Minus[0], posts, "-", c.Minus)...)
	}
}

// lead is the cable from an end of the pack to the post of a name, or, without one, of a
// polarity; none where there is no such post, or no way.
func (m *maker) lead(from pack.Part, posts []terminal, polarity, name string) []Jumper {
	for _, to := range posts {
		if name != "" && to.part.Post != name || name == "" && to.polarity != polarity {
			continue
		}
		start, ok := m.terminal(from)
		if !ok {
			return nil
		}
		path, err := m.lanes.route(start, to, nil)
		if err != nil {
			m.plan.Notes = append(m.plan.Notes, fmt.Sprintf("No way for a lead of %s was found from %s to %s: lay it outside the opening, or turn the box.", m.plan.Cable, from, to.part))
			return nil
		}
		return []Jumper{m.laid(start, to, path)}
	}
	return nil
}

func (m *maker) terminal(part pack.Part) (terminal, bool) {
	for _, b := range m.batteries {
		for _, t := range b.posts {
			if t.part == part {
				return t, true
			}
		}
	}
	return terminal{}, false
}
