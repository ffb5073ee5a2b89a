package search

import (
	"slices"

	"rackwright/pack"
)

// bare is the model of the same problem in which boxes may be bare, as if they had no posts.
// Such poses come after the others, which keep their numbers. The useful poses of a kind with posts
// are the bare ones.
func (m *model) bare() *model {
	b := posed(m.problem, m.obstacles, m.options, posesAndBare)
	b.build()
	for k, useful := range b.useful {
		var bare, dressed []int
		for _, p := range useful {
			if b.isBare(b.poses[k][p]) {
				bare = append(bare, p)
			} else {
				dressed = append(dressed, p)
			}
		}
		if b.dressed = append(b.dressed, dressed); len(bare) > 0 {
			b.useful[k] = bare
		}
	}
	return b
}

// posesAndBare lists the poses of a kind and, where it has posts, a bare one of each shape.
func posesAndBare(kind int, k pack.Kind, worst bool) []*pose {
	poses := posesOf(kind, k, worst)
	if len(k.Posts) == 0 {
		return poses
	}
	for i, p := range poses {
		if slices.IndexFunc(poses, p.sameCase) == i {
			bare := *p
			bare.parts = p.parts[:1:1]
			poses = append(poses, &bare)
		}
	}
	return poses
}

// isBare tells whether a pose leaves out the posts of its kind.
func (m *model) isBare(p *pose) bool { return len(p.parts) == 1 && len(m.kinds[p.kind].Posts) > 0 }

// bareSpots are spots with bare poses where boxes have posts.
func (m *model) bareSpots(spots []spot) []spot {
	bare := slices.Clone(spots)
	for i, s := range spots {
		kind := m.boxes[i].kind
		for _, p := range m.useful[kind] {
			if m.isBare(m.poses[kind][p]) && m.poses[kind][p].sameCase(m.poseOf(i, s)) {
				bare[i].pose = p
			}
		}
	}
	return bare
}
