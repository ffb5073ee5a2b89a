package model

import (
	"math"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/geom"
	"rackwright/pack"
)

// Pose is one orientation of a kind of box as the search sees it: its case and its
// posts, each a box with sides along the pose's own three axes. It is built here from
// the pack's numbers alone, so that a mistake cannot be shared with the judge.
//
// Up and Front name the faces as the pack file does; Tilt turns about the axis across, nose down
// positive. Axes hold no signs of the box's own: a box is as it is from either side, so what its
// left is only matters to posts, whose offsets have been turned already.
type Pose struct {
	Kind      int
	ID        int // among all poses of the model
	Up, Front pack.Face
	Tilt      s1.Angle
	Stand     pack.Stand
	Axes      [3]r3.Vector // forward, left and up of the box before the tilt, after it
	Parts     []Part       // the case first, then the posts
	Shape     int          // poses of a kind with equal cases share a number
}

// Part is a case or a post: a box at an offset from the centre of the case. A post is its square
// bar: the round post fits into it, so a layout that is good for the bar is good for the post.
type Part struct {
	post   int       // index in the kind's posts; caseOnly for the case
	joined bool      // a post that no tool has to reach: its cable is joined before the box goes in
	Offset r3.Vector // of its centre, in the vehicle's axes
	Half   r3.Vector // along the pose's axes
}

// The value of post for the case, which is no post.
const caseOnly = -1

// axisOf returns the own axis (0, 1, 2 for L, W, H) that a face looks along, and
// whether it looks along its positive end.
func axisOf(f pack.Face) (axis int, positive bool) {
	switch f {
	case pack.Front:
		return 0, true
	case pack.Back:
		return 0, false
	case pack.Left:
		return 1, true
	case pack.Right:
		return 1, false
	case pack.Top:
		return 2, true
	default:
		return 2, false
	}
}

// Sign is 1 for a positive axis, −1 for a negative one.
func Sign(positive bool) float64 {
	if positive {
		return 1
	}
	return -1
}

// turner maps the box's own coordinates to the vehicle's: coordinate i of the
// vehicle, before the tilt, is from[i] of the box times sign[i]. A table in place of a matrix:
// without a tilt all coordinates stay the numbers of the file, exactly.
type turner struct {
	from [3]int
	sign [3]float64
	sin  float64
	cos  float64
}

// turnerFor needs up and front on different axes. The vehicle's axes are x forward, y left, z up,
// right-handed, and so are the box's own L, W and H.
func turnerFor(up, front pack.Face, tilt s1.Angle) turner {
	u, uPos := axisOf(up)
	f, fPos := axisOf(front)
	left := 3 - u - f
	// left = up × front: the permutation (u, f, left) is even when f follows u.
	handed := Sign(f == (u+1)%3)
	t := turner{
		from: [3]int{f, left, u},
		sign: [3]float64{Sign(fPos), Sign(uPos) * Sign(fPos) * handed, Sign(uPos)},
		cos:  1,
	}
	if tilt != 0 {
		t.sin, t.cos = math.Sincos(tilt.Radians())
	}
	return t
}

// level maps a vector of the box to the vehicle without the tilt.
func (t turner) level(v r3.Vector) r3.Vector {
	return r3.Vector{
		X: t.sign[0] * geom.Component(v, t.from[0]),
		Y: t.sign[1] * geom.Component(v, t.from[1]),
		Z: t.sign[2] * geom.Component(v, t.from[2]),
	}
}

// pitch turns a level vector about +y, right-handed.
func (t turner) pitch(v r3.Vector) r3.Vector {
	if t.sin == 0 {
		return v
	}
	return r3.Vector{X: v.X*t.cos + v.Z*t.sin, Y: v.Y, Z: v.Z*t.cos - v.X*t.sin}
}

// Solid returns the part as a geom solid with the case's centre at c. It is for measuring with geom
// where planes are not exact; see Sharp.
func (p *Pose) Solid(i int, c r3.Vector) geom.Box {
	q := p.Parts[i]
	return geom.Box{Centre: c.Add(q.Offset), Axes: p.Axes, Half: q.Half}
}

// Reach is how far part i extends along the unit vector u from the case's centre, in mm. It is the
// support function of the part about the case's centre, which is all that planes need of a pose.
func (p *Pose) Reach(i int, u r3.Vector) float64 {
	q := p.Parts[i]
	return u.Dot(q.Offset) +
		math.Abs(u.Dot(p.Axes[0]))*q.Half.X + math.Abs(u.Dot(p.Axes[1]))*q.Half.Y + math.Abs(u.Dot(p.Axes[2]))*q.Half.Z
}

// NewPose builds one orientation of a kind, its number among those of a model left open. With worst
// case and posts are as large as they may be. Up and front have to be faces on different axes.
// Worst adds accuracy and swelling to the case (CaseSize) and every doubt about the posts
// (postBar).
func NewPose(kind int, k pack.Kind, worst bool, up, front pack.Face, tilt s1.Angle) *Pose {
	t := turnerFor(up, front, tilt)
	p := &Pose{Kind: kind, Up: up, Front: front, Tilt: tilt, Stand: standOf(up)}
	for i, e := range [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}} {
		p.Axes[i] = t.pitch(e)
	}
	half := CaseSize(k, worst).Mul(0.5)
	p.Parts = append(p.Parts, Part{post: caseOnly, Half: t.level(half).Abs()})
	for i, post := range k.Posts {
		offset, size := postBar(k, post, half, worst)
		p.Parts = append(p.Parts, Part{
			post:   i,
			joined: post.JoinedFirst,
			Offset: t.pitch(t.level(offset)),
			Half:   t.level(size.Mul(0.5)).Abs(),
		})
	}
	return p
}

// CaseSize is the size of a case in mm, larger by what it may be off. Swelling and accuracy are of
// the whole length, not of a side: half of it shows at either face.
func CaseSize(k pack.Kind, worst bool) r3.Vector {
	size := k.Size
	if worst {
		more := k.Accuracy + k.Swell
		size = size.Add(r3.Vector{X: more, Y: more, Z: more})
	}
	return size
}

// postBar returns the square bar around a post in the box's own axes: its centre,
// from the case's centre, and its sizes. half is half of the case, as searched. At the
// worst the face may be anywhere from that of the smallest case to there, and the post
// as much higher, thicker and aside as its numbers may be off, the place from a corner
// that may itself be off by half of what the case is.
//
// It starts at the face and not inside of the case, so that a post asks for no more of its
// neighbours than it is; at the worst it starts where the smallest case would end.
func postBar(k pack.Kind, post pack.Post, half r3.Vector, worst bool) (centre, size r3.Vector) {
	var off, more float64
	if worst {
		off, more = k.Accuracy, k.Accuracy+k.Swell
	}
	axis, positive := axisOf(post.Face)
	var c, s [3]float64
	// Places in a face count along its two axes in the order L, W, H, from the corner where both
	// are least.
	inFace := []float64{post.At.X, post.At.Y}
	for i := range 3 {
		if i == axis {
			face := min(geom.Component(half, i), (geom.Component(k.Size, i)-off)/2)
			end := geom.Component(half, i) + post.Height + off
			c[i] = Sign(positive) * (face + end) / 2
			s[i] = end - face
			continue
		}
		c[i] = inFace[0] - geom.Component(k.Size, i)/2
		s[i] = post.Diameter + off + 2*off + more
		inFace = inFace[1:]
	}
	return r3.Vector{X: c[0], Y: c[1], Z: c[2]}, r3.Vector{X: s[0], Y: s[1], Z: s[2]}
}

// standOf is the stand in which a face looks up. As the pack file names them: a box lies on its
// side when its left or right looks up.
func standOf(up pack.Face) pack.Stand {
	switch up {
	case pack.Top:
		return pack.Upright
	case pack.Bottom:
		return pack.Inverted
	case pack.Left, pack.Right:
		return pack.OnSide
	default:
		return pack.OnEnd
	}
}

// AxesOfVehicle are those of a pose without tilt.
var AxesOfVehicle = [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}
