package block

import (
	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// Standing is bodies in their places at a scale as one mesh, each of one or more solids with a
// closed surface of its own; a slicer joins those that touch.
func Standing(bodies [][]geom.Solid, scale float64) (Mesh, error) {
	var all Mesh
	for _, solids := range bodies {
		m, _, err := merged(solids)
		if err != nil {
			return Mesh{}, err
		}
		all.Triangles = append(all.Triangles, m.Triangles...)
	}
	return all.moved(func(v r3.Vector) r3.Vector { return v.Mul(scale) }), nil
}
