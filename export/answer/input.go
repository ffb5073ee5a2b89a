// Package answer puts the result of a search, or the judgement of a layout, into the
// words and numbers that a builder can act on.
package answer

import (
	"rackwright/pack"
	"rackwright/pack/limit"
	"rackwright/pack/outcome"
	"rackwright/pack/whatif"
)

// Input is what there is to tell.
type Input struct {
	Problem pack.Problem
	Result  outcome.Result
	Written []string // paths of the files that were written
	Unmade  bool     // there was no time to make all files
	Stale   []string // paths of files beside them that an earlier run wrote
	// What else is known; nil where it was not asked for.
	Limit    *limit.Analysis  // of the first layout
	Eased    *whatif.Eased    // where what fits cannot be put in and connected
	Conceded *whatif.Conceded // where nothing fits
	Changes  []whatif.Change  // of the pack
	Rack     *RackRoom        // kept for a rack
}

// RackRoom is the room that a search kept for a rack, in mm.
type RackRoom struct {
	Beside, Ends, Under, Over float64
	Built                     bool    // a rack is found for a layout
	Lack                      float64 // of it, in the nearest layout; 0 where all is kept
	Proven                    bool    // that no layout keeps it

	// Where no rack is found: what lacks for the boxes in rows that come nearest, or what is in the
	// way of the rack that does, in words.
	Rows  string // "5 boxes on one level"
	Wants []RackWant
	Why   []string
}

// RackWant is room that lacks for a rack: in mm, at something, which a key of a file says.
type RackWant struct {
	At    string
	Short float64
	Key   string
}
