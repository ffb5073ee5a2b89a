// Package ways finds how one rigid body can leave its place among standing solids by
// a few straight moves, without turning. It knows no battery and no frame.
//
// # Measure
//
// A body must not come nearer to a solid than the air asked for, or than it is at
// the start if that is less: so a body that touches a wall may slide along it, and
// may not press into it. The clearance is that of the judge: the sheet gap between
// flat-faced solids, the shortest distance to round ones. It is watched for each pair
// of solids by itself.
//
// # Algorithm
//
// With its orientation fixed, a body is described by its displacement d. Its sheet
// gap to a solid is the greatest of g(n) − n·d over the face normals n, so the
// displacements that are too near are an open convex set, n·d > g(n) − air for all n:
// a barrier. (For a round solid n runs over all directions. A few are taken, and more
// are cut where the set is met, until it is right to Fineness; it is never too small.)
// A leg is free when its segment misses all barriers, and a body is out when a ray
// does. Which displacements have a ray that meets a barrier is again a convex set:
// the ray's length eliminated from the inequalities.
//
// One leg: the start must be in no such set. Two legs: the sets leave windows on the
// line of the first leg; they are found by passing from set to set. Three legs: the
// stops are a plane, on which barriers are convex polygons. At one length s of the
// first leg the second is blocked all along when a chain of sets covers it, each
// overlapping the next. Two convex sets that overlap at s do so up to one greatest s,
// so the chain holds until its first pair parts there; then the next chain is looked
// for. The search visits each s where something can change, in rising order, and
// misses no stop: it is complete for up to three legs along the given directions.
// (Configuration space: T. Lozano-Pérez, Spatial planning: a configuration space
// approach, IEEE Transactions on Computers 32 (1983) 108–120.)
//
// # Files
//
//	mover.go    Mover and Way: what is asked and answered, and remembered
//	finder.go   ways of one and two legs
//	plane.go    ways of three legs
//	settle.go   stops that hands can find; the length of the last leg
//	barrier.go  the displacements at which a body is too near to a solid
//	group.go    the barriers of one owner together
//	near.go     the same for all places near one
//	half.go     half-spaces of displacements, and lines through them
//	set.go      sets of owners
package ways
