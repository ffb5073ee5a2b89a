package model

import (
	"errors"
	"fmt"
)

// ErrTooLarge is wrapped by the error for a problem that would take more memory than a
// search may have.
var ErrTooLarge = errors.New("search: this is too much to search")

// A model holds a clause for every part of every pose against every solid of the frame.
// Measured, one against a flat solid takes about 1 KiB with all that the collector of
// garbage leaves beside it, one against a round solid 8 KiB, and the table of pairs 8
// bytes for two poses. A search holds two models at the end, so this is about 400 MiB.
const (
	maxTables = 200 << 10 // KiB
	flatCost  = 1
	roundCost = 8
	pairsPer  = 128
)

// maxStored is how many planes of pairs of poses are kept, 56 bytes each; beyond that
// those that came first are let go. What is let go is made anew when it is asked for, the same to
// the bit: a limit costs time, never a result.
const maxStored = 1 << 20

// maxReach is what the tables may take where that of the tools' reach is made too, which is
// at most about half as large again. In larger problems separation does without it. That is a
// preference, not a relation: entry decides in the end whether tools reach, whatever was left out
// here.
const maxReach = maxTables / 4

// tables is the size of a problem: what it takes in KiB, and what that comes from.
type tables struct {
	cost, poses, parts, solids int
}

// tables reckons what the tables of a model with its poses will take, before any is made. Pairs are
// counted as the table of pointers to them; the pairings themselves are limited by maxStored.
func (m *Model) tables() tables {
	var t tables
	each := 0
	for _, o := range m.obstacles {
		t.solids++
		if o.Solid.Round() {
			each += roundCost
		} else {
			each += flatCost
		}
	}
	for k, kind := range m.Kinds {
		n := len(m.Poses[k])
		t.poses += n
		t.parts += n * (1 + len(kind.Posts))
	}
	t.cost = t.parts*each + t.poses*t.poses/pairsPer
	return t
}

// check refuses tables beyond maxTables. The words say what to leave out, for whoever meets this
// has typed a pack that no one needs: 64 kinds, each with ten tilts.
func (t tables) check() error {
	if t.cost > maxTables {
		return fmt.Errorf("%w: the boxes stand in %d ways with %d parts, each to be held against %d parts of the frame, and that is %.1f times what is possible; allow fewer tilts or stands, or leave out posts, points of rails or keep-outs far from the boxes",
			ErrTooLarge, t.poses, t.parts, t.solids, float64(t.cost)/maxTables)
	}
	return nil
}
