package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"

	"rackwright/export"
	"rackwright/pack"
	"rackwright/pack/certificate"
	"rackwright/pack/search"
)

// refuseProof is an error where a proof may not be written: it is told before the search.
func (f *fitFlags) refuseProof() error {
	if f.proof == "" || f.force {
		return nil
	}
	return refuseExisting(filepath.Dir(f.proof), []export.File{{Name: filepath.Base(f.proof)}})
}

// writeProof writes the proof that nothing fits, and returns its path for the answer. It
// takes as much time again as the search may. Where there is nothing to prove it says so.
func (f *fitFlags) writeProof(ctx context.Context, s streams, p pack.Problem, r search.Result) ([]string, error) {
	if r.Verdict != pack.ProvenNoFit {
		fmt.Fprintf(s.err, "rackwright fit: %s was not written, since it is not proven that nothing fits\n", harmless(f.proof))
		return nil, nil
	}
	if r.Stranded() {
		fmt.Fprintf(s.err, "rackwright fit: %s was not written: what is proven is that boxes which have room cannot be put in and connected, and written proofs know of room alone, not of ways in and tools\n", harmless(f.proof))
		return nil, nil
	}
	limited, cancel := context.WithTimeout(ctx, f.time)
	defer cancel()
	type certified struct {
		proof certificate.Proof
		err   error
	}
	made, ok := within(limited, overdueAdvice, func() (c certified) {
		c.proof, c.err = search.Certify(limited, p, r.Bound)
		return c
	})
	if !ok {
		made.err = limited.Err()
	}
	if made.err != nil {
		return nil, fmt.Errorf("%s was not written: %w", f.proof, made.err)
	}
	file := export.File{Name: filepath.Base(f.proof), Write: func(w io.Writer) error { return certificate.Write(w, made.proof) }}
	if err := writeAll(filepath.Dir(f.proof), []export.File{file}, f.force); err != nil {
		return nil, err
	}
	return []string{f.proof}, nil
}

// checkProof checks a proof file by code that has no part in the search.
func (f *checkFlags) checkProof(ctx context.Context, s streams, p pack.Problem) (int, error) {
	proof, err := fileOf(ctx, f.proof, certificate.Read)
	if err != nil {
		return exitUsage, err
	}
	text, status := "The proof holds: "+certificate.Claim+".\n", exitFits
	switch err := certificate.Verify(p, proof); {
	case errors.Is(err, certificate.ErrRefused):
		text, status = fmt.Sprintf("The check fails: %v.\n", err), exitNoFit
	case err != nil:
		return exitUsage, err
	}
	if f.quiet {
		return status, nil
	}
	if _, err := io.WriteString(s.out, text); err != nil {
		return exitUsage, fmt.Errorf("the answer could not be printed: %w", err)
	}
	return status, nil
}
