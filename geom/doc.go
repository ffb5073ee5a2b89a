// Package geom is the plane and solid geometry of fit: convex solids and the
// distances between them, simple polygons, and lengths and masses with units.
// It knows nothing of batteries or frames.
//
// Lengths are millimetres, angles s1.Angle, masses kilograms. The axes are those
// of ISO 8855: x forward, y left, z up.
//
// # Two measures
//
// Between two flat-faced solids the package measures two things. The sheet gap is
// the thickness of the thickest flat sheet, parallel to a face of one of them, that
// separates them: the greatest, over the face normals of both, of the gap between
// their projections. The shortest distance is the usual one. The sheet gap never
// exceeds the shortest distance. Where one of the solids is round, a tube or a
// cylinder, the sheet gap is the shortest distance.
//
// Both are signed: solids that overlap have a negative measure, the smallest
// displacement (along a face normal, or in any direction) that brings them to touch.
//
// A sheet parallel to a face lies on the outer side of that face. The measures never
// depend on an algorithm: the shortest distance is the greatest gap between the
// projections on any direction, so a direction that attains it is a certificate, and
// the tests ask for it.
//
// # A kind of solid is one file
//
// What the package has to know of a kind are its methods, those of Solid and of Shape, in the file of
// its name; measures, movements, pictures and blocks ask for these and for nothing else. Who draws or
// bounds something round asks for its Bar. Beside that two places know kinds by their type, for speed
// alone: the normals of a sheet (sheet.go) and the distance of level boxes (box.go); and two for what
// cannot be told otherwise: a half-space has no points to measure from, and a cylinder no flat core
// (measure.go).
//
// # What rounding may do
//
// Coordinates reach 16 m. Products are rounded before they are added, which Go leaves to the compiler
// otherwise, so that every processor gets the same bits. Nothing is snapped: Tolerance (solid.go) is
// where a length counts as nothing, and each smaller number has its reason beside it.
//
// # Files
//
//	bar.go        Bar: what is round, whichever kind it is
//	solid.go      the Solid interface; GapAlong
//	sheet.go      SheetGap and the normals it is taken over
//	measure.go    Distance and Nearest: which solids are measured how
//	surface.go    Shape: what each kind of solid tells besides, with its faces and hull
//	box.go        Box, an oriented box
//	prism.go      Prism, a convex outline swept along the x or y axis
//	tube.go       Tube, a round bar with round ends
//	cylinder.go   Cylinder, a round bar with flat ends
//	halfspace.go  HalfSpace
//	polyhedron.go Polyhedron: flat faces any way, and cutting it
//	vector.go     unit vectors
//	around.go     blocks and regular polygons around bodies
//	polytope.go   corners, edges and faces of flat bodies
//	flat.go       distance of flat bodies and tubes
//	roundgap.go   distance of a cylinder from those
//	smooth.go     distance of two cylinders, or of solids of other packages
//	polygon.go    Polygon: orientation, containment, offset
//	simple.go     what makes corners a polygon; hull
//	cut.go        HalfPlane: clipping convex polygons; slivers
//	convex.go     cutting a polygon, and what lies outside one, into convex pieces
//	length.go     lengths with units, feet and fractions of an inch; masses
package geom
