// Package inspection makes one sheet to take to whoever inspects the vehicle: what is known of
// masses, loads on the wheels, how the pack is held and its electricity, with blanks for the
// rest, and lists of labels, photographs and questions. It only tells figures that other commands
// tell as well; what they mean for the vehicle is for local rules and the inspector.
//
//	sheet.go    what is on the sheet, by sections
//	lists.go    labels, photographs and questions
//	covering.go what is in the way of who reads the frame number; how wide it all is
//	pages.go    the sheet on paper
package inspection
