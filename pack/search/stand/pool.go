package stand

import (
	"sync"

	"rackwright/pack/lp"
)

// Layouts are improved by many short programs. Their memory is used again.
var free = sync.Pool{New: func() any { return &lp.Solver{} }}

// newProgram is a program without rows.
func newProgram(objective, lo, hi []float64, halt func(work int) bool) *lp.Solver {
	p := free.Get().(*lp.Solver)
	p.Work, p.Halt = 0, halt
	p.Begin(objective, lo, hi)
	return p
}

// copyOf is a copy of a program, to go on from, which has done no work but that of copying.
func copyOf(program *lp.Solver) *lp.Solver {
	p := free.Get().(*lp.Solver)
	p.Work, p.Halt = 0, program.Halt
	p.CopyFrom(program)
	return p
}

// discard tells that a program is not needed any more.
func discard(p *lp.Solver) {
	p.Halt = nil
	free.Put(p)
}
