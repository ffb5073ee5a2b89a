// Package improve raises the spare of an arrangement, and settles what the spare leaves open.
//
// An Improver solves the linear program of its own choice of planes, again with the planes that are
// best where it ends (improve.go), then with other planes for the relations whose multipliers say
// that they limit, and, where many alike do, for one after the other, as long as that costs nothing
// (loosen.go). Most of these programs ask for the tools' room as well (reach.go).
//
// Dress gives bare boxes their posts in a tree of choices that learns from what does not go; at
// every branch the program has one plane more, or one box its posts (dress.go).
//
// Settle moves boxes to where a builder prefers them, and Rounded to round numbers, as far as that
// costs no spare (settle.go, prefer.go, round.go).
//
// Everything here moves boxes by linear programs, and only to places where the spare, measured
// exactly (model.SharpLeft), is no less than it was. A program knows the relations that were within
// reach of limiting when it was made; what its answer breaks is added and it is solved again
// (finish). So a program is small, and its answer still holds for all relations.
//
// Which plane stands for a relation decides what a program can reach: see model. Choosing them well
// is all that distinguishes the parts of this package.
//
// Work is counted, and once the search has to end only a little more may be done (halt), so that
// Ctrl-C is answered with what there is.
package improve
