package strict

import (
	"math"

	"github.com/goccy/go-yaml/ast"
)

// Direction is a unit vector: one of six words, or three numbers of any length.
type Direction [3]float64

// directionWords are the words for the axes: x is forward, y left, z up.
var directionWords = map[string]Direction{
	"front": {1, 0, 0}, "back": {-1, 0, 0}, "left": {0, 1, 0}, "right": {0, -1, 0}, "up": {0, 0, 1}, "down": {0, 0, -1},
}

// Decode implements Custom.
func (v *Direction) Decode(d *Decoder, n ast.Node) {
	if s, ok := n.(*ast.SequenceNode); ok {
		v.vector(d, s)
		return
	}
	word, ok := textOf(n)
	if !ok {
		d.at(n, WrongType, "this has to be a direction (left, right, front, back, up, down, or three numbers), not %s", describe(n))
		return
	}
	known, ok := directionWords[word]
	if !ok {
		d.at(n, BadValue, "%q is no direction: use left, right, front, back, up, down, or three numbers", clip(word))
		return
	}
	*v = known
}

func (v *Direction) vector(d *Decoder, s *ast.SequenceNode) {
	if len(s.Values) != 3 {
		d.at(s, WrongType, "a direction is a word or three numbers [x, y, z], not %d", len(s.Values))
		return
	}
	for i, n := range s.Values {
		v[i] = d.Number(n)
	}
	norm := math.Hypot(math.Hypot(v[0], v[1]), v[2])
	if norm < 1e-6 || norm > 1e6 {
		d.at(s, OutOfRange, "this points nowhere: a direction needs a length")
		*v = Direction{}
		return
	}
	for i := range v {
		v[i] /= norm
	}
}
