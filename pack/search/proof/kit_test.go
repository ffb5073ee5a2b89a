package proof

import (
	"math/rand/v2"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/search/model"
)

// modelOf is the model of a problem, without room for tools.
func modelOf(p pack.Problem) *model.Model {
	m, err := model.New(p, model.Options{})
	if err != nil {
		panic(err)
	}
	return m
}

// plates close both flanks of a chest but for a window in one of them.
func plates(rng *rand.Rand, f *frame.Frame) (list []frame.KeepOut) {
	high := f.Opening.Outline.Bounds()
	across := f.Opening.Stations[0].Across
	plate := func(lowX, highX, lowY, highY, lowZ, highZ float64) {
		if lowX < highX && lowZ < highZ {
			list = append(list, frame.KeepOut{Name: "plate", Box: &frame.Corners{Low: r3.Vector{X: lowX, Y: lowY, Z: lowZ}, High: r3.Vector{X: highX, Y: highY, Z: highZ}}})
		}
	}
	x, z := high.X.Hi, high.Y.Hi
	plate(-300, x+300, across.Lo-10, across.Lo, -300, z+300)
	a, b := rng.Float64()*x/2, rng.Float64()*z/2
	c, d := a+70+rng.Float64()*x/2, b+70+rng.Float64()*z/2
	plate(-300, a, across.Hi, across.Hi+10, -300, z+300)
	plate(c, x+300, across.Hi, across.Hi+10, -300, z+300)
	plate(a, c, across.Hi, across.Hi+10, -300, b)
	plate(a, c, across.Hi, across.Hi+10, d, z+300)
	return list
}
