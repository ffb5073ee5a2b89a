// Package limit says what limits a layout: the chain of sizes and gaps that the spare
// hangs on, and what a millimetre of each measured thing does to it.
//
// # The program
//
// Every relation of the layout keeps the sheet that leaves it the most. Then the spare
// is the optimum of a linear program in the places of the boxes (program.go):
//
//	maximise s  with  s ≤ left(r) + u(r)·(move of B − move of A)  for every relation r,
//
// where left(r) is what relation r leaves now and u(r) the normal of its sheet, from A
// to B. Against round solids u(r) is the direction of the shortest line, along which the
// distance changes first. The package makes this program by itself from geom's
// projections. Only the solver is the search's; what it says is compared with the judge.
//
// # The multipliers
//
// The multipliers of an optimum are not negative and their sum is 1. Weighted with
// them, the normals at every box cancel: the relations that have one press on each
// other as props and struts do, and they are what limits the spare (chain.go). By how
// much the optimum changes with a measured thing t is the weighted sum of the changes
// of left(r) with the places as they are (the envelope theorem; Fiacco, Introduction to
// Sensitivity and Stability Analysis in Nonlinear Programming, 1983, from memory).
//
// Where several sets of multipliers are optimal the rate is not the same both ways: with
// t growing it is the least that any of them gives, with t falling the greatest, for the
// optimum is a concave function of the right sides (oneside.go).
//
// Rates hold near the layout as it is. Far from it another chain may limit.
package limit
