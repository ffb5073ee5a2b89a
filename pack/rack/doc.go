// Package rack holds what boxes stand in and are held by: bars, bolts and rods, pads. It has
// the values, the file that they are written to, the stock that they are cut from, and their
// solids. It knows no rule and makes no choice: package judge has the rules, package design
// makes racks, package loads says what they hold.
//
//	section.go   profiles of bars: sizes and what bending takes
//	thread.go    bolts, nuts, washers: sizes and strength
//	rack.go      the rack and its parts
//	clamp.go     two-piece clamps on rails, and what they hold by friction
//	weld.go      fillets between bars of a tray, and what they carry
//	solids.go    the parts as geom's solids
//	holes.go     where fasteners go through bars
//	file.go      the rack file
//	stock.go     what is on hand
//	mounts.go    which mounts of a frame a rack can be tied to
package rack
