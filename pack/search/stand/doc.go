// Package stand looks for layouts that can be built: every box stands on a level, the plane of
// a tray, or on boxes that carry it. For one, two, three and four levels it looks for the greatest
// spare; what is easiest to build, lowest and best balanced it chooses among what it finds.
//
// A stance says on which level each box stands, which way, and where in its plane; levels have
// heights (staging.go). A start draws a stance, disturbs one found before, splits a level of one with
// fewer, or merges the heights of a layout that hangs (change.go). It is cooled by simulated annealing on
// the sum of the squares of what relations lack (anneal.go), and its spare raised by linear programs
// with one height for each level, as other layouts' is, with other planes for the relations that
// limit (program.go). A box on another has a height of its own, and ties to that (ties.go).
//
// What keeps the reserve has its air gathered by programs that ask for one thing after the other and
// keep what was reached (gather.go). The reserve that makes a layout sure is asked of a second
// model, with everything at its worst, in which boxes have the same places. choose.go measures how easy
// layouts are to build.
//
// Tried before: pushing the boxes of the layout with the most to spare down at the end leaves most of
// them at heights of their own. Annealing finds what the examples have within some hundred starts of
// some hundredths of a second each.
//
// What stands is judged by pack.StandingOf, which shares nothing with this package: carriers, trays
// and their room are worked out there anew. To change what standing means, change the judge first.
//
// Files: search.go the batches and the shelves; staging.go stances, planes, ways; draw.go and
// change.go how stances are made; anneal.go and lack.go cooling; program.go and ties.go linear
// programs; gather.go what is done to a layout before it is offered; choose.go and bearers.go which
// that is; tuned.go numbers.
package stand
