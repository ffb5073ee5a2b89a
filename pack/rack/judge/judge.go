// Package judge says what is wrong with a rack, by seven rules, each violation with the parts
// concerned and the millimetres or newtons. It shares only shapes with the designer.
//
//	judge.go    the rules, violations, and the order in which they are looked at
//	scene.go    the rack, boxes and frame as solids with names
//	tied.go     1 frame untouched: ties end at mounts, with their bolt
//	clamps.go   1 clamps sit on rails that may carry them, and come onto these
//	carried.go  2 carried: every box stands with its middle inside what carries it
//	held.go     3 held: no box can move more than foam gives
//	hangs.go    3 that what hangs on the rack is bolted to it
//	posts.go    4 posts: metal stays away from live posts, nothing over them
//	room.go     5 room: nothing meets what it is not joined to; joints
//	welds.go    welded bars: fillets of rule 7, and that they come as one
//	reach.go    4 that a tool reaches every post, and when
//	order.go    6 can be put together: an order of straight moves exists
//	holds.go    7 holds: see package loads
package judge

import (
	"cmp"
	"fmt"
	"slices"

	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/loads"
)

// Rule names a rule that a rack can break.
type Rule int

// The rules.
const (
	FrameUntouched Rule = iota + 1
	Carried
	Held
	Posts
	Room
	Assembly
	Holds
)

var ruleNames = [...]string{"", "frame untouched", "carried", "held", "posts", "room", "can be put together", "holds"}

// String is the rule's name.
func (r Rule) String() string {
	if r < 1 || int(r) >= len(ruleNames) {
		return fmt.Sprintf("rule %d", int(r))
	}
	return ruleNames[r]
}

// Violation is a rule broken.
type Violation struct {
	Rule  Rule
	Parts []string
	By    float64 // how much is lacking, in Unit
	Unit  string  // "mm", "g", or empty where it is not a matter of more or less
	Text  string  // what is wrong and what to do
}

// Report is what is said of a rack.
type Report struct {
	Violations []Violation  // by rule, the worst of each first
	Order      []Step       // how it is put together, first to last; empty where it cannot be
	Reach      []Reach      // when each post is connected, in the order of the layout
	Loads      loads.Report // what it holds; zero when it was not asked for, or cannot be told
}

// Sound tells whether no rule is broken.
func (r Report) Sound() bool { return len(r.Violations) == 0 }

// Settings steer what is asked. The zero value leaves out nothing.
type Settings struct {
	Hold    float64 // g in all six directions; 0: what the first two published rules ask
	NoLoads bool    // leaves out rule 7 beyond its joints
	Briefly bool    // leaves out the order of building where another rule is broken
}

// Judge judges a rack in a layout.
func Judge(p pack.Problem, l pack.Layout, r *rack.Rack, s Settings) (Report, error) {
	j, err := newScene(p, l, r)
	if err != nil {
		return Report{}, err
	}
	j.tied()
	j.clamps()
	j.carried()
	j.held()
	j.hangs()
	j.room()
	j.joints()
	j.welds()
	j.posts()
	var out Report
	if !s.Briefly || len(j.found) == 0 {
		out.Order = j.order()
		out.Reach = j.reaches(out.Order)
	}
	for i := range out.Order {
		for k, leg := range out.Order[i].Legs {
			out.Order[i].Legs[k] = j.along.InVehicle(leg)
		}
	}
	if !s.NoLoads && len(j.found) == 0 {
		out.Loads = j.holds(p, l, r, s)
	}
	slices.SortStableFunc(j.found, func(a, b Violation) int {
		return cmp.Or(cmp.Compare(a.Rule, b.Rule), cmp.Compare(b.By, a.By))
	})
	out.Violations = j.found
	return out, nil
}

func (j *scene) say(rule Rule, by float64, unit string, parts []string, format string, args ...any) {
	j.found = append(j.found, Violation{rule, parts, by, unit, fmt.Sprintf(format, args...)})
}
