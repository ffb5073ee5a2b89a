package search

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

// NamedBoundHolds tells whether the certificate takes a named bound for a proof.
func NamedBoundHolds(p pack.Problem) bool {
	space, err := certificate.NewSpace(p)
	if err != nil {
		panic(err)
	}
	for _, named := range namedBounds(space, modelOf(p)) {
		proof := certificate.Proof{Format: 1, Claim: certificate.Claim, FrameHash: p.Frame.Hash, PackHash: p.Pack.Hash}
		named(&proof)
		if certificate.Verify(p, proof) == nil {
			return true
		}
	}
	return false
}
