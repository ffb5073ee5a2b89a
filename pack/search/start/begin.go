package start

import (
	"math/rand/v2"
	"slices"

	"rackwright/pack/search/model"
)

// Built builds a layout box by box, by a recipe of a kind, and pushes the boxes apart: for about
// as much to spare as best is, where that is above 0. Whole has it made to the end, also where the
// search has to end. The kind is any number; the first eight are the same for everyone, later ones
// are drawn.
func Built(m *model.Model, kind int, best float64, whole bool, rng *rand.Rand, work *model.Effort) []model.Spot {
	recipe := newRecipe(m, kind, rng)
	if best > 0 {
		recipe.target = best * (0.5 + 0.6*rng.Float64())
	}
	s := newSeparator(m, build(m, recipe, rng, work), recipe.target, rng)
	s.whole = whole
	s.run(mostSweeps, work)
	return s.spots
}

// Aim draws the spare that boxes are pushed apart for: a little more than best. Asking for more
// than is to be had pushes boxes towards better arrangements; too much of it, and none ever ends.
// Half a per cent of the opening, shared among the boxes, is the most; the two factors draw small
// ones more often.
func Aim(m *model.Model, best float64, rng *rand.Rand) float64 {
	return best + 0.005*m.Size/float64(len(m.Boxes))*rng.Float64()*rng.Float64()
}

// Shaken disturbs an arrangement, most often at the boxes that limit its spare, and moves its boxes
// apart again for a spare of target. The given spots are not changed. One to three disturbances
// keep most of what was good about them.
func Shaken(m *model.Model, from []model.Spot, tight []int, target float64, rng *rand.Rand, work *model.Effort) []model.Spot {
	s := newSeparator(m, slices.Clone(from), target, rng)
	for range 1 + rng.IntN(3) {
		s.disturb(tight)
	}
	s.run(mostSweeps, work)
	return s.spots
}
