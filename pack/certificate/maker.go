package certificate

import (
	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// What follows is for those who make proofs: the names and, rounded, the numbers that a
// proof has to go by. Nothing of it is used in checking.

// PoseOf is the number of the pose that a kind of box has with the given faces up and
// forward; false where its stands do not allow it.
func (s *Space) PoseOf(kind int, up, front pack.Face) (pose int, ok bool) {
	pose, ok = s.kinds[kind].named[[2]pack.Face{up, front}]
	return pose, ok
}

// Poses is how many poses each kind has.
func (s *Space) Poses() []int {
	var all []int
	for _, k := range s.kinds {
		all = append(all, len(k.poses))
	}
	return all
}

// Walls are the normals of the walls, not of length 1.
func (s *Space) Walls() []r3.Vector {
	var all []r3.Vector
	for _, w := range s.walls {
		all = append(all, w.n.rounded())
	}
	return all
}

// Apart are the directions between two parts of boxes.
func Apart() []r3.Vector { return rounded((&solid{endless: none}).directions()) }

// Clear are the directions from a solid, not of length 1; none where it is round and has
// no body.
func (s *Space) Clear(solid int) []r3.Vector {
	if q := &s.solids[solid]; q.corners != nil {
		return rounded(q.directions())
	}
	return nil
}

// AddBody gives a round solid a body. It is an error where the body is not inside.
func (s *Space) AddBody(b Body) error { return s.addBody(b) }

// Fits tells whether a pose is no longer than the bounds of the opening.
func (s *Space) Fits(kind, pose int) bool { return s.fits(s.kinds[kind].poses[pose]) }

// Share is what a scale gives along an axis for a pose that fits; false where the scale
// is none along that axis.
func (s *Space) Share(f Scale, axis, kind, pose int) (float64, bool) {
	share, err := s.share(f, axis, s.extent(s.kinds[kind].poses[pose], axis))
	if err != nil {
		return 0, false
	}
	v, _ := share.Float64()
	return v, true
}

func (v vec) rounded() r3.Vector {
	x, _ := v[0].Float64()
	y, _ := v[1].Float64()
	z, _ := v[2].Float64()
	return r3.Vector{X: x, Y: y, Z: z}
}

func rounded(all []vec) []r3.Vector {
	var list []r3.Vector
	for _, v := range all {
		list = append(list, v.rounded())
	}
	return list
}
