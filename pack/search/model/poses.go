package model

import (
	"slices"

	"rackwright/pack"
)

// Faces are the six faces of a box.
var Faces = [6]pack.Face{pack.Front, pack.Back, pack.Left, pack.Right, pack.Top, pack.Bottom}

// posesOf lists the orientations of a kind that the pack allows, in a fixed order,
// each body once: without posts, turns and stands that look alike are one pose. At most 24 for each
// tilt. The order is part of the result: equal layouts are told apart by it, and equal seeds draw
// from it.
func posesOf(kind int, k pack.Kind, worst bool) []*Pose {
	var poses []*Pose
	for _, tilt := range k.Tilts {
		for _, up := range []pack.Face{pack.Top, pack.Left, pack.Right, pack.Front, pack.Back, pack.Bottom} {
			if !slices.Contains(k.Stands, standOf(up)) {
				continue
			}
			for _, front := range Faces {
				if sameAxis(up, front) {
					continue
				}
				p := NewPose(kind, k, worst, up, front, tilt)
				if !slices.ContainsFunc(poses, p.SameBody) {
					poses = append(poses, p)
				}
			}
		}
	}
	numberShapes(poses)
	return poses
}

// sameAxis tells whether two faces look along one axis.
func sameAxis(a, b pack.Face) bool {
	i, _ := axisOf(a)
	j, _ := axisOf(b)
	return i == j
}

// SameBody tells whether two poses of one kind occupy the same points, and tools have to reach the same
// of them. Of posts only where they are counts, not which: two that change places are the same body, and
// ask for the same gaps.
func (p *Pose) SameBody(q *Pose) bool {
	if len(p.Parts) != len(q.Parts) || !p.SameCase(q) {
		return false
	}
	for _, a := range p.Parts {
		if !slices.ContainsFunc(q.Parts, func(b Part) bool { return a.Offset == b.Offset && a.Half == b.Half && a.joined == b.joined }) {
			return false
		}
	}
	return true
}

// SameCase tells whether two poses of one kind have their cases alike.
func (p *Pose) SameCase(q *Pose) bool {
	return p.Axes == q.Axes && p.Parts[0].Half == q.Parts[0].Half
}

// numberShapes gives poses with equal cases the same shape number, from 0 on. What posts are left out
// of, such as the hull of the poses, looks at shapes alone.
func numberShapes(poses []*Pose) {
	n := 0
	for i, p := range poses {
		j := slices.IndexFunc(poses[:i], p.SameCase)
		if j >= 0 {
			p.Shape = poses[j].Shape
			continue
		}
		p.Shape = n
		n++
	}
}
