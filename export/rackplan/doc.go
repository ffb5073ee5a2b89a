// Package rackplan puts a rack into words, lists and drawings: the printed answer and JSON, the
// cut list laid out on bought lengths, the parts list, the order of building, and each bar at
// true size.
//
//	answer.go   what the rack holds, beside published levels; what is wrong with it; JSON
//	levels.go   the published levels
//	bars.go     bars that are cut and drilled alike, as one part with a count
//	cuts.go     bars laid out on bought lengths
//	plates.go   plates laid out on sheets
//	parts.go    the parts list
//	twins.go    parts that are mirror images
//	building.go the order of building
//	welding.go  welds in words, in the order of building and the parts list
//	clamps.go   two-piece clamps in words and lists
//	spots.go    where bars are welded to each other, in drawings and lists
//	torque.go   by how much bolts are tightened
//	off.go      what of the frame is in the way of building
//	connect.go  connections among the steps of building
//	sheet.go    drawings of bars
//	pages.go    all of them on sheets of paper
//	removal.go  rails that come off for good, and what may go there instead
//	facing.go   which way round each bar lies
//	plan.go     all of it as files
package rackplan
