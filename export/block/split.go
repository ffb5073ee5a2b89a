package block

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// Pegs of the cage, in millimetres as printed: thin enough for a plate.
const (
	cagePeg      = 1.5
	cagePegDepth = 6.0
)

// cuts are the planes along each axis that something is cut at, both ends included.
type cuts [3][]float64

// goes tells whether a part goes onto the bed as it is laid.
func (b *builder) goes(part []held) bool {
	low, high := geom.Bounds(solids(part)...)
	return b.onBed(high.Sub(low))
}

// onBed tells whether something of a size in the vehicle goes onto the bed, lying on its side.
func (b *builder) onBed(size r3.Vector) bool {
	const hair = 1e-6
	s := size.Mul(b.scale)
	return b.Bed == (r3.Vector{}) ||
		min(s.X, s.Z) <= min(b.Bed.X, b.Bed.Y)+hair && max(s.X, s.Z) <= max(b.Bed.X, b.Bed.Y)+hair && s.Y <= b.Bed.Z+hair
}

// add adds the pieces that a part is printed in, and their pegs.
func (b *builder) add(name string, part []held) error {
	planes, ok := b.cutsOf(part)
	if !ok {
		return fmt.Errorf("%w: %s does not go onto a bed of %g × %g × %g mm in up to %d pieces. Take a larger bed or a smaller scale",
			ErrPrint, name, b.Bed.X, b.Bed.Y, b.Bed.Z, maxPieces)
	}
	bores := b.bores(part, planes)
	for _, c := range planes.cells() {
		for i, piece := range connected(b.inCell(part, planes, c, bores)) {
			label := strings.TrimSpace(name + " " + planes.label(c))
			if i > 0 {
				label += fmt.Sprintf(" part %d", i+1)
			}
			if err := b.addPiece(label, piece); err != nil {
				return err
			}
		}
	}
	if len(bores) == 0 {
		return nil
	}
	peg, err := pegOf(name, cagePeg, 2*cagePegDepth-b.Play)
	peg.Copies = len(bores)
	b.cage.Pieces = append(b.cage.Pieces, peg)
	return err
}

func (b *builder) addPiece(name string, part []held) error {
	m, one, err := merged(solids(part))
	if err != nil {
		return err
	}
	if !one {
		b.cage.Overlaid = append(b.cage.Overlaid, name)
	}
	b.cage.Pieces = append(b.cage.Pieces, laid(name, m, b.scale, b.right))
	return nil
}

// cutsOf finds the fewest pieces that all go onto the bed, all of the same size; false where
// that takes too many.
func (b *builder) cutsOf(part []held) (cuts, bool) {
	low, high := geom.Bounds(solids(part)...)
	size := high.Sub(low)
	var best cuts
	least := maxPieces + 1
	for nx := 1; nx < least; nx++ {
		for nz := 1; nx*nz < least; nz++ {
			for ny := 1; nx*ny*nz < least; ny++ {
				if b.onBed(r3.Vector{X: size.X / float64(nx), Y: size.Y / float64(ny), Z: size.Z / float64(nz)}) {
					best, least = evenly(low, high, [3]int{nx, ny, nz}), nx*ny*nz
				}
			}
		}
	}
	return best, least <= maxPieces
}

func evenly(low, high r3.Vector, n [3]int) cuts {
	var c cuts
	for axis := range 3 {
		from, to := geom.Component(low, axis), geom.Component(high, axis)
		for i := range n[axis] + 1 {
			c[axis] = append(c[axis], from+(to-from)*float64(i)/float64(n[axis]))
		}
	}
	return c
}

// cells are all the pieces that planes cut into.
func (c cuts) cells() []cell {
	var all []cell
	for i := range len(c[0]) - 1 {
		for j := range len(c[1]) - 1 {
			for k := range len(c[2]) - 1 {
				all = append(all, cell{i, j, k})
			}
		}
	}
	return all
}

// label is what a piece is called: a letter from the back to the front, a number from
// right to left, and, where there are several, a level from the bottom: "B2.1".
func (c cuts) label(at cell) string {
	if len(c.cells()) == 1 {
		return ""
	}
	text := fmt.Sprintf("%s%d", letter(at[0]), at[1]+1)
	if len(c[2]) > 2 {
		text += fmt.Sprintf(".%d", at[2]+1)
	}
	return text
}

// sides are the half-spaces of a cell, none where it ends with the part.
func (c cuts) sides(at cell) []geom.HalfSpace {
	var all []geom.HalfSpace
	for axis := range 3 {
		u := geom.WithComponent(r3.Vector{}, axis, 1)
		if at[axis] > 0 {
			all = append(all, geom.HalfSpace{Normal: u.Mul(-1), Offset: -c[axis][at[axis]]})
		}
		if at[axis] < len(c[axis])-2 {
			all = append(all, geom.HalfSpace{Normal: u, Offset: c[axis][at[axis]+1]})
		}
	}
	return all
}

// inCell is what of a part is in a cell, hollowed and bored.
func (b *builder) inCell(part []held, planes cuts, at cell, bores []bore) []held {
	var all []held
	for i, h := range part {
		body := geom.PolyhedronOf(h.solid, barCorners).Clipped(planes.sides(at)...)
		if body.IsSliver() {
			continue
		}
		pieces := []geom.Polyhedron{body}
		if h.hollow && b.Shell > 0 {
			pieces = b.hollowed(part, i, body)
		}
		for _, hole := range bores {
			if hole.of == i {
				pieces = without(pieces, hole.room(b))
			}
		}
		for _, p := range pieces {
			all = append(all, held{name: h.name, solid: p})
		}
	}
	return all
}

// without is what a room leaves of bodies.
func without(bodies []geom.Polyhedron, room geom.Polyhedron) []geom.Polyhedron {
	var left []geom.Polyhedron
	for _, p := range bodies {
		left = append(left, p.Without(room.Planes())...)
	}
	return left
}

// connected are groups of bodies that hang together.
func connected(bodies []held) [][]held {
	group, boxes := make([]int, len(bodies)), make([]levelBox, len(bodies))
	for i, h := range bodies {
		group[i] = i
		boxes[i].low, boxes[i].high = geom.Bounds(h.solid)
	}
	for i := range bodies {
		for j := range i {
			if group[i] != group[j] && boxes[i].meets(boxes[j]) && geom.Distance(bodies[i].solid, bodies[j].solid) <= near {
				from, to := group[i], group[j]
				for k := range group {
					if group[k] == from {
						group[k] = to
					}
				}
			}
		}
	}
	var all [][]held
	done := map[int]int{}
	for i, h := range bodies {
		n, ok := done[group[i]]
		if !ok {
			n = len(all)
			done[group[i]] = n
			all = append(all, nil)
		}
		all[n] = append(all[n], h)
	}
	return all
}

// bore is a pair of sockets in a body across a plane.
type bore struct {
	of   int       // index in the part
	at   r3.Vector // in the plane
	axis int       // across the plane
}

// cylinder is the room around a bore, wider and deeper by so much as printed.
func (o bore) cylinder(scale, more float64) geom.Polyhedron {
	along := geom.WithComponent(r3.Vector{}, o.axis, (cagePegDepth+more)/scale)
	return geom.PolyhedronAround(geom.Cylinder{From: o.at.Sub(along), To: o.at.Add(along), Radius: (cagePeg + more) / scale}, 16)
}

// room is what is left out for the peg.
func (o bore) room(b *builder) geom.Polyhedron {
	along := geom.WithComponent(r3.Vector{}, o.axis, cagePegDepth/b.scale)
	return geom.PolyhedronAround(geom.Cylinder{From: o.at.Sub(along), To: o.at.Add(along), Radius: (cagePeg + b.Play/2) / b.scale}, 16)
}

// bores are the sockets of a part: up to two in each body across each plane between two cells
// that has room for them, with plastic around and nothing else that runs into it.
func (b *builder) bores(part []held, planes cuts) []bore {
	var all []bore
	for i, h := range part {
		if h.hollow && b.Shell > 0 {
			continue
		}
		body := geom.PolyhedronOf(h.solid, barCorners)
		for _, c := range planes.cells() {
			for axis := range 3 {
				if c[axis] < len(planes[axis])-2 {
					all = append(all, b.boresAt(part, planes, i, body, c, axis)...)
				}
			}
		}
	}
	return all
}

// boresAt are those in one body between a cell and the next along an axis.
func (b *builder) boresAt(part []held, planes cuts, of int, body geom.Polyhedron, c cell, axis int) []bore {
	const steps = 24
	from, to, ok := section(body.Clipped(planes.sides(c)...), axis, planes[axis][c[axis]+1])
	if !ok {
		return nil
	}
	next := c
	next[axis]++
	both := slices.Concat(across(planes.sides(c), axis), across(planes.sides(next), axis))
	var all []bore
	try := func(t float64) bool {
		o := bore{of: of, at: from.Add(to.Sub(from).Mul(t)), axis: axis}
		if !b.sound(part, o, body.Clipped(both...)) {
			return false
		}
		if len(all) == 0 || all[0].at.Sub(o.at).Norm()*b.scale > 4*cagePeg {
			all = append(all, o)
		}
		return true
	}
	for i := 2; i <= steps-2 && !try(float64(i)/steps); i++ {
	}
	for i := steps - 2; i >= 2 && len(all) == 1 && !try(float64(i)/steps); i-- {
	}
	return all
}

// across are the sides of a cell that are not square to an axis.
func across(sides []geom.HalfSpace, axis int) []geom.HalfSpace {
	return slices.DeleteFunc(slices.Clone(sides), func(h geom.HalfSpace) bool { return geom.Component(h.Normal, axis) != 0 })
}

// sound tells whether a bore has plastic around it in a body, and meets no other part.
func (b *builder) sound(part []held, o bore, body geom.Polyhedron) bool {
	around := o.cylinder(b.scale, leastWall)
	for _, q := range around.Corners() {
		if !body.Contains(q) {
			return false
		}
	}
	for i, h := range part {
		if i != o.of && geom.Distance(o.cylinder(b.scale, b.Play), h.solid) <= 0 {
			return false
		}
	}
	return true
}

// section are the ends of a line lengthwise through the middle of a body's face in a plane
// square to an axis.
func section(body geom.Polyhedron, axis int, at float64) (from, to r3.Vector, ok bool) {
	for _, f := range body.Surface(0) {
		if math.Abs(geom.Component(f.Normal, axis)-1) > 1e-9 || math.Abs(geom.Component(f.Corners[0], axis)-at) > near {
			continue
		}
		var middle r3.Vector
		for _, c := range f.Corners {
			middle = middle.Add(c.Mul(1 / float64(len(f.Corners))))
		}
		along := longest(f.Corners)
		var low, high float64
		for _, c := range f.Corners {
			t := c.Sub(middle).Dot(along)
			low, high = min(low, t), max(high, t)
		}
		return middle.Add(along.Mul(low)), middle.Add(along.Mul(high)), true
	}
	return from, to, false
}

// longest is the direction of the longest side of a loop.
func longest(loop []r3.Vector) r3.Vector {
	var best r3.Vector
	for i, c := range loop {
		if d := loop[(i+1)%len(loop)].Sub(c); d.Norm2() > best.Norm2() {
			best = d
		}
	}
	return best.Normalize()
}

// pegOf is a peg, standing.
func pegOf(of string, radius, length float64) (Piece, error) {
	m, err := prism(ring(r2.Point{X: radius, Y: radius}, radius, barCorners), 0, length, func(p r2.Point, h float64) r3.Vector {
		return r3.Vector{X: p.X, Y: p.Y, Z: h}
	})
	return Piece{Name: of + " peg", Mesh: m, Peg: true, Pose: level, Parts: 1}, err
}

func solids(part []held) []geom.Solid {
	var all []geom.Solid
	for _, h := range part {
		all = append(all, h.solid)
	}
	return all
}
