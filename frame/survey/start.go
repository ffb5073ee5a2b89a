package survey

import (
	"math"
	"math/rand/v2"

	"github.com/golang/geo/r2"
)

// How many starts are made of networks whose places nobody told: some built from distances,
// each from another pair of marks, and some at random.
const (
	builtStarts  = 6
	randomStarts = 24
	// mostScattered is how many marks are scattered: of more no start at random leads anywhere.
	mostScattered = 16
)

// tape is the taped distances of a network as seen from the side.
type tape struct {
	length map[Pair]float64
	beside [][]int // marks that each is taped to
	long   float64 // the greatest distance
}

func (n *Network) tape() tape {
	t := tape{length: map[Pair]float64{}, beside: make([][]int, len(n.Marks))}
	for _, m := range n.Measurements {
		if m.Sort != Distance {
			continue
		}
		length, _ := n.flat(m)
		if _, twice := t.length[Pair{m.From, m.To}]; !twice {
			t.beside[m.From] = append(t.beside[m.From], m.To)
			t.beside[m.To] = append(t.beside[m.To], m.From)
		}
		t.length[Pair{m.From, m.To}], t.length[Pair{m.To, m.From}] = length, length
		t.long = max(t.long, length)
	}
	if t.long == 0 {
		t.long = 1000
	}
	return t
}

// told is where marks are said to be, and whether that is said of all.
func (n *Network) told() (map[int]r2.Point, bool) {
	told := map[int]r2.Point{}
	for i, m := range n.Marks {
		switch {
		case m.At != nil:
			told[i] = *m.At
		case m.Near != nil:
			told[i] = *m.Near
		}
	}
	return told, len(told) == len(n.Marks)
}

// starts are states from which the right network may be reached by small steps, the most
// promising first.
func (n *Network) starts() []state {
	told, all := n.told()
	var list []state
	if all {
		at := make([]r2.Point, len(n.Marks))
		for i := range at {
			at[i] = told[i]
		}
		list = append(list, state{at: at})
		if n.Datum.Free {
			return list
		}
	}
	t := n.tape()
	random := rand.New(rand.NewPCG(1, uint64(len(n.Marks))))
	for _, p := range t.bases(told) {
		list = append(list, t.build(p, told, random))
	}
	for range randomStarts {
		if len(n.Marks) > mostScattered {
			break
		}
		list = append(list, t.scatter(map[int]r2.Point{}, told, random))
	}
	return list
}

// bases are pairs of marks from which a network may be built: those with many others taped
// to both, the longer first of equals. Two marks that are told make another.
func (t tape) bases(told map[int]r2.Point) []map[int]r2.Point {
	var list []map[int]r2.Point
	if len(told) > 1 {
		list = append(list, told)
	}
	used := map[Pair]bool{}
	for len(list) < builtStarts {
		best, most := Pair{}, -1.0
		for a := range t.beside {
			for _, b := range t.beside[a] {
				if score := t.common(a, b) + t.length[Pair{a, b}]/(2*t.long); a < b && !used[Pair{a, b}] && score > most {
					best, most = Pair{a, b}, score
				}
			}
		}
		if most < 0 {
			break
		}
		used[best] = true
		list = append(list, map[int]r2.Point{best.From: {}, best.To: {X: t.length[best]}})
	}
	return list
}

// common is how many marks are taped to both of two.
func (t tape) common(a, b int) float64 {
	sum := 0.0
	for _, c := range t.beside[a] {
		if _, ok := t.length[Pair{b, c}]; ok {
			sum++
		}
	}
	return sum
}

// build places mark after mark where circles around placed ones meet, each time the one with
// the most distances to these; what cannot be placed so is scattered.
func (t tape) build(base, told map[int]r2.Point, random *rand.Rand) state {
	placed := map[int]r2.Point{}
	for i, p := range base {
		placed[i] = p
	}
	for {
		next, most := -1, 1
		for i := range t.beside {
			if _, done := placed[i]; !done {
				if count := len(t.placedBeside(i, placed)); count > most {
					next, most = i, count
				}
			}
		}
		if next < 0 {
			return t.scatter(placed, told, random)
		}
		placed[next] = t.meet(next, placed)
	}
}

func (t tape) placedBeside(i int, placed map[int]r2.Point) []int {
	var list []int
	for _, k := range t.beside[i] {
		if _, ok := placed[k]; ok {
			list = append(list, k)
		}
	}
	return list
}

// meet is the point where two circles around placed marks meet that suits the other
// distances best, by the sum of what they are off.
func (t tape) meet(i int, placed map[int]r2.Point) r2.Point {
	others := t.placedBeside(i, placed)
	best, least := r2.Point{}, math.Inf(1)
	for x, a := range others {
		for _, b := range others[x+1:] {
			for _, p := range circles(placed[a], t.length[Pair{i, a}], placed[b], t.length[Pair{i, b}]) {
				off := 0.0
				for _, k := range others {
					off += math.Abs(p.Sub(placed[k]).Norm() - t.length[Pair{i, k}])
				}
				if off < least-1e-9*t.long {
					best, least = p, off
				}
			}
		}
	}
	return best
}

// circles are the two points where circles meet, left of the line from the first centre to
// the second first; where they do not, twice the point nearest to both.
func circles(a r2.Point, radiusA float64, b r2.Point, radiusB float64) [2]r2.Point {
	d := b.Sub(a)
	length := d.Norm()
	if length == 0 {
		return [2]r2.Point{a.Add(r2.Point{X: radiusA}), a.Sub(r2.Point{X: radiusA})}
	}
	along := (square(radiusA) - square(radiusB) + square(length)) / (2 * length)
	up := sqrt(square(radiusA) - square(along))
	u := d.Mul(1 / length)
	foot := a.Add(u.Mul(along))
	return [2]r2.Point{foot.Add(u.Ortho().Mul(up)), foot.Sub(u.Ortho().Mul(up))}
}

// scatter puts the marks that have no place anywhere near; told ones go where they are said
// to be if none has a place yet.
func (t tape) scatter(placed, told map[int]r2.Point, random *rand.Rand) state {
	if len(placed) == 0 {
		placed = told
	}
	var have []r2.Point
	for _, p := range placed {
		have = append(have, p)
	}
	centre := r2.Point{}
	if len(have) > 0 {
		centre = middle(have)
	}
	at := make([]r2.Point, len(t.beside))
	for i := range at {
		p, ok := placed[i]
		if !ok {
			p = centre.Add(r2.Point{X: (random.Float64() - 0.5) * 2 * t.long, Y: (random.Float64() - 0.5) * 2 * t.long})
		}
		at[i] = p
	}
	return state{at: at}
}
