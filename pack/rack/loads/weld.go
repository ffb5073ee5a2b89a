package loads

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/pack/rack"
	"rackwright/pack/rack/beam"
)

// seamed is a weld as a joint without any give.
type seamed struct {
	number int // of the joint
	weld   rack.Weld
	lines  []rack.Run // those that carry
	length float64    // mm of them
	part   float64    // of that length which counts: a throat less at each end of each run in one go
	at     r3.Vector  // their middle
}

// addWelds joins bars where they are welded: nothing turns there.
func (m *model) addWelds() {
	for _, w := range m.rack.Welds {
		s, ok := seamOf(w)
		a, b := m.bars[w.Joins[0]], m.bars[w.Joins[1]]
		if !ok || a == nil || b == nil {
			continue // the judge tells it
		}
		s.number = m.frame.Join(beam.Joint{A: a.nearestTo(s.at), B: b.nearestTo(s.at), At: s.at, Name: w.Name})
		m.seams = append(m.seams, s)
	}
}

// weldStations are the places of welds along their bars.
func (m *model) weldStations() {
	for _, w := range m.rack.Welds {
		if s, ok := seamOf(w); ok {
			for _, name := range w.Joins {
				if l := m.bars[name]; l != nil {
					l.station(s.at.Sub(l.from).Dot(l.along))
				}
			}
		}
	}
}

func seamOf(w rack.Weld) (seamed, bool) {
	s := seamed{weld: w, lines: w.Carrying()}
	for _, r := range s.lines {
		s.length += r.Length()
		s.at = s.at.Add(r.From.Add(r.To).Mul(r.Length() / 2))
	}
	if s.length == 0 {
		return s, false
	}
	s.at = s.at.Mul(1 / s.length)
	s.part = w.Counted() / s.length
	return s, true
}

// pull is the greatest force on a millimetre of a weld, in N: its fillets as lines, each as stiff
// whichever way it is pulled, so that a force spreads evenly and a moment with the distance from
// their middle (the elastic method for groups of welds; derived).
func (s seamed) pull(c beam.Carried) float64 {
	own := s.length * s.weld.Throat * s.weld.Throat / 12 // of lines that are a throat wide
	rows := [3]r3.Vector{{X: own}, {Y: own}, {Z: own}}
	for _, r := range s.lines {
		a, b := r.From.Sub(s.at), r.To.Sub(s.at)
		for i, axis := range [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}} {
			// ∫ r × (axis × r) along the run, by Simpson's rule, which is exact for squares.
			for _, point := range []struct {
				at r3.Vector
				by float64
			}{{a, 1}, {a.Add(b).Mul(0.5), 4}, {b, 1}} {
				rows[i] = rows[i].Add(point.at.Cross(axis.Cross(point.at)).Mul(point.by * r.Length() / 6))
			}
		}
	}
	turn := solve3(rows, c.Moment)
	most := 0.0
	for _, r := range s.lines {
		for _, q := range [2]r3.Vector{r.From, r.To} {
			most = math.Max(most, c.Force.Mul(1/s.length).Add(turn.Cross(q.Sub(s.at))).Norm())
		}
	}
	return most / s.part
}

// solve3 solves a symmetric system of three by Cramer's rule.
func solve3(rows [3]r3.Vector, right r3.Vector) r3.Vector {
	det := rows[0].Dot(rows[1].Cross(rows[2]))
	return r3.Vector{
		X: right.Dot(rows[1].Cross(rows[2])) / det,
		Y: right.Dot(rows[2].Cross(rows[0])) / det,
		Z: right.Dot(rows[0].Cross(rows[1])) / det,
	}
}

// welds is what welds use of their strength.
func (m *model) welds(s *beam.Solution) []use {
	var list []use
	for _, w := range m.seams {
		list = append(list, use{w.pull(s.Joint(w.number)) / (w.weld.Throat * rack.WeldShear), w.weld.Name, "the fillet's throat"})
	}
	return list
}
