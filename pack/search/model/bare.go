package model

import (
	"slices"
)

// Bare is the model of the same problem in which boxes may be bare, as if they had no posts.
// Such poses come after the others, which keep their numbers. The useful poses of a kind with posts
// are the bare ones.
//
// Posts make the space of places ragged: separation finds bare arrangements much sooner, and some
// of them take their posts afterwards without moving far (see improve.Dress). The receiver is left
// as it was.
func (m *Model) Bare() *Model {
	b := posed(m.Problem, m.obstacles, m.options, posesAndBare)
	b.build()
	for k, useful := range b.Useful {
		var bare, dressed []int
		for _, p := range useful {
			if b.IsBare(b.Poses[k][p]) {
				bare = append(bare, p)
			} else {
				dressed = append(dressed, p)
			}
		}
		if b.Dressed = append(b.Dressed, dressed); len(bare) > 0 {
			b.Useful[k] = bare
		}
	}
	return b
}

// posesAndBare lists the poses of a kind and, where it has posts, a bare one of each shape. A
// pinned box keeps its posts: it cannot move to make room for them later.
func posesAndBare(m *Model, kind int) []*Pose {
	poses := m.posesFor(kind)
	if len(m.Kinds[kind].Posts) == 0 || m.pins[kind] != nil {
		return poses
	}
	for i, p := range poses {
		// One bare pose stands for all with the same case, for what tells those apart are their
		// posts.
		if slices.IndexFunc(poses, p.SameCase) == i {
			bare := *p
			bare.Parts = p.Parts[:1:1]
			poses = append(poses, &bare)
		}
	}
	return poses
}

// IsBare tells whether a pose leaves out the posts of its kind. A kind without posts has none that
// are bare: there is nothing to leave out.
func (m *Model) IsBare(p *Pose) bool { return len(p.Parts) == 1 && len(m.Kinds[p.Kind].Posts) > 0 }

// BareSpots are spots with bare poses where boxes have posts. Boxes of kinds without posts, and
// pinned ones, keep the pose that they have. The places are the same.
func (m *Model) BareSpots(spots []Spot) []Spot {
	bare := slices.Clone(spots)
	for i, s := range spots {
		kind := m.Boxes[i].Kind
		for _, p := range m.Useful[kind] {
			if m.IsBare(m.Poses[kind][p]) && m.Poses[kind][p].SameCase(m.PoseOf(i, s)) {
				bare[i].Pose = p
			}
		}
	}
	return bare
}
