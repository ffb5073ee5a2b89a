package rackplan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"rackwright/pack/rack"
)

// Item is a line of the parts list.
type Item struct {
	Count int
	What  string
	Note  string
}

// List is the parts list: bars, bolts with their nuts and washers, rods, foam, blocks, hose,
// boots.
func List(a Answer) []Item {
	var list []Item
	for _, p := range Parts(a.Rack) {
		list = append(list, Item{len(p.Names), fmt.Sprintf("%s, %.1f mm (%s)", p.Bar.Section, p.Bar.Length(), p.Letter), strings.Join(p.Names, ", ")})
	}
	list = append(list, hardware(a.Rack)...)
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
		if f.Rod {
			count[fmt.Sprintf("threaded rod %s, class %s, %.0f mm", f.Size, f.Class, f.Length())]++
		} else {
			count[fmt.Sprintf("bolt %s × %.0f, class %s", f.Size, f.Length(), f.Class)]++
		}
		for _, n := range f.Nuts {
			if n.Locking {
				count["locking nut "+f.Size]++
			} else {
				count["nut "+f.Size]++
			}
			count["washer "+f.Size]++
		}
		if f.Sleeve != nil {
			count[fmt.Sprintf("tube sleeve for %s, %.0f mm outside, %.1f mm long", f.Size, f.Sleeve.Outer, f.Sleeve.To-f.Sleeve.From)]++
		}
	}
	return items(count)
}

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
	hose := map[string]float64{}
	for _, p := range r.Pads {
		size := p.High.Sub(p.Low)
		var sides []float64
		for i, v := range []float64{size.X, size.Y, size.Z} {
			if []float64{p.Face.X, p.Face.Y, p.Face.Z}[i] == 0 {
				sides = append(sides, v)
			}
		}
		slices.Sort(sides)
		switch p.Of {
		case rack.Hose:
			hose[p.To] = math.Max(hose[p.To], sides[1])
		case rack.Block:
			count[fmt.Sprintf("block of wood with 3 mm foam, %.0f × %.0f × %.0f mm", p.Thickness(), sides[0], sides[1])]++
		default:
			count[fmt.Sprintf("foam or rubber %.1f mm thick, %.0f × %.0f mm", p.Thickness(), sides[0], sides[1])]++
		}
	}
	list := items(count)
	for _, length := range hose {
		list = append(list, Item{1, fmt.Sprintf("rubber hose over a rod, %.0f mm", length), ""})
	}
	return merged(list)
}

// merged adds up lines that say the same.
func merged(list []Item) []Item {
	count := map[string]int{}
	for _, i := range list {
		count[i.What] += i.Count
	}
	return items(count)
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
