package detour

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// How finely a way is looked for: our own choice; what is found is then shortened to within
// finest.
const (
	farthest  = 400.0 // mm beside the straight line
	coarse    = 4.0   // mm between tries beside it
	around    = 16    // directions
	along     = 14    // places along it for one bend
	alongPair = 7     // for each of two
	finest    = 0.05  // mm
	sharp     = 60.0  // degrees: two bends are better than such a one
)

// search looks for a way between two points.
type search struct {
	from, to r3.Vector
	radius   float64
	needs    []need
}

// run tries the straight line, then one bend, then two: these too where the one is sharp.
func (s *search) run() ([]r3.Vector, bool) {
	if s.free(s.from, s.to) {
		return []r3.Vector{s.from, s.to}, true
	}
	one := s.best(shares(along, 1))
	if one != nil {
		one = s.shorten(one)
		if (Way{Points: one}).Bends()[0] <= sharp {
			return one, true
		}
	}
	if two := s.best(shares(alongPair, 2)); two != nil {
		return s.shorten(two), true
	}
	return one, one != nil
}

// shares are the places of bends along the line, as shares of it.
func shares(n, bends int) [][]float64 {
	var all [][]float64
	for i := 1; i < n; i++ {
		if bends == 1 {
			all = append(all, []float64{float64(i) / float64(n)})
			continue
		}
		for j := i + 1; j < n; j++ {
			all = append(all, []float64{float64(i) / float64(n), float64(j) / float64(n)})
		}
	}
	return all
}

// best is the shortest way whose bends are as far beside the line, all in one direction.
func (s *search) best(spread [][]float64) []r3.Vector {
	line := s.to.Sub(s.from)
	u := line.Ortho()
	v := line.Normalize().Cross(u)
	var best []r3.Vector
	shortest := math.Inf(1)
	for k := range around {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / around)
		beside := u.Mul(cos).Add(v.Mul(sin))
		for _, at := range spread {
			for off := coarse; off <= farthest; off += coarse {
				points := []r3.Vector{s.from}
				for _, share := range at {
					points = append(points, s.from.Add(line.Mul(share)).Add(beside.Mul(off)))
				}
				points = append(points, s.to)
				if l := length(points); l >= shortest {
					break
				} else if s.free(points...) {
					best, shortest = points, l
					break
				}
			}
		}
	}
	return best
}

// shorten moves the bends, each a step in each of six directions and in pairs of them, for as
// long as the way gets shorter and stays free; then by smaller steps.
func (s *search) shorten(points []r3.Vector) []r3.Vector {
	line := s.to.Sub(s.from).Normalize()
	u := line.Ortho()
	axes := []r3.Vector{line, u, line.Cross(u)}
	var ways []r3.Vector
	for _, i := range []float64{-1, 0, 1} {
		for _, j := range []float64{-1, 0, 1} {
			for _, k := range []float64{-1, 0, 1} {
				ways = append(ways, axes[0].Mul(i).Add(axes[1].Mul(j)).Add(axes[2].Mul(k)))
			}
		}
	}
	for step := 2 * coarse; step > finest; {
		better := false
		for i := 1; i+1 < len(points); i++ {
			for _, way := range ways {
				next := slices.Clone(points)
				next[i] = next[i].Add(way.Mul(step))
				if length(next) < length(points)-1e-9 && s.free(next...) {
					points, better = next, true
				}
			}
		}
		if !better {
			step /= 2
		}
	}
	return points
}
