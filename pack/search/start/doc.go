// Package start makes arrangements to begin with.
//
// They are built by setting boxes against what is there, in many orders and poses (construct.go),
// as grids with the turns mixed (grid.go), by cutting the opening up into a part for each box
// (slice.go), or by disturbing one found before, most often at the boxes that limit its spare.
//
// Overlaps are pushed apart, large boxes first, by guided local search (separate.go, guard.go): a
// box moves on from where it is and from the best of many spots drawn at random, as in Gardeyn,
// Vanden Berghe & Wauters' work on nesting (2025, from memory). Separation asks for a little more
// than the best spare. It keeps the frame out of the way of the tools over the posts, and does not
// let two boxes each stand before posts of the other. Poses that the flat sides alone leave too
// little room for are not tried.
//
// What leaves this package is never a layout: it is where improve begins, and may still overlap. So
// nothing here has to be right, only useful; that is why exactness is traded for speed in it, and
// why the judge is not asked.
//
// Random numbers come from the caller, one source for each start, so that starts can be made in any
// order by any number of workers with the same result.
//
// To change how boxes are separated, see separate.go for the moves, lack.go for what they cost,
// guard.go for how that is found quickly, and tuned.go for how long it goes on.
package start
