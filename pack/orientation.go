package pack

import (
	"fmt"
	"math"
	"strings"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
)

// Face is one of the six faces of a box, in the box's own axes.
type Face int

const (
	Front  Face = iota // +L
	Back               // −L
	Left               // +W
	Right              // −W
	Top                // +H
	Bottom             // −H
)

var faceNames = [...]string{"front", "back", "left", "right", "top", "bottom"}

// String returns the word used in files: "front", "back", "left", "right", "top" or
// "bottom".
func (f Face) String() string { return nameOf(faceNames[:], int(f)) }

// ParseFace returns the face with the given name.
func ParseFace(text string) (Face, error) {
	i, err := parseName("face", faceNames[:], text)
	return Face(i), err
}

// Opposite returns the face on the other side of the box.
func (f Face) Opposite() Face { return f ^ 1 }

// Axis returns the own axis that the face is across: 0, 1, 2 for L, W, H.
func (f Face) Axis() int { return int(f) / 2 }

// Normal returns the outward unit normal of the face in the box's own axes.
func (f Face) Normal() r3.Vector {
	normals := [...]r3.Vector{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}}
	return normals[f]
}

func (f Face) valid() bool { return f >= Front && f <= Bottom }

// Stand says which face is up.
type Stand int

const (
	Upright  Stand = iota // top up
	OnSide                // left or right up
	OnEnd                 // front or back up
	Inverted              // bottom up
)

var standNames = [...]string{"upright", "on-side", "on-end", "inverted"}

// String returns the word used in files: "upright", "on-side", "on-end" or
// "inverted".
func (s Stand) String() string { return nameOf(standNames[:], int(s)) }

// ParseStand returns the stand with the given name.
func ParseStand(text string) (Stand, error) {
	i, err := parseName("stand", standNames[:], text)
	return Stand(i), err
}

// Orientation is one of the 24 rotations of a box, and a tilt: Up and Front are the
// box's own faces that look up (+z) and forward (+x) before the tilt turns the box
// about its centre, right-handed about +y (nose down for positive angles).
type Orientation struct {
	Up, Front Face
	Tilt      s1.Angle
}

// Valid tells whether Up and Front are faces on different axes and the tilt is a
// finite number.
func (o Orientation) Valid() bool {
	tilt := o.Tilt.Radians()
	return o.Up.valid() && o.Front.valid() && o.Up.Axis() != o.Front.Axis() &&
		!math.IsNaN(tilt) && !math.IsInf(tilt, 0)
}

// Stand returns the stand that has Up as its upper face.
func (o Orientation) Stand() Stand {
	switch o.Up {
	case Top:
		return Upright
	case Bottom:
		return Inverted
	case Left, Right:
		return OnSide
	}
	return OnEnd
}

// Axes returns where the box's own L, W and H axes point in the vehicle: a
// right-handed triple of unit vectors, with components of exactly 0 and ±1 when the
// tilt is 0. The orientation must be valid.
func (o Orientation) Axes() [3]r3.Vector {
	forward, up := o.Front.Normal(), o.Up.Normal()
	left := up.Cross(forward).Add(r3.Vector{}) // no negative zeros
	own := [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}
	var axes [3]r3.Vector
	for i, e := range own {
		axes[i] = tilted(r3.Vector{X: forward.Dot(e), Y: left.Dot(e), Z: up.Dot(e)}, o.Tilt)
	}
	return axes
}

// tilted turns v about +y, right-handed.
func tilted(v r3.Vector, tilt s1.Angle) r3.Vector {
	if tilt == 0 {
		return v
	}
	sin, cos := math.Sincos(tilt.Radians())
	return r3.Vector{
		X: float64(v.X*cos) + float64(v.Z*sin),
		Y: v.Y,
		Z: float64(v.Z*cos) - float64(v.X*sin),
	}
}

// nameOf returns names[i], or a number in brackets for a value that has no name.
func nameOf(names []string, i int) string {
	if i < 0 || i >= len(names) {
		return fmt.Sprintf("(%d)", i)
	}
	return names[i]
}

// parseName returns the index of text in names. Its error says what may stand there.
func parseName(what string, names []string, text string) (int, error) {
	for i, n := range names {
		if n == text {
			return i, nil
		}
	}
	last := len(names) - 1
	return 0, fmt.Errorf("%q is no %s: use %s or %s", text, what, strings.Join(names[:last], ", "), names[last])
}
