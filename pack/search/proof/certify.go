package proof

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/certificate"
	"rackwright/pack/search/bound"
	"rackwright/pack/search/model"
)

// ErrUncertified is wrapped by the errors of Certify: the proof could not be written out.
var ErrUncertified = errors.New("the proof could not be written out")

// Certify writes out a proof that nothing fits, for a problem of which Fit has shown it:
// bound is that of its result, and negative. Where a named bound does, that is the proof.
// Otherwise the tree of choices is gone through once more, by one worker, and recorded, with
// what is learnt of one branch and used in another as lemmas. What is returned has passed
// the checks of certificate.Verify.
//
// It returns an error that wraps ErrUncertified where ctx ends the work, where the proof
// gets too large or a puzzle takes more trials than a check may, and where too little is
// missing for the flat bodies inside round solids. With pins or ranges only what a named bound shows without them can be
// written.
func Certify(ctx context.Context, problem pack.Problem, bound float64) (certificate.Proof, error) {
	m, err := model.New(problem, model.Options{})
	if err != nil {
		return certificate.Proof{}, err
	}
	space, err := certificate.NewSpace(problem)
	if err != nil {
		return certificate.Proof{}, fmt.Errorf("%w: %w", ErrUncertified, err)
	}
	blank := certificate.Proof{
		Format: 1, Claim: certificate.Claim, FrameHash: problem.Frame.Hash, PackHash: problem.Pack.Hash,
	}
	var tooMuch error
	for _, named := range namedBounds(space, m) {
		p := blank
		named(&p)
		switch err := certificate.Verify(problem, p); {
		case err == nil:
			return p, nil
		case errors.Is(err, certificate.ErrTooMuch):
			tooMuch = err
		}
	}
	if m.Restricted() {
		return certificate.Proof{}, fmt.Errorf("%w: nothing fits %s, and written proofs know no pins and no ranges", ErrUncertified, problem.Restrictions())
	}
	w, err := newScribe(ctx, m, space, bound)
	if err != nil {
		return certificate.Proof{}, err
	}
	p := blank
	if err = w.write(&p); err != nil {
		if tooMuch != nil {
			err = fmt.Errorf("%w (%w)", err, tooMuch)
		}
		return certificate.Proof{}, fmt.Errorf("%w: %w", ErrUncertified, err)
	}
	p.Order = w.order
	for _, b := range w.bodies {
		if mentions(p, b.Solid) {
			p.Bodies = append(p.Bodies, b)
		}
	}
	if p, err = certificate.Pruned(problem, p); err != nil {
		return certificate.Proof{}, fmt.Errorf("%w: %w; so little is missing that the rounding of lengths to 1/1024 mm may decide", ErrUncertified, err)
	}
	return p, nil
}

// mentions tells whether a proof looks at a solid. Bodies that no step uses are left out of the
// file: they would be checked for nothing.
func mentions(p certificate.Proof, solid int) bool {
	return clears(*p.Tree, solid) || slices.ContainsFunc(p.Lemmas, func(l certificate.Lemma) bool {
		return clears(l.Tree, solid) || slices.ContainsFunc(l.Choices, func(c certificate.Choice) bool { return names(c.Clear, solid) })
	})
}

// clears tells whether a tree looks at a solid.
func clears(n certificate.Node, solid int) bool {
	return names(n.Clear, solid) ||
		slices.ContainsFunc(n.Then, func(b certificate.Node) bool { return clears(b, solid) })
}

// names tells whether a relation is one of a part and a solid. Three numbers are the box, its part
// and the solid; two boxes take four.
func names(clear []int, solid int) bool { return len(clear) == 3 && clear[2] == solid }

// scribe goes through the tree of choices and records it.
//
// It uses a prover's steps and never its rounds: one path, no sharing, nothing handed back. space
// is the certificate's view of the same problem; whatever is written is put into its words, and
// what cannot be is not used.
type scribe struct {
	ctx    context.Context
	prover *prover
	space  *certificate.Space
	order  int
	bodies []certificate.Body
	poses  [][]certificate.PoseSet // by kind and pose of the search
	walls  []r3.Vector
	parts  []int            // by kind
	ways   map[fact]wayName // of choices that were named
	leaves int
	found  int     // lemmas
	most   float64 // see mostOf
}

// refutedBelow is how far below 0 every branch is refuted where there is room for it: what
// rounding of linear programs may take from a sum that the certificate reckons exactly. The rest of
// the way to 0 is the margin within which the exact sum has to stay negative.
const refutedBelow = 1e-3

// mostOf is what values count for at most, in mm, where branches are compared: half of the cheap
// bound. A proof that nothing fits gains nothing by knowing which of two branches is the
// farther from being refuted, and where it looks at that it may be led astray for long. Values are
// cut off there before branches are compared (record), never before they are refuted.
func mostOf(m *model.Model) float64 {
	cheap, _ := bound.Cheap(m)
	if cheap <= 0 {
		return math.Inf(1)
	}
	return max(1, cheap/2)
}

// Its programs have weights, though what is written has none (see doc.go). The mirror half is not
// used, since the certificate does not know it.
func newScribe(ctx context.Context, m *model.Model, space *certificate.Space, bound float64) (*scribe, error) {
	if !provable(m) {
		return nil, fmt.Errorf("%w: a box has too many poses", ErrUncertified)
	}
	in := NewInside(m)
	if in.made() == nil {
		return nil, ctx.Err()
	}
	w := &scribe{ctx: ctx, space: space, walls: space.Walls(), ways: map[fact]wayName{}}
	for k, kind := range m.Kinds {
		w.poses = append(w.poses, posesNamed(space, k, kind, m.Poses[k]))
		w.parts = append(w.parts, 1+len(kind.Posts))
	}
	w.addBodies(m, in.clauses)
	w.prover = newProver(m, in, Settings{AnyEntry: true})
	w.prover.useHull()
	w.prover.mirrored = false
	w.prover.reset(max(-refutedBelow, bound/2), math.MaxInt64)
	w.most = mostOf(m)
	// The certificate numbers axes.
	if w.prover.sortBy.Z != 0 {
		w.order = 2
	}
	return w, nil
}

// posesNamed names the poses of a kind as the certificate does: for each of the search's a
// set, since the search may take more of them for alike. Several of the certificate's poses may be
// one of the search's, when posts do not tell them apart.
func posesNamed(space *certificate.Space, k int, kind pack.Kind, poses []*model.Pose) []certificate.PoseSet {
	named := make([]certificate.PoseSet, len(poses))
	for _, tilt := range kind.Tilts {
		for _, up := range model.Faces {
			for _, front := range model.Faces {
				number, ok := space.PoseOf(k, pack.Orientation{Up: up, Front: front, Tilt: tilt})
				if !ok {
					continue
				}
				p := model.NewPose(k, kind, false, up, front, tilt)
				for i, q := range poses {
					if p.SameBody(q) {
						named[i].Add(number)
					}
				}
			}
		}
	}
	return named
}

// namedIn is a set of poses of a kind as the certificate names them. A set of the search's is the
// union of those of its members.
func (w *scribe) namedIn(kind int, set poseSet) certificate.PoseSet {
	var all certificate.PoseSet
	set.each(func(p int) {
		for i, word := range w.poses[kind][p] {
			all[i] |= word
		}
	})
	return all
}

// addBodies puts flat bodies inside the round solids that the certificate can speak of,
// in place of those that are there. Clauses of posts with round solids are emptied, which leaves
// the node that would need them undecided: the certificate has no bodies for posts.
func (w *scribe) addBodies(m *model.Model, inner [][][]model.Clause) {
	for k, poses := range inner {
		parts := w.parts[k]
		box := m.BoxesOf(k)[0]
		for p, clauses := range poses {
			for i, c := range clauses {
				if c.Round == nil {
					continue
				}
				clauses[i] = model.Clause{Part: c.Part}
				if c.Part == 0 {
					clauses[i].Planes = w.bodyPlanes(m.Poses[k][p], box, w.poses[k][p], i/parts, c)
				}
			}
		}
	}
}

// bodyPlanes are the planes of a case and the body inside a round solid. The factor of the
// spare is not that of a growing body; the certificate speaks of a spare of 0 alone. Directions are
// the certificate's, so that each branch of the search is one of its branches.
func (w *scribe) bodyPlanes(p *model.Pose, box int, named certificate.PoseSet, solid int, c model.Clause) []model.Plane {
	body := w.bodyInside(solid, c)
	var planes []model.Plane
	for _, n := range w.space.Clear(solid, box, named) {
		n = n.Normalize()
		most := math.Inf(-1)
		for _, q := range body.Points {
			most = max(most, n.Dot(r3.Vector{X: q[0], Y: q[1], Z: q[2]}))
		}
		planes = append(planes, model.Plane{N: n, D: most + p.Reach(0, n.Mul(-1)), K: 1})
	}
	return planes
}

// bodyInside is the body of a solid, made when first asked for.
func (w *scribe) bodyInside(solid int, c model.Clause) certificate.Body {
	for _, b := range w.bodies {
		if b.Solid == solid {
			return b
		}
	}
	b := certificate.Body{Solid: solid}
	for _, p := range ringPoints(c) {
		b.Points = append(b.Points, []float64{p.X, p.Y, p.Z})
	}
	if w.space.AddBody(b) != nil {
		return certificate.Body{Solid: solid} // too small a thing; the proof does without
	}
	w.bodies = append(w.bodies, b)
	return b
}

// ringPoints are points in sixteenths of a millimetre inside a round solid grown by its gap: a ring around
// each end, and what is beyond the ends. Sixteenths are exact as decimals and as binary fractions,
// so the checker works with the points that are meant.
func ringPoints(c model.Clause) []r3.Vector {
	const step = 1.0 / 16
	snap := func(v r3.Vector) r3.Vector {
		return r3.Vector{X: math.Round(v.X / step), Y: math.Round(v.Y / step), Z: math.Round(v.Z / step)}.Mul(step)
	}
	const off = 2 * step // more than two roundings move a point
	bar, _ := geom.BarOf(c.Round)
	from, to, radius, flat := bar.From, bar.To, bar.Radius, bar.FlatEnds
	t, u, v := frameOf(from, to)
	if flat {
		from, to = from.Add(t.Mul(off)), to.Sub(t.Mul(off))
	}
	from, to = snap(from), snap(to)
	var all []r3.Vector
	ring := func(radius, beyond float64) {
		for i := range pointsOnRing {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / pointsOnRing)
			around := u.Mul(cos).Add(v.Mul(sin)).Mul(radius)
			all = append(all, from.Add(snap(around.Sub(t.Mul(beyond)))), to.Add(snap(around.Add(t.Mul(beyond)))))
		}
	}
	grown := radius + c.Gap - off
	ring(grown, 0)
	switch {
	case !flat:
		ring(grown*math.Sqrt(0.5), grown*math.Sqrt(0.5))
		all = append(all, from.Sub(snap(t.Mul(grown))), to.Add(snap(t.Mul(grown))))
	case c.Gap > off:
		ring(radius-off, c.Gap)
	}
	return all
}
