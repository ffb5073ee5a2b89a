package ways

import (
	"math"

	"github.com/golang/geo/r3"
)

// group is the barriers of one owner, with one around them all: where that is not met,
// none of them is. Most of what stands around a mover is far from any one line.
type group struct {
	bars   []*barrier
	around *barrier
}

// groupOf puts barriers together. Each is within its own halves, so all are within a half
// of some normal where every one of them has one of that normal: within the widest.
func (m *Mover) groupOf(bars []*barrier) group {
	around := &barrier{mover: m}
	for _, n := range Vehicle() {
		widest := math.Inf(1)
		for _, b := range bars {
			widest = min(widest, b.offset(n))
		}
		if !math.IsInf(widest, 0) {
			around.halves = append(around.halves, around.half(n, widest))
		}
	}
	return group{bars, around}
}

// offset returns that of the half with this normal, -Inf where there is none.
func (b *barrier) offset(normal r3.Vector) float64 {
	for n := range b.halves {
		if b.halves[n].normal == normal {
			return b.halves[n].offset
		}
	}
	return math.Inf(-1)
}
