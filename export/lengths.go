package export

import "rackwright/geom"

// InchRounding says how lengths in inches are rounded.
const InchRounding = "In sixteenths of an inch: what is to spare and clearances rounded down, gaps up, places to the nearest."

// AtMost writes a length that is not to be overstated: what there is.
func AtMost(mm float64, u geom.Unit) string {
	return geom.FormatLengthRounded(mm, u, geom.ToLess)
}

// AtLeast writes a length that is not to be understated: what there has to be, or what is
// missing.
func AtLeast(mm float64, u geom.Unit) string {
	return geom.FormatLengthRounded(mm, u, geom.ToMore)
}

// Clearance writes a gap that is measured, never more than there is, or how far two parts
// overlap, never less.
func Clearance(mm float64, u geom.Unit) string {
	if mm < 0 {
		return AtLeast(-mm, u) + " overlap"
	}
	return AtMost(mm, u)
}
