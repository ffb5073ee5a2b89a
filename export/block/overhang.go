package block

import (
	"math"

	"github.com/golang/geo/r3"
)

// steepest is how far from upright a face may hang over and still print without support:
// 45° (common practice of printing with a melted strand).
const steepest = math.Pi / 4

// leastRoof is how far in millimetres a roof reaches, and how high it is, at least to need support:
// marks in upright faces have smaller ones, and in the face on the bed lower ones, that a strand
// bridges.
const leastRoof = 1.2

// Overhang is the area in mm² of all faces that hang over by more than 45° from upright as the
// piece lies, and not near the bed: of those, joined along edges, that reach far enough to need
// support.
func (p Piece) Overhang() float64 {
	var roofs [][3]r3.Vector
	for _, t := range p.Mesh.Triangles {
		n := t[1].Sub(t[0]).Cross(t[2].Sub(t[0]))
		if n.Norm() > 0 && n.Z < -n.Norm()*(math.Sin(steepest)+1e-6) && max(t[0].Z, t[1].Z, t[2].Z) > leastRoof {
			roofs = append(roofs, t)
		}
	}
	sum := 0.0
	for _, patch := range patches(roofs) {
		low, high := Mesh{patch}.bounds()
		if min(high.X-low.X, high.Y-low.Y) >= leastRoof {
			for _, t := range patch {
				sum += t[1].Sub(t[0]).Cross(t[2].Sub(t[0])).Norm() / 2
			}
		}
	}
	return sum
}

// patches are groups of triangles that share corners.
func patches(list [][3]r3.Vector) [][][3]r3.Vector {
	parent := make([]int, len(list))
	var root func(int) int
	root = func(i int) int {
		if parent[i] != i {
			parent[i] = root(parent[i])
		}
		return parent[i]
	}
	first := map[r3.Vector]int{}
	for i, t := range list {
		parent[i] = i
		for _, v := range t {
			if j, ok := first[v]; ok {
				parent[root(i)] = root(j)
			} else {
				first[v] = i
			}
		}
	}
	var all [][][3]r3.Vector
	at := map[int]int{}
	for i, t := range list {
		r := root(i)
		n, ok := at[r]
		if !ok {
			n = len(all)
			at[r] = n
			all = append(all, nil)
		}
		all[n] = append(all[n], t)
	}
	return all
}
