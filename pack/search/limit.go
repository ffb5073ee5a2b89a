package search

import (
	"errors"
	"fmt"

	"rackwright/pack"
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
// they are made anew each time.
const maxStored = 1 << 20

// checkSize refuses problems whose tables are beyond maxTables.
func checkSize(problem pack.Problem) error {
	each, solids := 0, 0
	for _, o := range problem.Obstacles() {
		solids++
		if o.Solid.Round() {
			each += roundCost
		} else {
			each += flatCost
		}
	}
	poses, parts, cost := 0, 0, 0
	for k, kind := range problem.Pack.Kinds {
		n := len(posesOf(k, kind, problem.Worst))
		poses += n
		parts += n * (1 + len(kind.Posts))
		cost += n * (1 + len(kind.Posts)) * each
	}
	if cost += poses * poses / pairsPer; cost > maxTables {
		return fmt.Errorf("%w: the boxes stand in %d ways with %d parts, each to be held against %d parts of the frame, and that is %.1f times what is possible; allow fewer tilts or stands, or leave out posts, points of rails or keep-outs far from the boxes",
			ErrTooLarge, poses, parts, solids, float64(cost)/maxTables)
	}
	return nil
}
