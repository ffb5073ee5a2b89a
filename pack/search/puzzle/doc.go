// Package puzzle decides exactly whether boxes whose sizes are whole multiples of some length go
// into a box-shaped opening, parallel to it, with nothing to spare: what linear programs say least
// about. Of translates a model where it is such a puzzle (translate.go); Solve knows no gaps, posts
// or millimetres.
//
// Pushing every box of a packing to one corner as far as it goes brings all of them to
// whole coordinates, so only those are tried (normal patterns, Herz, IBM Journal of
// Research and Development 16 (1972); Christofides & Whitlock, Operations Research 25
// (1977)).
package puzzle
