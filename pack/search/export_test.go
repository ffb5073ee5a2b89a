package search

import (
	"rackwright/pack"
	"rackwright/pack/certificate"
)

// Bodies are the bodies that Certify puts inside the round solids of a problem.
func Bodies(p pack.Problem) []certificate.Body {
	space, err := certificate.NewSpace(p)
	if err != nil {
		panic(err)
	}
	w := &scribe{space: space}
	w.addBodies(newModel(p))
	return w.bodies
}
