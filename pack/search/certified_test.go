package search_test

import (
	"bytes"
	"context"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/certificate"
	"rackwright/pack/search"
)

// Random problems: what is proven not to fit gets a proof that holds, but where next to
// nothing is missing for the flat bodies of the proof; what fits is ruled out by no named
// bound, and its layouts keep all inequalities that proofs are made of.
// RACKWRIGHT_RANDOM=20-39 takes other seeds.
func TestRandomCertificates(t *testing.T) {
	seeds := seedsOf(t, "RACKWRIGHT_RANDOM")
	if seeds == nil {
		seeds = []uint64{1, 2, 3, 4}
		if os.Getenv("RACKWRIGHT_LONG") != "" {
			seeds = append(seeds, 5, 6, 7, 8)
		}
	}
	written := 0
	for _, seed := range seeds {
		if certifyRandom(t, seed) {
			written++
		}
	}
	t.Logf("%d proofs written", written)
	require.NotZero(t, written)
}

func certifyRandom(t *testing.T, seed uint64) bool {
	t.Helper()
	g := generatorFor(seed ^ 0xce47)
	f := randomFiles(seed+5000, g.between(1, 4))
	g.addRound(&f.Frame)
	tilts := [][]int{{0}, {0}, {0, 12}, {-10}, {8, 0, -15}, {45, 0}, {-45, 44}}
	for i := range f.Pack.Boxes {
		f.Pack.Boxes[i].Tilt = tilts[g.IntN(len(tilts))]
	}
	p := f.problem(t)
	r := searchUntilDecided(t, p)
	switch r.Verdict {
	case pack.ProvenNoFit:
		_, written := writtenProof(t, seed, f, r.Bound)
		return written
	case pack.Fits:
		refuseLarger(t, seed, f)
		requireNoProof(t, p)
		space, err := certificate.NewSpace(p)
		require.NoError(t, err)
		for _, l := range r.Layouts {
			if l.Report.Spare >= 0 {
				require.NoError(t, space.Allows(l.Layout), "seed %d\n%v", seed, f)
			}
		}
	}
	return false
}

// requireNoProof holds that no named bound rules a problem out: these are tried also where there is
// no time for a tree.
func requireNoProof(t *testing.T, p pack.Problem) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := search.Certify(ctx, p, -1)
	require.ErrorIs(t, err, search.ErrUncertified)
}

// writtenProof is the proof of what does not fit, as it is read from its file.
func writtenProof(t *testing.T, seed uint64, f files, bound float64) (certificate.Proof, bool) {
	t.Helper()
	p := f.problem(t)
	proof, err := search.Certify(context.Background(), p, bound)
	if err != nil {
		require.ErrorContains(t, err, "too little is missing", "seed %d, bound %v\n%v", seed, bound, f)
		t.Logf("seed %d: %v", seed, err)
		return certificate.Proof{}, false
	}
	var file bytes.Buffer
	require.NoError(t, certificate.Write(&file, proof))
	t.Logf("seed %d, bound %.3f: %d bytes", seed, bound, file.Len())
	again, err := certificate.Read(&file, "proof")
	require.NoError(t, err)
	require.NoError(t, certificate.Verify(p, again), f)
	return again, true
}

// refuseLarger proves that boxes a little larger than some that fit do not, and requires
// that the proof is refused for those that do.
func refuseLarger(t *testing.T, seed uint64, f files) {
	t.Helper()
	fits := f.problem(t)
	larger := files{f.Frame, f.Pack}
	for range 6 {
		larger.Pack.Boxes = slices.Clone(larger.Pack.Boxes)
		for i := range larger.Pack.Boxes {
			for axis := range larger.Pack.Boxes[i].Size {
				larger.Pack.Boxes[i].Size[axis] += 1 + larger.Pack.Boxes[i].Size[axis]/12
			}
		}
		r := searchUntilDecided(t, larger.problem(t))
		if r.Verdict != pack.ProvenNoFit {
			continue
		}
		if proof, ok := writtenProof(t, seed, larger, r.Bound); ok {
			proof.FrameHash, proof.PackHash = fits.Frame.Hash, fits.Pack.Hash
			require.ErrorIs(t, certificate.Verify(fits, proof), certificate.ErrRefused, f)
		}
		return
	}
}

// searchUntilDecided ends a search when it is known whether it fits, or after some steps.
func searchUntilDecided(t *testing.T, p pack.Problem) search.Result {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	left := 40
	r, err := search.Fit(ctx, p, search.Settings{AnyEntry: true, Seed: 1, Progress: func(now search.Progress) {
		if left--; left == 0 || now.Bound < 0 || now.Spare >= 0 {
			cancel()
		}
	}})
	require.NoError(t, err)
	return r
}
