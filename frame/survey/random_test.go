package survey

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/golang/geo/r2"
)

// some is a network of marks in a frame's opening, measured with spare more distances than
// needed, with what is true of it.
type some struct {
	*Network
	truth []r2.Point
}

// random draws a network of marks, with Near where told, and measurements with errors of the
// normal law. Some have heights and slopes as well, and marks off the middle plane.
func random(g *rand.Rand, spare int, near bool) some {
	for {
		s := draw(g, spare, near)
		if s.sound() {
			return s
		}
	}
}

func draw(g *rand.Rand, spare int, near bool) some {
	count := 4 + g.IntN(5)
	s := some{Network: &Network{Datum: Datum{From: 0, To: 1}}}
	for i := range count {
		s.truth = append(s.truth, r2.Point{X: g.Float64() * 900, Y: g.Float64() * 600})
		m := Mark{Name: string(rune('A' + i))}
		if g.IntN(3) == 0 {
			m.Y = float64(g.IntN(200) - 100)
		}
		s.Marks = append(s.Marks, m)
	}
	s.set()
	for i := range count {
		if near {
			p := s.truth[i].Add(r2.Point{X: g.NormFloat64() * 15, Y: g.NormFloat64() * 15})
			s.Marks[i].Near = &p
		}
	}
	s.measure(g, spare)
	return s
}

// set puts the first mark at the origin and the second on the datum's line.
func (s *some) set() {
	d := s.truth[1].Sub(s.truth[0])
	s.Datum.Slope = math.Round(math.Atan2(d.Y, d.X)*100) / 100
	turnAll(s.truth, s.Datum.Slope-math.Atan2(d.Y, d.X), s.truth[0])
	origin := s.truth[0]
	for i := range s.truth {
		s.truth[i] = s.truth[i].Sub(origin)
	}
}

func (s *some) measure(g *rand.Rand, spare int) {
	count := len(s.Marks)
	needed := 2*count - 3
	pairs := s.untaped()
	g.Shuffle(len(pairs), func(i, k int) { pairs[i], pairs[k] = pairs[k], pairs[i] })
	for _, p := range pairs[:min(len(pairs), needed+spare)] {
		s.Measurements = append(s.Measurements, Measurement{From: p.From, To: p.To, SD: 0.5 + g.Float64()})
	}
	if g.IntN(3) == 0 {
		for i := range count {
			s.Measurements = append(s.Measurements, Measurement{Sort: Height, From: i, SD: 1 + g.Float64()})
		}
	}
	if g.IntN(3) == 0 {
		s.Measurements = append(s.Measurements, Measurement{Sort: Slope, From: 1, To: 2, SD: 0.005})
	}
	for i, m := range s.Measurements {
		true, _ := s.predict(m, state{s.truth, -130})
		s.Measurements[i].Value = true + m.SD*g.NormFloat64()
	}
}

// sound tells whether the network is fixed, every mark with some accuracy, and tells of two
// marks none in the place of another.
func (s *some) sound() bool {
	for _, p := range s.untaped() {
		if s.truth[p.From].Sub(s.truth[p.To]).Norm() < 60 {
			return false
		}
	}
	for _, m := range s.Measurements {
		if m.Sort == Distance && s.truth[m.From].Sub(s.truth[m.To]).Norm() < 60 {
			return false
		}
		if m.Sort == Slope && math.Abs(s.truth[m.From].X-s.truth[m.To].X) < 20 {
			return false
		}
	}
	if s.lonely() != nil || s.moving(state{s.truth, -130}) != nil {
		return false
	}
	a, err := s.adjust(state{append([]r2.Point{}, s.truth...), -130})
	if err != nil {
		return false
	}
	for i := range s.Marks {
		if a.Ellipse(i).Long > 8 {
			return false
		}
	}
	return true
}

func (s some) String() string {
	text := fmt.Sprintf("%d marks, %d measurements\n", len(s.Marks), len(s.Measurements))
	for _, m := range s.Measurements {
		text += fmt.Sprintf("  %d %d–%d %.4f ±%.3f\n", m.Sort, m.From, m.To, m.Value, m.SD)
	}
	return text
}
