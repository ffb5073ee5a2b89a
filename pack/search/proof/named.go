package proof

import (
	"rackwright/pack/certificate"
	"rackwright/pack/search/bound"
	"rackwright/pack/search/model"
	"rackwright/pack/search/puzzle"
)

// namedBounds are the bounds to try before a tree: each fills in a proof that may hold
// or not.
//
// From the simplest to the most laborious. Whether one holds is for certificate.Verify to say,
// which is asked next; so nothing is decided here, and nothing here has to be right.
func namedBounds(space *certificate.Space, m *model.Model) []func(*certificate.Proof) {
	all := []func(*certificate.Proof){func(p *certificate.Proof) { p.Volume = true }}
	for _, n := range grids(len(m.Boxes)) {
		all = append(all, func(p *certificate.Proof) { p.Points = &certificate.Points{N: n[:]} })
	}
	all = append(all, func(p *certificate.Proof) { p.Scales = bound.Mix(space, m.Kinds) })
	if t, ok := puzzle.Of(m); ok {
		step := []float64{t.Step(), t.Step(), t.Step()}
		for block := 1; block <= puzzle.MostBlock; block++ {
			all = append(all, func(p *certificate.Proof) { p.Cells = &certificate.Cells{Step: step, Block: block} })
		}
		all = append(all, func(p *certificate.Proof) { p.Cells = &certificate.Cells{Step: step} })
	}
	return all
}

// grids lists the grids with no more points than there are boxes.
func grids(boxes int) [][3]int {
	var all [][3]int
	for x := range mostOnAxis {
		for y := range mostOnAxis {
			for z := range mostOnAxis {
				if (x+1)*(y+1)*(z+1) <= boxes {
					all = append(all, [3]int{x + 1, y + 1, z + 1})
				}
			}
		}
	}
	return all
}
