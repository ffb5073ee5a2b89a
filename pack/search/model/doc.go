// Package model is a problem in the search's own terms, made once and then only read.
//
// A pose is one orientation of a kind of box. For two convex solids whose orientations are known,
// "at least g apart" means that one of finitely many planes, parallel to their faces, parts them
// by g: an OR of linear conditions on their places, here called a clause (Clause, of Planes). So
// with a pose for every box and a plane for every clause the greatest spare is a linear program
// in the places and the spare.
//
// A Spot is a pose and a place, an arrangement is a Spot for every box, in the order of Boxes.
// A Relation names a clause, and a Side is a Relation with the plane chosen for it: a row of
// such a program. Lengths are in millimetres, in the vehicle's axes.
//
// The package shares nothing with the judge but the shapes of geom: it has its own orientations,
// its own bars around posts and its own measure.
package model
