package wire

import (
	"cmp"
	"fmt"
	"slices"

	"rackwright/pack"
)

// Boot covers a live post.
type Boot struct {
	Post     pack.Part
	Polarity string // "+" red, "-" black, as the trade colours them; empty where it is not known
	Unused   bool   // nothing is joined to it
}

// Lug is how many lugs of a kind there are.
type Lug struct {
	Bolt  string // such as M8, empty where the pack file does not say
	Count int
}

// finish lists boots and lugs, and what else the builder has to know.
func (m *maker) finish() {
	m.boots()
	m.lugs()
	p := &m.plan
	for _, j := range p.Cables() {
		if j.Sharp() {
			p.Notes = append(p.Notes, fmt.Sprintf("%s to %s: there is room for a bend of %.0f mm, and this cable wants %.0f. Use two thinner cables side by side, or a flat braid with a sleeve.", j.From, j.To, j.Path.Bend, j.Least))
		}
	}
	if p.Wiring.Parallel*p.Wiring.Strings > 1 {
		p.Notes = append(p.Notes, "Charge all batteries alike, to within 0.1 V of each other, before any are joined in parallel (practice): else one pushes a large current into the next.")
	}
	if w := p.Wiring; w.FuseVolts > 0 && w.FuseVolts < p.EndVolts {
		p.Notes = append(p.Notes, fmt.Sprintf("The fuse at hand is made for %g V DC, and the pack has %.1f V: it cannot break the arc. Get one for at least that.", w.FuseVolts, p.EndVolts))
	}
}

func (m *maker) boots() {
	used := map[pack.Part]bool{}
	for _, j := range m.plan.Cables() {
		used[j.From], used[j.To] = true, true
	}
	for _, part := range slices.Concat(m.plan.Plus, m.plan.Minus) {
		used[part] = true
	}
	for _, at := range m.layout.Placements {
		kind, _ := m.problem.Kind(at.Box)
		for _, post := range kind.Posts {
			part := at.Part()
			part.Post = post.Name
			m.plan.Boots = append(m.plan.Boots, Boot{part, post.Polarity, post.Unused || !used[part]})
		}
	}
}

func (m *maker) lugs() {
	count := map[string]int{}
	bolt := func(part pack.Part) string {
		kind, _ := m.problem.Kind(part.Box)
		for _, post := range kind.Posts {
			if post.Name == part.Post {
				return post.Bolt
			}
		}
		return ""
	}
	for _, j := range m.plan.Cables() {
		count[bolt(j.From)]++
		count[bolt(j.To)]++
	}
	for b, n := range count {
		m.plan.Lugs = append(m.plan.Lugs, Lug{b, n})
	}
	slices.SortFunc(m.plan.Lugs, func(a, b Lug) int { return cmp.Compare(a.Bolt, b.Bolt) })
}

// Step is one step of making connections.
type Step struct {
	Do     Doing
	Jumper int // which of the plan's jumpers, of its leads, or of those to the charger
}

// Doing is what a step does.
type Doing int

const (
	Prepare     Doing = iota // fuse out, switch off, charger unplugged; all posts under boots
	Join                     // a jumper
	JoinLead                 // a lead to the controller
	JoinCharger              // a lead to the charger
	CloseLast                // a jumper in the middle
	PutFuse                  // the fuse, and after it the switch
)

// Joined is which of Plan.Cables a step joins, and whether it joins one.
func (p Plan) Joined(s Step) (int, bool) {
	switch s.Do {
	case Join, CloseLast:
		return s.Jumper, true
	case JoinLead:
		return len(p.Jumpers) + s.Jumper, true
	case JoinCharger:
		return len(p.Jumpers) + len(p.Leads) + s.Jumper, true
	}
	return 0, false
}

// Steps is the order of making connections: with fuse and switch open nothing is live but
// between the posts of what is joined already; the link that makes a hazardous voltage comes
// after all else is under its boots, and the fuse last.
func (p Plan) Steps() []Step {
	list := []Step{{Do: Prepare}}
	for i := range p.Jumpers {
		if !slices.Contains(p.Breaks, i) {
			list = append(list, Step{Join, i})
		}
	}
	for i := range p.Leads {
		list = append(list, Step{JoinLead, len(p.Leads) - 1 - i}) // minus first
	}
	for i := range p.Charging {
		list = append(list, Step{JoinCharger, len(p.Charging) - 1 - i})
	}
	for _, i := range p.Breaks {
		list = append(list, Step{CloseLast, i})
	}
	return append(list, Step{Do: PutFuse})
}
