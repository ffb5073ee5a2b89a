package search

import "rackwright/pack/search/proof"

// What was found by trying, on the problems of the benchmarks; TRIED.md says what else was tried.
const (
	// Starts.
	plainStarts        = 4     // are built without looking at what was found before
	startsPerBuilt     = 4     // of so many after these one is built
	startsPerSpareOnly = 8     // of so many one looks at the spare alone: room for tools is taken a little too large
	firstBatch         = 2     // starts in the first batch
	leastBatch         = 4     // in the next
	mostBatch          = 8     // after some 64, when there is less to build on
	mostParents        = 12    // layouts that starts build on: with fewer they soon make the same again, with more they build on what is too far from the best
	promisingPart      = 0.9   // of the best spare, which an arrangement has to have for other planes to be tried
	startsUntilBare    = 8     // without a better layout, after which some leave posts out at first
	bareAimPart        = 1.1   // of the best bare layout's spare: what bare boxes are pushed apart for at most
	redressingPart     = 0.97  // of the best spare, which a candidate has to have for its boxes to be given their posts anew
	leastDressingGain  = 1e-3  // mm, below which boxes are not given their posts
	askedAtOnce        = 2     // candidates asked for their entry at a time
	mostRefused        = 64    // of the last refused candidates are remembered
	lateEntries        = 50000 // looks at a box that what asks for ways in may still take once the search has to end: some hundred milliseconds' worth, enough for a dozen boxes

	// The proof's share.
	startsBeforeProof = 8                   // where none has found what fits yet
	fewBoxes          = 9                   // so few that the proof gets more from the beginning, where they have no posts
	startsUntilIdle   = 128                 // without a better layout, after which the proof gets more
	startsUntilStale  = 8 * startsUntilIdle // after which it gets that also at a standstill: some ten seconds of six boxes with posts
	proofFactor       = 4                   // times as much, then
	startsUntilEnd    = 192                 // without a better layout, after which the starts end where the proof is over
	stubbornFactor    = 20                  // times as many, while what fits is no answer
	fairFall          = 0.02                // part of its distance from the best by which a bound falls that does not stand still
	standShare        = 2                   // of the work of all else one part of so many goes into layouts that stand
	standingWork      = 2 * proof.PerRound  // after which a proof may be at a standstill
)
