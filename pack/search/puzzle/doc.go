// Package puzzle decides exactly whether boxes whose sizes are whole multiples of some length go
// into a box-shaped opening, parallel to it, with nothing to spare: what linear programs say least
// about. Of translates a model where it is such a puzzle (translate.go); Solve knows no gaps, posts
// or millimetres.
//
// Pushing every box of a packing to one corner as far as it goes brings all of them to
// whole coordinates, so only those are tried (normal patterns, Herz, IBM Journal of
// Research and Development 16 (1972); Christofides & Whitlock, Operations Research 25
// (1977)).
//
// Over-built parts are not to grow here: three ways to decide are what the published puzzles of the
// tests need. solve.go chooses among them: colour.go by counting, flat.go for rectangles, cells.go
// for the rest as far as it is small.
package puzzle
