// Package certificate checks proofs that no layout of a problem fits. It is small on
// purpose and shares nothing with the search that makes the proofs: it reads the numbers
// of the frame and the pack, makes its own solids, and reckons in rational numbers
// without rounding. Who trusts this package need not trust the search.
//
// # The claim
//
// A proof says that no layout of the allowed stands and turns has a spare of 0 or more.
// Sizes, sides and widths count as the files have them; pieces outside of an outline
// that is not convex and keep-outs as frame.Obstacles makes them, which defines the
// spare. Where a length has a root in it (a gap along a slanted side) the next lower
// rational number with 64 binary places stands for it. All of this asks less of a layout
// than the judge does, so what is proven here is true of the judge's spare.
//
// # The proof
//
// A named bound (bounds.go) or a tree of choices (tree.go). A node of the tree says "one
// of these must hold in every layout" and has a branch for each: the directions in which
// two bodies may lie apart, or sets of ways to turn a box. A leaf adds up inequalities
// that hold on the way to it, each times a number ≥ 0, such that what results cannot be
// (Farkas' lemma): the sum is n·c ≥ d over the centres c of the boxes, and n·c < d for
// all centres inside the bounds of the opening.
//
// # The file
//
// JSON, one object; see Proof. Faces, boxes, parts and so on are named by numbers from 0:
//
//   - box: in the order of the pack file, every one of a kind;
//   - part: 0 the case, then the posts;
//   - wall: the sides of the hull of the outline, counter-clockwise from its leftmost
//     corner (the lower of two), then those of the hull of the front view;
//   - solid: what is not a wall of frame.Obstacles, in its order;
//   - pose: see kindOf; ways to turn a box that fill the same space are one pose;
//   - direction: +x, −x, +y, −y, +z, −z, then the slanted faces of the solid.
package certificate
