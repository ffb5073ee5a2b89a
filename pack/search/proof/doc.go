// Package proof narrows the bound by branching, and writes proofs that nothing fits.
//
// # In one page
//
// Every question is: may a layout have more to spare than the cutoff? A node's program answers no, or
// gives places that look as if. Places that break a clause are shown to be wrong by branching on it.
// Places that break none are a layout, which raises the cutoff if it is an answer, and else shows where
// the model is too kind: then bodies inside round solids are refined, arcs halved, places barred. What
// none of this decides is left with its bound, and the greatest of what is left is the tree's.
//
// # The tree
//
// A node (node.go) holds sets of poses and some chosen planes. Its program has the walls, the chosen
// planes and the symmetry cuts, each with what the convex hull of the poses of the set asks for
// (hull.go), or, in large problems, with the least that any of them does (relax.go). Its optimum is
// an upper bound for all layouts below it, because every one of them satisfies every row.
//
// Where the optimum breaks a clause the node branches on the planes of the clause, and where it
// breaks none it splits the poses of a box (prove.go): which pose a box takes hardly matters as long
// as boxes lie in each other. A refutation names the decisions it rests on; what it did not use is
// not tried in another way (Prosser, Computational Intelligence 9 (1993)), and the same few
// decisions are not tried again elsewhere, by no worker (learn.go). A Tree is worked through in
// rounds (tree.go).
//
// # Why the bound is a bound
//
//   - Values of programs are not believed: lp's SafeBound recomputes them from the
//     multipliers and the rows, rounding included (Neumaier & Shcherbina, Mathematical
//     Programming 99 (2004)).
//   - A layout, with weight 1 for the shape that each box is in, satisfies the rows of the
//     hull of the poses: at such weights a plane asks for what these shapes do.
//   - Against round solids the rows come from flat bodies inside of them (inside.go), for
//     layouts from flat bodies outside or the exact direction. They get more
//     points where a box touches them (refine.go), and are true down to a least spare
//     only; no bound is claimed below it.
//   - Boxes of one kind are ordered along an axis, and of a space that is its own mirror
//     image one half is searched: both leave one of every set of equal layouts.
//   - What tools need over posts, against the frame and between boxes, are clauses that ask for no
//     spare (tools.go): inner bodies on both sides, so every answer satisfies them. They are asked for
//     from the first layout that fits on; what then is left is that none is an answer.
//   - Planes of the frame's clauses beyond what the walls leave are left out (room.go).
//   - Between a round solid and a corner of a box chords stand for arcs, and arcs are halved
//     (sector.go): the halves share no place.
//   - What could not be decided (depth, numerical trouble, a layout that does not go in where
//     others near it may, or a post of which no tool reaches)
//     keeps its bound, which stays in the result.
//   - Ways out by few straight legs are exactly unions of convex pieces, for bodies inside of what
//     stands in the way and the air that every answer keeps (ways.go); of two boxes one comes out
//     before the other (entering.go). Both are branches, and what they ask for clauses without a spare.
//   - Places at which it is certain that nothing goes in are left out (bar.go), others are
//     halved up to a limit. What that rests on are the poses of few boxes and the rows that bound
//     their places: what is learnt holds for all such poses and places.
//
// # Files
//
//   - tree.go: rounds and tasks; prove.go: the walk; node.go: programs; tuned.go: numbers
//   - relax.go, poseset.go, hull.go: boxes whose pose is open
//   - inside.go, refine.go, sector.go: round solids
//   - room.go, tools.go: what walls leave, what spanners need
//   - ways.go, entering.go, bar.go: ways out, who comes out first, what does not go in
//   - learn.go: nogoods
//   - certify.go, record.go, lemma.go, named.go: written proofs
//
// # Written proofs
//
// Certify writes out a proof that nothing fits: a named bound (named.go), for puzzles of whole
// sizes one by cells, or the tree of choices, gone through again at a spare just below 0
// (certify.go, record.go), with learnt nogoods as lemmas (lemma.go). Written proofs have no
// weights: the checker takes, for each box, the least over its poses of what all terms of a sum ask
// together. Package certificate checks them without any of this package.
package proof
