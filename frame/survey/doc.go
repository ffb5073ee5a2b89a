// Package survey turns distances taped between marks into places of the marks, says how far
// each may be off, and finds measurements that cannot be right.
//
// Marks lie in the side view (x forward, z up), each at a known offset y from the middle
// plane. Least squares over all measurements, weighted by their standard deviations, gives
// the places (Adjust). What a measurement is checked by is its redundancy number, between 0
// (nothing would show a mistake in it) and 1; data snooping (Snoop) compares what is left
// over with that, after W. Baarda, A Testing Procedure for Use in Geodetic Networks, Delft
// 1968 (from memory), as told by P. J. G. Teunissen, Testing Theory, Delft 2000 (from memory).
// Networks of textbooks with published answers are its tests.
//
//	network.go   Network, its marks, measurements and datum
//	row.go       what a measurement should be for given places, and how it changes with them
//	datum.go     what holds the network in place, and which movements no measurement sees
//	descend.go   least squares by damped steps, from a start that may be far away
//	start.go     starts, made from the distances alone
//	mirror.go    parts of a network that distances allow on either side of two marks
//	choose.go    the right one of several networks with the same distances
//	adjust.go    the adjustment, by singular values
//	ellipse.go   standard deviations of a place
//	snoop.go     measurements that are wrong
//	advise.go    which distance more would check or tell something
//	plan.go      which distances to take, fewest for every one to be checked
//	fault.go     what is wrong with a network
//
// Lengths are millimetres and angles radians, but nothing depends on that. The package knows
// nothing of frames. Its long tests run with RACKWRIGHT_SURVEY=all.
package survey
