// Package search looks for the layouts of a problem with the greatest spare, and for an
// upper bound on the spare of any layout. Fit is the one way in.
//
// # What is searched
//
// A pose is one orientation of a kind of box. For two convex solids whose orientations
// are known, "at least g apart" means that one of finitely many planes, parallel to
// their faces, parts them by g: an OR of linear conditions on their places, here called
// a clause. So with a pose for every box and a plane for every clause the greatest spare
// is a linear program in the places and the spare; the whole problem is a choice of
// poses and planes (disjunctive programming, Balas, Annals of Discrete Mathematics 5
// (1979); relative placement, Korf, Moffitt & Pollack, Annals of Operations Research
// 179 (2010)).
//
// # Layouts
//
// Starts are built by setting boxes against what is there, in many orders and poses
// (construct.go), as grids with the turns mixed (grid.go), by cutting the opening up into a
// part for each box (slice.go), or by disturbing a layout found before, most often at the
// boxes that limit its spare; overlaps are pushed apart, large boxes first, by guided local
// search (separate.go, guard.go), in which a box moves on from where it is and from the best of
// many spots drawn at random, as in Gardeyn, Vanden Berghe & Wauters' work on nesting (2025, from
// memory), which asks for a little more than the best spare, keeps the frame out of
// the way of the tools over the posts, and does not let two boxes each stand before posts of
// the other (tools.go). Poses that the flat sides alone leave too little room for are not tried. Every
// start is improved (improve.go): the linear program of its own choice of planes, solved again
// with the planes that are best where it ends, then with other planes for the relations whose
// multipliers say that they limit, and, where many alike do, for one after the other, as long as
// that costs nothing (loosen.go); most of these programs ask for the tools' room as well. Once nothing
// better has been found for a while, a fourth of the starts, or most where there are many boxes, leave
// posts out at first: bare boxes are pushed apart, for up to a little more than the best such layout
// has (bare.go). Those with more to spare than the best answer are given their posts, and tools their
// room, in a tree of choices that learns from what does not go, as the proof does; at every branch
// the program has one plane more, or one box its posts (dress.go). What comes near the best answer
// with posts is given them anew in the same way.
// Layouts that do not go in, or whose posts no tool reaches, are no answers (enter.go): what
// is better than the best answer is asked whether it does, and where tools lack room, it is
// improved again with room for them. What is offered is settled and rounded (settle.go,
// pool.go).
//
// # Bounds
//
// Cheap ones come first (cheap.go, volume.go, scales.go, shares.go): each box alone
// between the flat sides; the volume of the boxes grown by half their gaps against that
// of the opening; sizes put through dual feasible functions (Fekete & Schepers,
// Mathematics of Operations Research 29 (2004); Clautiaux, Alves & Valério de Carvalho,
// Annals of Operations Research 179 (2010)). Then branching (proof.go, prove.go,
// node.go): a node holds sets of poses and some chosen planes; its program has the
// walls, the chosen planes and the symmetry cuts, each with what the convex hull of the
// poses of the set asks for (hull.go), or, in large problems, with the least that any of
// them does (relax.go). Its optimum is an upper bound for all layouts below it, because
// every one of them satisfies every row. Where the optimum breaks a clause the node
// branches on the planes of the clause, and where it breaks none it splits the poses of
// a box: which pose a box takes hardly matters as long as boxes lie in each other. A
// refutation names the decisions it rests on; what it did not use is not tried in
// another way (Prosser, Computational Intelligence 9 (1993)), and the same few decisions
// are not tried again elsewhere, by no worker (learn.go). As long as nothing is found that fits, a
// second tree goes depth first with a cutoff just below 0. Starts and rounds of the
// proof take turns, each for as much work, which is counted, not timed (effort.go).
//
// Puzzles of whole sizes in a bare chest, with nothing to spare, are what programs say
// least about; package lattice decides these (exact.go).
//
// # Why the bound is a bound
//
//   - Values of programs are not believed: SafeBound recomputes them from the
//     multipliers and the rows, rounding included (Neumaier & Shcherbina, Mathematical
//     Programming 99 (2004)).
//   - A layout, with weight 1 for the shape that each box is in, satisfies the rows of the
//     hull of the poses: at such weights a plane asks for what these shapes do.
//   - Against round solids the rows come from flat bodies inside of them (inner.go), for
//     layouts from flat bodies outside or the exact direction. They get more
//     points where a box touches them (refine.go), and are true down to a least spare
//     only; no bound is claimed below it.
//   - Boxes of one kind are ordered along an axis, and of a space that is its own mirror
//     image one half is searched: both leave one of every set of equal layouts.
//   - What could not be decided (depth, numerical trouble, a layout that does not go in where
//     others near it may, or a post of which no tool reaches)
//     keeps its bound, which stays in the result.
//   - Places at which it is certain that nothing goes in are left out (bar.go), others are
//     halved up to a limit. So the bound speaks of layouts that go in (Result.Entering); of
//     all of them as long as no answer is known, and of all that have less than nothing to
//     spare.
//
// # Written proofs
//
// Certify writes out a proof that nothing fits: a named bound (mix.go), for puzzles of whole
// sizes one by cells, or the tree of choices, gone through again at a spare just below 0
// (certify.go, record.go), with learnt nogoods as lemmas (lemma.go). Package certificate
// checks it without any of this package.
//
// # The same answer every time
//
// Work is cut into batches whose content depends on their number and on the results of
// the batches before; workers only share out a batch. So the number of cores does not
// change the result, only time does, where it ends the search.
package search
