// Package whatif searches again with something changed: rails that come off, keep-outs
// that are notched (concession.go, made.go; notch.go, cutter.go, stock.go, depth.go), one
// box fewer, gaps at their floor, another stand or tilt (change.go), and everything at its
// worst (sure.go).
//
// # Concessions
//
// The builder says in the frame file what may change: rails that unbolt, keep-outs that
// may be trimmed. Every set of such things that could matter is searched, from the least
// to the most. A set is left out when a part of it fits already, or when a set that
// contains it is proven not to fit: more room never hurts.
//
// A keep-out that may be trimmed by d is searched as its core: what of it is d or more
// from its surface (frame.KeepOut.Core). A layout that keeps clear of the core needs a
// notch no deeper than d, for every point of the notch lies outside of the core. The notch
// is then made for the layout: what of the keep-out is nearer to a box than the required
// gap. The judge looks at the layout once more, with the keep-out as it is after the cut, in
// convex pieces: outlines of the side view swept across or, of a slanted drum, polyhedra.
//
// Depths are held against the builder's wish, never past it: 0.02 mm of a trim are kept
// for rounding; a round keep-out counts as flat sides around it, up to 0.1 mm outside of
// it, so that as much less of the drum is cut (frame.RoundError); and beside a corner that
// points inward the core is up to 2 % of d too large. That even all concessions do not
// help is proven for trims less by that much.
//
// # What is never tried
//
// The gaps of posts are never lowered, no battery is turned upside down, and no rail
// comes off that is the last of a frame with several.
package whatif
