package ways

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// level is what counts as no motion along a direction: a unit normal and a unit
// direction that are square to each other leave at most 3·2⁻⁵³ ≈ 3.4e-16 in their
// product, and a normal made of two others a few times that. A normal that is off by
// 1e-12 moves a face by less than Tolerance over a metre.
const level = 1e-12

// half is the displacements d of a moving solid with normal·d > offset. along holds
// the normal's part in each of the mover's directions.
type half struct {
	normal r3.Vector
	offset float64
	along  [maxDirections]float64
	square bool // normal is an axis of the vehicle: sums along the axes are exact
}

// stop is a displacement of s along one direction and then t along another, both by
// number. As a line it starts at that point and runs on along j.
type stop struct {
	i, j int
	s, t float64
}

// line returns the line from the start along direction j.
func line(j int) stop { return stop{i: j, j: j} }

// at returns the stop at t on the line.
func (p stop) at(t float64) stop {
	p.t = t
	return p
}

// straight tells whether the stop is made of moves along the vehicle's axes alone.
func (p stop) straight() bool { return p.i < vehicleDirections && p.j < vehicleDirections }

func (h *half) value(p stop) float64 {
	return float64(p.s*h.along[p.i]) + float64(p.t*h.along[p.j])
}

// slack is how far a displacement may reach into h and still count as outside:
// nothing where the arithmetic is exact.
func (h *half) slack(straight bool) float64 {
	if straight && h.square {
		return 0
	}
	return geom.Tolerance
}

// inside tells whether p is within every half, and not by rounding alone.
func inside(halves []half, p stop) bool {
	straight := p.straight()
	for n := range halves {
		h := &halves[n]
		if h.value(p) <= h.offset+h.slack(straight) {
			return false
		}
	}
	return true
}

// span returns the open interval of t in which the line p is within every half:
// full as the halves stand, and sure with each of them moved in by its slack. Where
// sure is empty the line only touches.
func span(halves []half, p stop) (full, sure r1.Interval) {
	full = r1.Interval{Lo: math.Inf(-1), Hi: math.Inf(1)}
	sure = full
	straight := p.straight()
	p.t = 0
	for n := range halves {
		h := &halves[n]
		rest, slack := h.offset-h.value(p), h.slack(straight)
		full = cutBy(full, h.along[p.j], rest)
		sure = cutBy(sure, h.along[p.j], rest+slack)
		if blank(sure) {
			break
		}
	}
	return full, sure
}

// cutBy keeps the t with slope·t > rest.
func cutBy(iv r1.Interval, slope, rest float64) r1.Interval {
	switch {
	case slope > level:
		iv.Lo = math.Max(iv.Lo, rest/slope)
	case slope < -level:
		iv.Hi = math.Min(iv.Hi, rest/slope)
	case rest >= 0:
		return r1.EmptyInterval()
	}
	return iv
}

// blank tells whether the open interval has no point.
func blank(iv r1.Interval) bool { return iv.Lo >= iv.Hi }
