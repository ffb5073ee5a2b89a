package search

import (
	"context"

	"rackwright/pack"
	"rackwright/pack/certificate"
	"rackwright/pack/search/improve"
	"rackwright/pack/search/proof"
)

// Preference is something a builder likes in a layout, beside its spare. The name is here so that
// callers need no package below this one.
type Preference = improve.Preference

// The preferences, of package improve.
const (
	Low       = improve.Low
	Centred   = improve.Centred
	FewStands = improve.FewStands
	Rows      = improve.Rows
)

// AllPreferences returns those as well that are only had by asking for them.
func AllPreferences() []Preference { return improve.AllPreferences() }

// Preferences returns all of them, in the order that Settings start with.
func Preferences() []Preference { return improve.Preferences() }

// ErrUncertified is wrapped by the errors of Certify: the proof could not be written out.
var ErrUncertified = proof.ErrUncertified

// Certify writes out a proof that nothing fits, for a problem of which Fit has shown it; bound is
// that of its result. See proof.Certify. It takes as long as the proof did, or longer: the tree is
// gone through once more.
func Certify(ctx context.Context, problem pack.Problem, bound float64) (certificate.Proof, error) {
	return proof.Certify(ctx, problem, bound)
}
