// Package wiring draws the plan of a pack's wiring on a sheet to take to the garage: where each
// cable lies, which cables to cut, and in which order connections are made.
//
//	sheet.go  the sheet: heading, pictures, table, words
//	views.go  boxes, posts and cables from the right and from the top
//	flow.go   words in two columns, over as many pages as they take
package wiring
