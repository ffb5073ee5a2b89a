package rackplan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"rackwright/pack/rack"
)

// Item is a line of the parts list.
type Item struct {
	Count int
	What  string
	Note  string
}

// List is the parts list: bars and plates, bolts with their nuts and washers, rods, foam, blocks, hose,
// boots.
func List(a Answer) []Item {
	var list []Item
	for _, p := range Parts(a.Rack) {
		list = append(list, Item{len(p.Names), fmt.Sprintf("%s, %.1f mm (%s)", p.Bar.Section, p.Bar.Length(), p.Letter), strings.Join(p.Names, ", ")})
	}
	list = slices.Concat(list, weldItems(a.Rack), clampItems(a.Rack), hardware(a.Rack))
	list = append(list, soft(a.Rack)...)
	if n := boots(a); n > 0 {
		list = append(list, Item{n, "boots for live posts", "red on plus, black on minus, unused ones too"})
	}
	return list
}

// hardware counts bolts, rods, nuts and washers.
func hardware(r *rack.Rack) []Item {
	count := map[string]int{}
	for _, f := range r.Fasteners {
		switch {
		case r.Stud(f): // is there
		case f.Rod:
			count[fmt.Sprintf("threaded rod %s, class %s, %.1f mm", f.Size, f.Class, f.Length())]++
		default:
			count[fmt.Sprintf("bolt %s × %.0f, class %s", f.Size, f.Length(), f.Class)]++
		}
		if !f.Rod && len(f.Nuts) == 0 {
			count["thread lock for bolts "+f.Size+" into threads"]++
		}
		if f.HeadWasher(r) {
			count["washer "+f.Size]++
		}
		for _, n := range f.Nuts {
			if n.Locking {
				count["locking nut "+f.Size]++
			} else {
				count["nut "+f.Size]++
			}
			count["washer "+f.Size]++
		}
		if s := f.Sleeve; s != nil {
			what := fmt.Sprintf("tube sleeve for %s, %.0f mm outside, %.1f mm long", f.Size, s.Outer, s.To-s.From)
			if s.To-s.From < shortTube {
				what = fmt.Sprintf("stack of washers for %s, %.1f mm high", f.Size, s.To-s.From)
			}
			count[what]++
		}
	}
	return items(count)
}

// shortTube is how long in mm tubes are at least that are sawn off: below that, washers are stacked.
const shortTube = 6

func items(count map[string]int) []Item {
	var list []Item
	for what, n := range count {
		list = append(list, Item{Count: n, What: what})
	}
	slices.SortFunc(list, func(a, b Item) int { return cmp.Compare(a.What, b.What) })
	return list
}

// soft counts pads: what each is cut to.
func soft(r *rack.Rack) []Item {
	count := map[string]int{}
	seen := map[[2]r3.Vector]bool{} // what lies between two boxes is named by both
	for _, p := range r.Pads {
		if at := [2]r3.Vector{p.Low, p.High}; !seen[at] {
			seen[at] = true
			count[sizeOf(p)]++
		}
	}
	return items(count)
}

// sizeOf is what a pad is made of and cut to: its thickness, and its sides.
func sizeOf(p rack.Pad) string {
	size, out := p.High.Sub(p.Low), p.Face.Abs()
	var sides []float64
	for _, side := range []struct{ size, out float64 }{{size.X, out.X}, {size.Y, out.Y}, {size.Z, out.Z}} {
		if side.out == 0 {
			sides = append(sides, side.size)
		}
	}
	slices.Sort(sides)
	switch p.Of {
	case rack.Hose:
		return fmt.Sprintf("rubber hose over the rod, %.0f mm thick on that side, %.0f mm long", p.Thickness(), sides[1])
	case rack.Block:
		return fmt.Sprintf("block of wood with 3 mm foam on it, %.0f mm thick in all, %.0f × %.0f mm", p.Thickness(), sides[0], sides[1])
	}
	return fmt.Sprintf("%.1f mm foam, %.0f × %.0f mm", p.Thickness(), sides[0], sides[1])
}

func boots(a Answer) int {
	n := 0
	for _, p := range a.Layout.Placements {
		if k, ok := a.Problem.Kind(p.Box); ok {
			n += len(k.Posts)
		}
	}
	return n
}
