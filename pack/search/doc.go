// Package search looks for the layouts of a problem with the greatest spare, and for an
// upper bound on the spare of any layout. Fit is the one way in.
//
// # The way of a problem
//
// Fit makes a model of the problem (package model) and asks what can be seen without a search
// (bound). Then starts and proof take turns: each start builds, slices or disturbs an arrangement
// and pushes its boxes apart (start), and is improved (improve); the proof branches until nothing
// better can be (proof). Puzzles of whole sizes are decided exactly (puzzle). Each of these
// packages knows only those below it, and the run alone knows all of them: it keeps the pools of
// layouts (pool.go), asks whether they go in (enter.go), shares the work between starts and
// proof (run.go, proving.go), and settles what is offered.
//
// # Starts
//
// Once nothing better has been found for a while, a fourth of the starts, or most where there are
// many boxes, leave posts out at first: bare boxes are pushed apart, for up to a little more than
// the best such layout has (undress.go). Those with more to spare than the best answer are given
// their posts, and tools their room. What comes near the best answer with posts is given them anew
// in the same way.
//
// Layouts that do not go in, or whose posts no tool reaches, are no answers: what is better than
// the best answer is asked whether it does, and where tools lack room, it is improved again with
// room for them.
//
// # Bound
//
// As long as nothing is found that fits, a second tree goes depth first with a cutoff just below 0.
// The bound speaks of layouts that go in (Result.Entering); of all of them as long as no answer is
// known, and of all that have less than nothing to spare.
//
// # The same answer every time
//
// Work is counted, not timed. It is cut into batches whose content depends on their number and on
// the results of the batches before; workers only share out a batch. So the number of cores does
// not change the result, only time does, where it ends the search.
//
// # What may be relied on
//
// A layout that Fit returns has been looked at by pack.Check, which shares no code with the search,
// and its spare is the judge's to a micrometre; where the two differ Fit returns an error and no
// layout. A bound holds for all layouts of which the result says so, rounding included (see package
// proof). Neither depends on how well the search went: a poor search gives a lesser spare and a
// greater bound, never a wrong one.
//
// # Where to look
//
// enter.go what is an answer; pool.go which layouts are kept and which are called alike; starts.go
// and undress.go what a start does; run.go the schedule; proving.go the rounds of the proof;
// standing.go layouts on levels; puzzles.go whole sizes; tuned.go numbers, and TRIED.md what was
// tried.
package search
