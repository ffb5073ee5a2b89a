package view

import (
	"fmt"
	"slices"
	"strings"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// Direction is where a view is seen from.
type Direction int

// Views. Of those from the front and from the rear the other axis points to the eye or away from it.
const (
	FromRight Direction = iota
	FromFront
	FromTop
	FromLeft
	FromRear
	FromBelow
)

// Directions are the views that are always shown, in their order.
var Directions = [...]Direction{FromRight, FromFront, FromTop}

// Others are the views that are shown on request.
var Others = [...]Direction{FromLeft, FromRear, FromBelow}

// looks is how a view is looked at: its name, its title, and what points to the right, up, and to
// the eye.
var looks = [...]struct {
	name, title    string
	right, up, eye r3.Vector
}{
	{"right", "From the right (front of the vehicle to the right)", r3.Vector{X: 1}, r3.Vector{Z: 1}, r3.Vector{Y: -1}},
	{"front", "From the front (left of the vehicle to the right)", r3.Vector{Y: 1}, r3.Vector{Z: 1}, r3.Vector{X: 1}},
	{"top", "From the top (front to the right, left up)", r3.Vector{X: 1}, r3.Vector{Y: 1}, r3.Vector{Z: 1}},
	{"left", "From the left (front of the vehicle to the left)", r3.Vector{X: -1}, r3.Vector{Z: 1}, r3.Vector{Y: 1}},
	{"rear", "From the rear (left of the vehicle to the left)", r3.Vector{Y: -1}, r3.Vector{Z: 1}, r3.Vector{X: -1}},
	{"underneath", "From underneath (front to the right, right up)", r3.Vector{X: 1}, r3.Vector{Y: -1}, r3.Vector{Z: -1}},
}

// String is the word in names of files, such as "right".
func (d Direction) String() string { return looks[d].name }

// Title is what stands over a view.
func (d Direction) Title() string { return looks[d].title }

// ReadOthers reads names of views that are shown on request, each once.
func ReadOthers(names []string) ([]Direction, error) {
	var all []Direction
	for _, name := range names {
		i := slices.IndexFunc(Others[:], func(d Direction) bool { return d.String() == strings.TrimSpace(name) })
		if i < 0 {
			return nil, fmt.Errorf("views are left, rear and underneath, beside right, front and top, which are always there; not %q", name)
		}
		if !slices.Contains(all, Others[i]) {
			all = append(all, Others[i])
		}
	}
	return all, nil
}

// flatten returns where p lies in the view, to the right and up, and how near it is to
// the eye.
func (d Direction) flatten(p r3.Vector) (at r2.Point, near float64) {
	return d.flat(p), p.Dot(looks[d].eye)
}

func (d Direction) flat(p r3.Vector) r2.Point {
	return r2.Point{X: p.Dot(looks[d].right), Y: p.Dot(looks[d].up)}
}

func (d Direction) unflatten(p r2.Point, near float64) r3.Vector {
	s := looks[d]
	return s.right.Mul(p.X).Add(s.up.Mul(p.Y)).Add(s.eye.Mul(near))
}

// eye is the unit vector towards the eye.
func (d Direction) eye() r3.Vector { return looks[d].eye }

// facing is the view from the other side of the vehicle where that is the usual one.
func (d Direction) facing() Direction { return d % Direction(len(Directions)) }

// turned is a point of the view facing this one, as this one shows it.
func (d Direction) turned(p r2.Point) r2.Point { return d.flat(d.facing().unflatten(p, 0)) }

func (d Direction) turnedAll(points []r2.Point) []r2.Point {
	var all []r2.Point
	for _, p := range points {
		all = append(all, d.turned(p))
	}
	return all
}
