package beam

import "github.com/golang/geo/r3"

// Section is what bending, pulling and twisting a member takes.
type Section struct {
	Area   float64 // mm²
	IY, IZ float64 // mm⁴, about the principal axes y and z of the section
	J      float64 // mm⁴, torsion constant
}

// Material is elastic.
type Material struct{ E, G float64 } // MPa

// Steel has E 210 GPa (from memory) and Poisson's ratio 0.3.
var Steel = Material{E: 210_000, G: 210_000 / 2.6}

// Ground stands for a node that never moves.
const Ground = -1

// Model is a frame. Add nodes first, then what joins them. The zero value is empty.
type Model struct {
	nodes    []node
	members  []member
	joints   []Joint
	contacts []Contact
}

type node struct {
	at    r3.Vector
	name  string
	fixed [6]bool
}

type member struct {
	from, to int
	section  Section
	material Material
	name     string
	axes     [3]r3.Vector // along, then the principal axes y and z
	length   float64
	even     r3.Vector // N/mm
}

// Joint holds two nodes together at a point, wherever they are: each carries it on a stiff
// arm. About Axis it turns freely when Pinned.
type Joint struct {
	A, B   int // B may be Ground
	At     r3.Vector
	Axis   r3.Vector // unit vector
	Pinned bool
	Name   string
}

// Contact lets a point of B push one of A along Normal, and never pull: a pad of a stiffness
// in N/mm. Sideways it holds a thousandth of that, so that what is held by nothing else than
// pads has a place.
type Contact struct {
	A, B      int // B may be Ground
	At        r3.Vector
	Normal    r3.Vector // unit vector, from B towards A
	Stiffness float64
	Name      string
}

// Node adds a node; parts are called by its name.
func (m *Model) Node(at r3.Vector, name string) int {
	m.nodes = append(m.nodes, node{at: at, name: name})
	return len(m.nodes) - 1
}

// Fix holds degrees of freedom of a node: moves along x, y, z, then turns about them.
func (m *Model) Fix(n int, held [6]bool) { m.nodes[n].fixed = held }

// Member adds a straight member between two nodes that are apart. y is one principal axis of
// its section, or near to it: it is made square to the member. It returns the member's number.
func (m *Model) Member(from, to int, s Section, mat Material, y r3.Vector, name string) int {
	d := m.nodes[to].at.Sub(m.nodes[from].at)
	x := d.Normalize()
	y = y.Sub(x.Mul(x.Dot(y))).Normalize()
	m.members = append(m.members, member{
		from: from, to: to, section: s, material: mat, name: name,
		axes: [3]r3.Vector{x, y, x.Cross(y)}, length: d.Norm(),
	})
	return len(m.members) - 1
}

// Join adds a joint and returns its number.
func (m *Model) Join(j Joint) int {
	m.joints = append(m.joints, j)
	return len(m.joints) - 1
}

// Touch adds a contact and returns its number.
func (m *Model) Touch(c Contact) int {
	m.contacts = append(m.contacts, c)
	return len(m.contacts) - 1
}

// Force is a force in N and a moment in N·mm on a node, the force at a point.
type Force struct {
	Node   int
	At     r3.Vector
	Force  r3.Vector
	Moment r3.Vector
}

// Even is a load in N/mm all along a member.
type Even struct {
	Member int
	Load   r3.Vector
}

// Loads are all that acts at once.
type Loads struct {
	Forces []Force
	Evens  []Even
}
