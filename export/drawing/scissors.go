package drawing

import (
	"math"

	"github.com/golang/geo/r2"
)

// Scissors adds a pair of open scissors that cut along a line: their blades cross at a point
// and open towards a direction.
func (d *Drawing) Scissors(at, towards r2.Point) {
	along := towards.Normalize()
	aside := along.Ortho()
	const blade, handle, ring = 7.0, 4.0, 1.8
	for _, side := range []float64{-1, 1} {
		sin, cos := math.Sincos(side * math.Pi / 10)
		tip := along.Mul(cos).Add(aside.Mul(sin))
		grip := at.Sub(tip.Mul(handle))
		d.Paths = append(d.Paths, Path{Layer: Mark, Points: []r2.Point{at.Add(tip.Mul(blade)), grip}, Width: 0.5})
		d.Paths = append(d.Paths, Path{Layer: Mark, Points: Arc(grip.Sub(tip.Mul(ring)), ring, 0, 2*math.Pi), Closed: true, Width: 0.5})
	}
}

// ScissorsOn puts scissors onto the longest level or upright edge of a closed line to cut, a
// quarter along it, so that it is unlike all lines that are only drawn.
func (d *Drawing) ScissorsOn(loop []r2.Point) {
	best := 0
	edge := func(i int) r2.Point { return loop[(i+1)%len(loop)].Sub(loop[i]) }
	for i := range loop {
		if edge(i).Norm() > edge(best).Norm() {
			best = i
		}
	}
	if e := edge(best); e.Norm() > 40 {
		d.Scissors(loop[best].Add(e.Mul(0.25)), e)
	}
}
