// Package entry tells how the boxes of a layout go into the frame, one after the
// other, how they come out again, and whether a tool reaches each post. A layout that
// cannot be put in is no answer, however well it fits.
//
// # Moves
//
// A box keeps its stand. It moves in up to three straight legs, along the axes of
// the vehicle and, when it is tilted, along its own. Its posts move with it. On the
// way it keeps Gaps.Entry of air to all that stands there, or its clearance in place
// if that is less: a box that touches a wall may slide along it. Clearances are those
// of pack.Check: sheet gaps, and shortest distances to round tubes and bars. Slanted
// faces may be nearer by geom.Tolerance through rounding.
//
// # What bounds the way
//
// Rails, keep-outs and the boxes that are in, with their posts, bound it, and the
// closed sides of the opening. A side that is listed under open is not there. A closed
// one is a flat plate on its line in the outline, from corner to corner and across the
// width: the file says no more of it, and a body that moves cannot jump over a plate.
// What is behind a side, such as the tube itself, counts when it is drawn as a rail or
// a keep-out. Where the width changes with height, the plate is as wide as the opening
// at the wider end of pieces along which the width changes by up to 2.5 mm. The limits
// of the width bound no way: beyond the width the opening is open unless something
// stands there. A box is out when it is beyond the opening and nothing is met however
// much further it goes.
//
// # Order
//
// The way in is the way out backwards, so the layout is taken apart. With fixed
// straight moves a box that can leave can still leave when others have left, so it
// does not matter which goes first: taking out whatever can go finds an order when
// there is one, and what is left otherwise is the proof that there is none
// (R. H. Wilson & J.-C. Latombe, Geometric reasoning about mechanical assembly,
// Artificial Intelligence 71 (1994) 371–396). The proof is about the air asked for:
// to round solids it may ask up to ways.Fineness more.
//
// That a post must be connected before another box closes the room for the tool is
// of the same kind, one box before another, and orders that respect it come first.
// Among orders, that one is taken in which most boxes come from one side. What a box
// stands on goes in before it if that can be; otherwise low boxes go in before high
// ones, and of equally low ones the heavy before the light.
//
// Rails that unbolt and keep-outs that lift off stand in place first. The fewest of
// them come off with which there is an order: by trying all subsets of up to twelve
// things, of more by leaving out one after the other; and each step is told with the
// fewest of these off that it needs itself.
//
// # Files
//
//	entry.go    the questions and answers: Plan, GoesIn, Order, Stuck, Reach
//	scene.go    a layout and all that stands around it, numbered
//	walls.go    the closed sides of the opening as plates
//	planner.go  taking apart; what holds what
//	plan.go     the choice among orders, and what is off
//	subset.go   the smallest subset that is enough
//	tool.go     Reaches: room for a spanner at each post
//	hidden.go   posts that no layout lets a tool reach
//	undo.go     what has to come out to reach one box
//	barred.go   whether nothing near a layout goes in either
//	verify.go   the check of a given order, apart from the search
//	words.go    an order in words
//
// The geometry of one moving body is in package ways.
package entry
