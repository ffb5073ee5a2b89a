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
// Why so: a layout is the best of millions of arrangements, so each mistake in a measure is found
// and used. Choosing one plane for every clause leaves a program whose answer is exact; what is
// hard, and what start, improve and proof divide among them, is the choice. Such problems are
// called disjunctive (E. Balas, Disjunctive Programming, Annals of Discrete Mathematics 5 (1979)
// 3–51); the planes of two boxes are the no-fit polyhedra of the cutting and packing literature.
//
// Files: pose.go and poses.go what stands how; clause.go and sharp.go planes; pairing.go what two
// poses ask of each other; model.go the tables; relation.go names for what they hold; restrict.go
// pins and ranges; tools.go room for spanners; bare.go the model without posts; moving.go what is
// swept; alone.go bounds for one box; mirror.go images; limit.go and effort.go what all of that may
// cost.
// The package shares nothing with the judge but the shapes of geom: it has its own orientations,
// its own bars around posts and its own measure.
package model
