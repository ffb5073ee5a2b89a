package search

import (
	"slices"

	"rackwright/pack"
)

var faces = [6]pack.Face{pack.Front, pack.Back, pack.Left, pack.Right, pack.Top, pack.Bottom}

// posesOf lists the orientations of a kind that the pack allows, in a fixed order,
// each body once: without posts, turns and stands that look alike are one pose.
func posesOf(kind int, k pack.Kind, worst bool) []*pose {
	var poses []*pose
	for _, tilt := range k.Tilts {
		for _, up := range []pack.Face{pack.Top, pack.Left, pack.Right, pack.Front, pack.Back, pack.Bottom} {
			if !slices.Contains(k.Stands, standOf(up)) {
				continue
			}
			for _, front := range faces {
				if sameAxis(up, front) {
					continue
				}
				p := newPose(kind, k, worst, up, front, tilt)
				if !slices.ContainsFunc(poses, p.sameBody) {
					poses = append(poses, p)
				}
			}
		}
	}
	numberShapes(poses)
	return poses
}

func sameAxis(a, b pack.Face) bool {
	i, _ := axisOf(a)
	j, _ := axisOf(b)
	return i == j
}

// sameBody tells whether two poses of one kind occupy the same points.
func (p *pose) sameBody(q *pose) bool {
	if len(p.parts) != len(q.parts) || !p.sameCase(q) {
		return false
	}
	for _, a := range p.parts {
		if !slices.ContainsFunc(q.parts, func(b part) bool { return a.offset == b.offset && a.half == b.half }) {
			return false
		}
	}
	return true
}

func (p *pose) sameCase(q *pose) bool {
	return p.axes == q.axes && p.parts[0].half == q.parts[0].half
}

// numberShapes gives poses with equal cases the same shape number, from 0 on.
func numberShapes(poses []*pose) {
	n := 0
	for i, p := range poses {
		j := slices.IndexFunc(poses[:i], p.sameCase)
		if j >= 0 {
			p.shape = poses[j].shape
			continue
		}
		p.shape = n
		n++
	}
}
