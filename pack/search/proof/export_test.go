package proof

import (
	"context"

	"rackwright/pack"
	"rackwright/pack/certificate"
)

// Bodies are the bodies that Certify puts inside the round solids of a problem.
func Bodies(p pack.Problem) []certificate.Body {
	space, err := certificate.NewSpace(p)
	if err != nil {
		panic(err)
	}
	w, err := newScribe(context.Background(), modelOf(p), space, -1)
	if err != nil {
		panic(err)
	}
	return w.bodies
}
