package lp

import "sync"

// Layouts are improved by many short programs. Their memory is used again: what Lend and LendCopy
// give is given back by Return.
var free = sync.Pool{New: func() any { return &Solver{} }}

// Lend gives a program without rows, see Begin. halt is asked as Solver.Halt is.
func Lend(objective, lo, hi []float64, halt func(work int) bool) *Solver {
	p := free.Get().(*Solver)
	p.Work, p.Halt = 0, halt
	p.Begin(objective, lo, hi)
	return p
}

// LendCopy gives a copy of a program, to go on from, which has done no work but that of copying.
func LendCopy(program *Solver) *Solver {
	p := free.Get().(*Solver)
	p.Work, p.Halt = 0, program.Halt
	p.CopyFrom(program)
	return p
}

// Return tells that a program that was lent is not needed any more.
func Return(p *Solver) {
	p.Halt = nil
	free.Put(p)
}
