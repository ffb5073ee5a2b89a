package survey

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/s1"
	"gonum.org/v1/gonum/mat"
)

// Ellipse is how far a place may be off: standard deviations along its long and its short
// axis, and the direction of the long one from forward upwards.
type Ellipse struct {
	Long, Short float64
	Direction   s1.Angle
}

// spread is the covariance of a mark: of x, of both, of z.
func spread(of *mat.SymDense, mark int) (xx, xz, zz float64) {
	return of.At(2*mark, 2*mark), of.At(2*mark, 2*mark+1), of.At(2*mark+1, 2*mark+1)
}

// Ellipse is that of a mark, against the network as a whole: the datum, which only says
// where zero is, makes no mark better or worse.
func (a *Adjustment) Ellipse(mark int) Ellipse { return ellipse(a.free, mark) }

func ellipse(of *mat.SymDense, mark int) Ellipse {
	xx, xz, zz := spread(of, mark)
	half, turn := (xx+zz)/2, math.Hypot((xx-zz)/2, xz)
	return Ellipse{
		Long: sqrt(half + turn), Short: sqrt(half - turn),
		Direction: s1.Angle(math.Atan2(2*xz, xx-zz) / 2),
	}
}

// SD is the standard deviation of x and of z of a mark, against the network as a whole.
func (a *Adjustment) SD(mark int) r2.Point {
	xx, _, zz := spread(a.free, mark)
	return r2.Point{X: sqrt(xx), Y: sqrt(zz)}
}

// SDFromDatum is the standard deviation of x and of z of a mark, as counted from the origin
// and the line of the datum, which have none.
func (a *Adjustment) SDFromDatum(mark int) r2.Point {
	xx, _, zz := spread(a.fixed, mark)
	return r2.Point{X: sqrt(xx), Y: sqrt(zz)}
}

// Along is the standard deviation of a mark in a direction: against the network as a whole, or
// as counted from the origin and the line of the datum, whichever is more. What is built is
// put where it belongs in the frame in one of these ways or the other.
func (a *Adjustment) Along(mark int, direction r2.Point) float64 {
	return max(deviation(a.free, mark, direction), deviation(a.fixed, mark, direction))
}

func deviation(of *mat.SymDense, mark int, direction r2.Point) float64 {
	d := direction.Normalize()
	xx, xz, zz := spread(of, mark)
	return sqrt(xx*d.X*d.X + 2*xz*d.X*d.Y + zz*d.Y*d.Y)
}

// Agrees tells whether the measurements disagree no more than measurements of their accuracy
// do, but for one set in a thousand.
func (a *Adjustment) Agrees() bool { return a.agreeing }

// Scale is how many standard deviations something may be off by at most: AtMost. Where
// measurements disagree more than they should, they are taken to be as much worse.
func (a *Adjustment) Scale() float64 {
	if !a.agreeing {
		return AtMost * a.Sigma0
	}
	return AtMost
}

// Worst is by how much a place may be off in a direction at most.
func (a *Adjustment) Worst(mark int, direction r2.Point) float64 {
	return a.Scale() * a.Along(mark, direction)
}

// WorstWay is the direction, a unit vector, in which a place may be off most.
func (a *Adjustment) WorstWay(mark int) r2.Point {
	e := a.Ellipse(mark)
	if other := ellipse(a.fixed, mark); other.Long > e.Long {
		e = other
	}
	sin, cos := math.Sincos(e.Direction.Radians())
	return r2.Point{X: cos, Y: sin}
}

// WorstAnyWay is Worst in that direction.
func (a *Adjustment) WorstAnyWay(mark int) float64 { return a.Worst(mark, a.WorstWay(mark)) }
