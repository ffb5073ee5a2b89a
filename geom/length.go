package geom

// Unit is a unit of length that files and answers are written in.
type Unit int

const (
	Millimetre Unit = iota
	Inch
)
