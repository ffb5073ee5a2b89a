// Package wire plans how the batteries of a layout are joined: in which order, by which posts,
// with how long and how thick a cable along which way, where the fuse, the switch and a break
// in the middle go, and in which order connections are made.
//
//	plan.go     what a plan is, and how it is made
//	terminal.go posts as ends of cables
//	lane.go     how long a cable between two batteries is, found out when it matters
//	order.go    the order with the least cable, strings.go with strings in parallel
//	electric.go current, drop, heat, fuse, break
//	steps.go    the order of making connections, boots, lugs
//
// Values of cables and fuses are those of package cable; package route finds the ways.
package wire
