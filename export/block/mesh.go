package block

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/hschendel/stl"
)

// Mesh is the surface of one or more solids: triangles whose corners run
// counter-clockwise seen from outside, in millimetres.
type Mesh struct{ Triangles [][3]r3.Vector }

func (m *Mesh) add(a, b, c r3.Vector) { m.Triangles = append(m.Triangles, [3]r3.Vector{a, b, c}) }

func (m *Mesh) quad(a, b, c, d r3.Vector) {
	m.add(a, b, c)
	m.add(a, c, d)
}

// Volume is what the surface encloses, in cubic millimetres, by the divergence theorem.
func (m Mesh) Volume() float64 {
	sum := 0.0
	for _, t := range m.Triangles {
		sum += t[0].Dot(t[1].Cross(t[2]))
	}
	return sum / 6
}

// moved returns the mesh with every corner put through to.
func (m Mesh) moved(to func(r3.Vector) r3.Vector) Mesh {
	var out Mesh
	for _, t := range m.Triangles {
		out.add(to(t[0]), to(t[1]), to(t[2]))
	}
	return out
}

// bounds is the low and the high corner of the mesh; of an empty one the origin.
func (m Mesh) bounds() (low, high r3.Vector) {
	for i, t := range m.Triangles {
		if i == 0 {
			low, high = t[0], t[0]
		}
		for _, v := range t {
			low, high = lower(low, v), higher(high, v)
		}
	}
	return low, high
}

// lower is the low corner of the box around two points.
func lower(a, b r3.Vector) r3.Vector {
	return r3.Vector{X: min(a.X, b.X), Y: min(a.Y, b.Y), Z: min(a.Z, b.Z)}
}

// higher is the high corner of the box around two points.
func higher(a, b r3.Vector) r3.Vector {
	return r3.Vector{X: max(a.X, b.X), Y: max(a.Y, b.Y), Z: max(a.Z, b.Z)}
}

func (m *Mesh) join(o Mesh) { m.Triangles = append(m.Triangles, o.Triangles...) }

// ErrMesh is wrapped by the errors of meshes that no file can hold.
var ErrMesh = errors.New("no printable solid")

// WriteSTL writes a binary STL file: an 80-byte header that begins with name, the
// number of facets and 50 bytes for each.
func (m Mesh) WriteSTL(w io.Writer, name string) error {
	solid := stl.Solid{BinaryHeader: []byte("rackwright " + name)}
	for _, t := range m.Triangles {
		var facet stl.Triangle
		for i, v := range t {
			if !finite(v) {
				return fmt.Errorf("%w: %s has a corner at %v", ErrMesh, name, v)
			}
			facet.Vertices[i] = stl.Vec3{float32(v.X), float32(v.Y), float32(v.Z)}
		}
		solid.AppendTriangle(facet)
	}
	solid.RecalculateNormals()
	b := bufio.NewWriter(w)
	if err := solid.WriteAll(b); err != nil {
		return err
	}
	return b.Flush()
}

func finite(v r3.Vector) bool {
	return math.Abs(v.X)+math.Abs(v.Y)+math.Abs(v.Z) < math.MaxFloat32
}

// prism is an outline, counter-clockwise seen from against along, swept from low to
// high. at puts a point of the outline at a height.
func prism(outline []r2.Point, low, high float64, at func(p r2.Point, h float64) r3.Vector) (Mesh, error) {
	var m Mesh
	flat, err := triangulate(outline, nil)
	if err != nil {
		return m, err
	}
	for _, t := range flat {
		m.add(at(t[0], high), at(t[1], high), at(t[2], high))
		m.add(at(t[0], low), at(t[2], low), at(t[1], low))
	}
	m.wall(outline, low, high, at)
	return m, nil
}

// wall joins an outline at one height with itself at another.
func (m *Mesh) wall(outline []r2.Point, low, high float64, at func(p r2.Point, h float64) r3.Vector) {
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		m.quad(at(p, low), at(q, low), at(q, high), at(p, high))
	}
}

// ring is a regular polygon with its corners on a circle, counter-clockwise.
func ring(centre r2.Point, radius float64, corners int) []r2.Point {
	var list []r2.Point
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(corners))
		list = append(list, r2.Point{X: centre.X + radius*cos, Y: centre.Y + radius*sin})
	}
	return list
}
