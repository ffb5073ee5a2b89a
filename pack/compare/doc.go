// Package compare finds out which batteries of a catalogue go into a frame: every battery in every
// count that meets a wish is fitted, with boxes that are there in any case.
//
//	wish.go      what the pack is to have: volts, energy, mass, money
//	entries.go   batteries × counts that meet it
//	packfile.go  the pack file of one of them
//	fit.go       what comes of one: verdict, layout, written proof
//	derive.go    what rows of one battery tell of one another
//	run.go       all of them, cheapest proofs first, on several cores
//	shard.go     parts of the work for several machines
//	dominate.go  which are beaten by another in everything
//
// The work on each is counted, not timed, and each is done by one core: what comes of it depends on the
// files and the settings alone. So it does not matter where a run stopped and went on, or on how
// many machines.
package compare
