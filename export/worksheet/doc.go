// Package worksheet draws what belongs to measuring with a tape: a sheet to take to the
// vehicle, with a sketch and blanks to write into, and a picture of what came of it, with an
// ellipse around each mark for how far it may be off.
package worksheet
