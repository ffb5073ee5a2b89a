package card

import "github.com/golang/geo/r3"

// Joint is an edge where two panels of the net meet.
type Joint int

// The joints that may be cut to make a net of several parts.
const (
	LeftBack Joint = iota
	BackRight
	RightFront
	RightTop
	RightBottom
	joints
)

// Joints is a set of joints.
type Joints uint

// Has tells whether the joint is in the set.
func (s Joints) Has(j Joint) bool { return s>>j&1 == 1 }

// Flap widths: 38 mm is the usual glue flap (common practice), less on small boxes.
const usualFlap = 38.0

// flapInset is how much shorter a flap is at each end than the edge it hangs on, so
// that it goes in easily.
const flapInset = 2.0

// spread are the lines of a net laid out flat, the low corner of the right wall's
// outside at the origin: x of the folds from the left, y of those of bottom and top.
type spread struct {
	size           r3.Vector
	t              float64         // thickness
	lost           [joints]float64 // what a panel beyond a cut joint is shorter
	cut            Joints
	x0, x1, x2, x3 float64
	x4, low, high  float64
	flap           float64
}

func newSpread(size r3.Vector, t float64, cut Joints) spread {
	s := spread{size: size, t: t, cut: cut, flap: min(usualFlap, size.X/2, size.Y/2, size.Z/2)}
	for j := range joints {
		if cut.Has(j) {
			s.lost[j] = t
		}
	}
	s.x2, s.x3 = t/2, size.X-t/2
	s.x1 = s.x2 - size.Y + t + s.lost[BackRight]
	s.x0 = s.x1 - size.X + t/2 + s.lost[LeftBack]
	s.x4 = s.x3 + size.Y - 2*t - s.lost[RightFront]
	s.low, s.high = t/2, size.Z-t/2
	return s
}

// grown is how far a panel reaches beyond the line of a joint that is cut there: to the
// outside of the box.
func (s spread) grown(j Joint) float64 { return s.lost[j] / 2 }

// inset is flapInset, less on small boxes.
func (s spread) inset() float64 { return min(flapInset, s.flap/8) }
