package pack

import "cmp"

// Filling is a gap of a layout that has to be filled, so that no box can move: with foam, or
// with a plate.
type Filling struct {
	A, B Part // A is a box, B another one or a thing of the frame
	Side Side // of A, on which B is
	// Thickness in millimetres of what goes between, at the narrowest place: under a box that
	// another carries, or beside it.
	Thickness float64
}

// FillingReach is how wide in millimetres a gap may be to be filled: what is wider is for a bar
// of the rack. It is our own choice.
const FillingReach = 40

// FoamMost is the greatest thickness in millimetres of foam that still holds a box: what is
// thicker is filled with wood or plastic. Common practice.
const FoamMost = 6

// OfFoam tells whether a gap is filled with foam alone.
func (f Filling) OfFoam() bool { return f.Thickness <= FoamMost }

// Fillings lists the gaps to fill, box by box: between boxes that stand side by side, between a
// box and what of the frame is the nearest on a side with no box before it, and under boxes that
// others carry. Each is there once. What lies under trays and over boxes is for the rack.
func (s Standing) Fillings() []Filling {
	var list []Filling
	seen := map[[2]Part]bool{}
	for _, f := range s.Boxes {
		for _, under := range f.Under {
			if carries(f.On, under.Part) {
				list = append(list, Filling{f.Part, under.Part, Below, under.Distance})
			}
		}
		for side := Ahead; side <= ToRight; side++ {
			for _, n := range f.packed(side) {
				if !seen[[2]Part{n.Part, f.Part}] && !seen[[2]Part{f.Part, n.Part}] || n.Part.Obstacle != "" {
					list = append(list, Filling{f.Part, n.Part, side, n.Distance})
				}
				seen[[2]Part{f.Part, n.Part}] = true
			}
		}
	}
	return list
}

func carries(on []Part, p Part) bool {
	for _, q := range on {
		if p == q {
			return true
		}
	}
	return false
}

// packed is what a box is packed against on a side: the boxes there, or, with none, what of the
// frame is the nearest.
func (f Footing) packed(side Side) []Neighbour {
	var boxes []Neighbour
	var nearest *Neighbour
	for _, n := range f.Beside {
		if n.Side != side || n.Distance > FillingReach || n.Distance < 0 {
			continue
		}
		if n.Part.Obstacle == "" {
			boxes = append(boxes, n)
		} else if nearest == nil || cmp.Less(n.Distance, nearest.Distance) {
			nearest = &n
		}
	}
	if len(boxes) == 0 && nearest != nil {
		return []Neighbour{*nearest}
	}
	return boxes
}
