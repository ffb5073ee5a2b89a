// Package certificate checks proofs that no layout of a problem fits. It is small on
// purpose and shares nothing with the search that makes the proofs: it reads the numbers
// of the frame and the pack, makes its own solids, and reckons in rational numbers
// without rounding. Who trusts this package need not trust the search.
//
// # The claim
//
// A proof says that no layout of the allowed stands, turns and tilts has a spare of 0 or
// more. Sizes, sides and widths count as the files have them; pieces outside of an outline
// that is not convex and keep-outs as frame.Obstacles makes them, which defines the
// spare. Where a length has a root in it (a gap along a slanted side) the next lower
// rational number with 64 binary places stands for it. The sine and the cosine of a tilt
// are enclosed between two rational numbers (tilt.go), and so is all that is reckoned with
// them (enclosure.go): of a length the end counts that asks for less, and n·p ≥ d with a
// direction n that is not rational becomes m·p ≥ d − e with a rational one near by, where e
// is what |n − m| can make of a point inside the bounds. What a pose asks of an inequality is
// rounded down to whole multiples of 2⁻⁶⁴ mm (fact.go). All of this asks less of a layout
// than the judge does, so what is proven here is true of the judge's spare. A tilt is that
// of the file: the judge takes one within 10⁻⁹ radians of it as well, of which nothing is
// said here.
//
// # The proof
//
// A named bound (bounds.go, cells.go), or a tree of choices (tree.go) with lemmas (lemma.go).
// A node of the tree says "one of these must hold in every layout" and has a branch for each:
// the directions in which two bodies may lie apart, or sets of ways to turn a box. A leaf adds
// up inequalities that hold on the way to it, each times a number > 0, such that what results
// cannot be (Farkas' lemma): the sum is n·c ≥ d over the centres c of the boxes, and n·c < d
// for all centres inside the bounds of the opening. What an inequality asks for is the sum of
// what the pose of each of its boxes does. So d has, for each box, the least over the poses
// that it can have of what all inequalities together ask of one (sum.go).
//
// A lemma says that no layout has all of some facts: directions in which bodies lie apart, and
// sets of ways to turn boxes. It has a tree that begins with these facts and no others. A node
// at which they hold may name it and then has no branches. The facts are of the layout, not of
// the tree, so it does not matter in what order they were chosen. A lemma may name those before
// it, and so no lemma rests on itself.
//
// # The file
//
// JSON, one object; see Proof. Faces, boxes, parts and so on are named by numbers from 0:
//
//   - box: in the order of the pack file, every one of a kind;
//   - part: 0 the case, then the posts;
//   - wall: the sides of the hull of the outline, counter-clockwise from its leftmost
//     corner (the lower of two), then those of the hull of the front view, without floor
//     and top;
//   - solid: what is not a wall of frame.Obstacles, in its order;
//   - pose: see addKind; ways to turn a box that fill the same space are one pose;
//   - direction: see ways of a solid and waysApart: +y, −y, then the other faces of the
//     solid, then, for each tilt that a box can still have at the node, in the order in
//     which the pack file first has them: forward, back, up and down of the box, and what
//     is square to an edge of the body in a round solid and to one of these.
//
// The direction of a fact of a lemma is counted with all poses of its boxes.
//
// A branch of a turn that contradicts a choice on the way, since no pose that is left has
// the direction, is not looked at, and empty in the file.
package certificate
