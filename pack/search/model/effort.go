package model

// Effort counts work: about one for each number worked out, a nanosecond or so. Starts and
// proof share the search by it. A clock would do as well, but for the result, which would
// then depend on the machine.
//
// It is counted, never measured: the counts stand where the work is done, and were set once so that
// a unit takes about the same time everywhere. Whether they are right decides how time is shared,
// never what is true.
type Effort int64

// perRelation is the effort of looking at a relation of two bodies. Measured, as all efforts are, in
// what as many numbers of a program take.
const perRelation = 10

// Relations counts relations looked at. A Lack or a Left of one clause is one relation.
func (e *Effort) Relations(n int) { *e += Effort(n) * perRelation }

// PerEntry is the effort of finding out how one box of an arrangement goes in. The planner of ways
// in is another package, which counts in its own way.
const PerEntry = 400_000
