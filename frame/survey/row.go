package survey

import (
	"math"

	"github.com/golang/geo/r2"
)

// state is what is adjusted: the places of the marks, and the height of the level line that
// heights are measured from.
type state struct {
	at    []r2.Point
	level float64
}

func (s state) clone() state { return state{at: append([]r2.Point{}, s.at...), level: s.level} }

// moved is the state with the movements of all coordinates, x and z of each mark in turn and
// the level last, added.
func (s state) moved(by []float64) state {
	out := s.clone()
	for i := range out.at {
		out.at[i] = out.at[i].Add(r2.Point{X: by[2*i], Y: by[2*i+1]})
	}
	out.level += by[2*len(out.at)]
	return out
}

// row is how a measurement changes with the places it depends on.
type row struct {
	from, to r2.Point
	level    float64
}

// predict returns what a measurement should be for a state, and its row.
func (n *Network) predict(m Measurement, s state) (float64, row) {
	a := s.at[m.From]
	if m.Sort == Height {
		return a.Y - s.level, row{from: r2.Point{Y: 1}, level: -1}
	}
	d := s.at[m.To].Sub(a)
	if m.Sort == Slope {
		return slopeOf(d, m.Value)
	}
	length := math.Sqrt(d.Dot(d) + square(n.Marks[m.To].Y-n.Marks[m.From].Y))
	if length == 0 {
		return 0, row{from: r2.Point{X: -1}, to: r2.Point{X: 1}} // any direction parts them
	}
	along := d.Mul(1 / length)
	return length, row{from: along.Mul(-1), to: along}
}

// slopeOf is the slope of a line in the sense in which it was measured, and its row.
func slopeOf(d r2.Point, measured float64) (float64, row) {
	side := 1.0
	if math.Abs(measured) <= math.Pi/2 && d.X < 0 {
		side = -1
	}
	square := max(d.Dot(d), math.SmallestNonzeroFloat64)
	turn := r2.Point{X: -d.Y, Y: d.X}.Mul(side / square)
	return math.Atan2(d.Y, side*d.X), row{from: turn.Mul(-1), to: turn}
}

// misclosure is measured less predicted, of a slope within half a turn.
func misclosure(m Measurement, predicted float64) float64 {
	if m.Sort == Slope {
		return math.Remainder(m.Value-predicted, 2*math.Pi)
	}
	return m.Value - predicted
}

// system is the rows of all measurements and their misclosures, each over its standard
// deviation.
func (n *Network) system(s state) (rows []row, off []float64) {
	rows, off = make([]row, len(n.Measurements)), make([]float64, len(n.Measurements))
	for i, m := range n.Measurements {
		predicted, r := n.predict(m, s)
		rows[i] = row{from: r.from.Mul(1 / m.SD), to: r.to.Mul(1 / m.SD), level: r.level / m.SD}
		off[i] = misclosure(m, predicted) / m.SD
	}
	return rows, off
}

// cost is the sum of the squares of all misclosures over their standard deviations.
func (n *Network) cost(s state) float64 {
	sum := 0.0
	for _, m := range n.Measurements {
		predicted, _ := n.predict(m, s)
		sum += square(misclosure(m, predicted) / m.SD)
	}
	return sum
}

// apply is the change of a measurement, over its standard deviation, by a movement.
func (r row) apply(m Measurement, by []float64) float64 {
	change := r.from.X*by[2*m.From] + r.from.Y*by[2*m.From+1] + r.level*by[len(by)-1]
	if m.Sort != Height {
		change += r.to.X*by[2*m.To] + r.to.Y*by[2*m.To+1]
	}
	return change
}

func square(v float64) float64 { return v * v }

func sqrt(v float64) float64 { return math.Sqrt(max(v, 0)) }
