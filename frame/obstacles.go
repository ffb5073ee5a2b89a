package frame

import (
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// Obstacles returns the frame as convex solids, each face nearer to the free space by
// nearer millimetres.
func (f *Frame) Obstacles(nearer float64) []Obstacle {
	return f.obstacles(func(float64) float64 { return nearer })
}

// ObstaclesAtWorst returns them with each face nearer by as much as it may be off, and by
// more millimetres besides.
func (f *Frame) ObstaclesAtWorst(more float64) []Obstacle {
	return f.obstacles(func(accuracy float64) float64 { return accuracy + more })
}

// ObstaclesAtRest returns the same as Obstacles(0) with parts that move at rest, and without the
// road: what is there while boxes go in.
func (f *Frame) ObstaclesAtRest() []Obstacle {
	return f.resting(func(float64) float64 { return 0 })
}

// ObstaclesAtRestAtWorst returns these with each face nearer by as much as it may be off.
func (f *Frame) ObstaclesAtRestAtWorst() []Obstacle {
	return f.resting(func(accuracy float64) float64 { return accuracy })
}

// obstacles are convex solids, each nearer by what is made of its accuracy.
//
// The order is that of the file: the sides of the outline's hull, the pieces outside
// the outline, the limits of the width, rails with their mirror images, keep-outs, what parts
// that move are swept through, the road.
func (f *Frame) obstacles(nearer func(accuracy float64) float64) []Obstacle {
	all := f.still(nearer)
	for i, m := range f.Moving {
		all = append(all, m.swept(i, nearer(f.MovingAccuracy(i)), f.Opening)...)
	}
	return append(all, f.Ground.obstacles(nearer(f.Accuracy))...)
}

func (f *Frame) resting(nearer func(accuracy float64) float64) []Obstacle {
	all := f.still(nearer)
	for i, m := range f.Moving {
		all = append(all, m.resting(i, nearer(f.MovingAccuracy(i)))...)
	}
	return all
}

// StillObstacles are those of Obstacles that do not move: its first ones.
func (f *Frame) StillObstacles(nearer float64) []Obstacle {
	return f.still(func(float64) float64 { return nearer })
}

// StillObstaclesAtWorst are the same of ObstaclesAtWorst.
func (f *Frame) StillObstaclesAtWorst(more float64) []Obstacle {
	return f.still(func(accuracy float64) float64 { return accuracy + more })
}

// still are the obstacles that do not move.
func (f *Frame) still(nearer func(accuracy float64) float64) []Obstacle {
	all := f.Opening.outlineObstacles(func(side int) float64 { return nearer(f.SideAccuracy(side)) })
	all = append(all, f.Opening.widthObstacles(nearer(f.Accuracy))...)
	for i, r := range f.Rails {
		all = append(all, r.obstacles(i, nearer(f.RailAccuracy(i)))...)
	}
	for i, k := range f.KeepOuts {
		all = append(all, k.obstacles(i, nearer(f.KeepOutAccuracy(i)))...)
	}
	return all
}

// obstacles are the tubes of the rail's path, and of its mirror image.
func (r Rail) obstacles(source int, nearer float64) []Obstacle {
	var all []Obstacle
	for _, mirrored := range r.sides() {
		for i := 1; i < len(r.Path); i++ {
			all = append(all, Obstacle{
				Name: r.nameOf(mirrored), Kind: RailTube, Metal: true, Gap: r.Gap, Source: source, Removable: r.Removable,
				Solid: geom.Tube{
					From: mirror(r.Path[i-1], mirrored), To: mirror(r.Path[i], mirrored),
					Radius: r.Diameter/2 + nearer,
				},
			})
		}
	}
	return all
}

// sides tells which of the rail and its mirror image there are: both only where they
// differ.
func (r Rail) sides() []bool {
	if r.Mirror && !r.symmetric() {
		return []bool{false, true}
	}
	return []bool{false}
}

// symmetric tells whether the mirror image of the rail is the rail itself.
func (r Rail) symmetric() bool {
	image := make([]r3.Vector, len(r.Path))
	for i, p := range r.Path {
		image[i] = mirror(p, true)
	}
	if slices.Equal(image, r.Path) {
		return true
	}
	slices.Reverse(image)
	return slices.Equal(image, r.Path)
}

// left tells whether the rail, and not its mirror image, is the left one: the one with
// more of its points to the left, or the first point that is not in the middle.
func (r Rail) left() bool {
	sum, first := 0.0, 0.0
	for _, p := range r.Path {
		sum += p.Y
		if first == 0 {
			first = p.Y
		}
	}
	return sum > 0 || sum == 0 && first > 0
}

// nameOf is the rail's name, with the side it stands on where there are two.
func (r Rail) nameOf(mirrored bool) string {
	if len(r.sides()) == 1 {
		return r.Name
	}
	if r.left() != mirrored {
		return r.Name + " left"
	}
	return r.Name + " right"
}

func mirror(p r3.Vector, mirrored bool) r3.Vector {
	if mirrored {
		p.Y = 0 - p.Y // and not -0
	}
	return p
}

// obstacles are the convex pieces of a keep-out.
func (k KeepOut) obstacles(source int, nearer float64) []Obstacle {
	o := Obstacle{Name: k.Name, Kind: KeptOut, Metal: k.Metal, Gap: k.Gap, Source: source, LiftsOff: k.LiftsOff}
	var all []Obstacle
	if shape := k.Shape(); shape != nil {
		for _, s := range shape.Solids(nearer) {
			o.Solid = s
			all = append(all, o)
		}
	}
	return all
}
