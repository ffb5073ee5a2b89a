package rack

import (
	"math"

	"github.com/golang/geo/r3"
)

// Weld is fillets between two bars of one tray that lie on one another. Nothing is welded to the
// vehicle.
type Weld struct {
	Name   string
	Joins  [2]string // bars
	Throat float64   // mm, height of the fillet's triangle: a in ISO 2553
	Runs   []Run
}

// Run is a straight fillet along an edge of one bar, on the face of the other. Runs of one bar
// that meet at their ends are welded in one go.
type Run struct {
	Of       string // the bar whose edge it is
	From, To r3.Vector
}

// Length in mm.
func (r Run) Length() float64 { return r.To.Sub(r.From).Norm() }

// Leg is how far a fillet reaches along each face, mm: √2 times its throat.
func (w Weld) Leg() float64 { return w.Throat * math.Sqrt2 }

// MostThroat is that of a fillet along the edge of a bar so thick: its leg is the edge, a = t/√2.
func MostThroat(thick float64) float64 { return thick / math.Sqrt2 }

// LeastThroat in mm is the thinnest fillet that is counted on, half of the 3 mm that EN 1993-1-8
// 4.5.2 asks of plates from 4 mm on: our own choice for thinner bars.
const LeastThroat = 1.5

// WeldShear is what a square millimetre of throat carries in N, whichever way it is pulled:
// fu / (√3 βw γM2) = 360 / (√3 × 0.8 × 1.25) for S235 (EN 1993-1-8 4.5.3.3 and Table 4.1, second-
// hand; it is written for plates from 4 mm on).
var WeldShear = Tensile / (math.Sqrt(3) * 0.8 * gammaM2)

// Counted is the effective length of the runs that carry, mm.
func (w Weld) Counted() float64 {
	sum := 0.0
	for _, chain := range w.chains() {
		if l := w.effective(chain); l >= w.least() {
			sum += l
		}
	}
	return sum
}

func (w Weld) least() float64 { return math.Max(30, 6*w.Throat) - 1e-9 }

// effective is the length of runs in one go less a throat at each end.
func (w Weld) effective(chain []Run) float64 {
	sum := -2 * w.Throat
	for _, r := range chain {
		sum += r.Length()
	}
	return sum
}

// Carrying returns the runs that a calculation may count on: those that with what they are welded
// in one go with have an effective length, less the throat at each end, of 30 mm and of six
// throats at least (EN 1993-1-8 4.5.1, second-hand).
func (w Weld) Carrying() []Run {
	var list []Run
	for _, chain := range w.chains() {
		if w.effective(chain) >= w.least() {
			list = append(list, chain...)
		}
	}
	return list
}

// chains are the runs of one bar that hang together.
func (w Weld) chains() [][]Run {
	var all [][]Run
	for _, r := range w.Runs {
		var rest [][]Run
		mine := []Run{r}
		for _, c := range all {
			if meets(c, r) {
				mine = append(mine, c...)
			} else {
				rest = append(rest, c)
			}
		}
		all = append(rest, mine)
	}
	return all
}

// meets tells whether a run begins or ends where one of some does, along the same bar's edges.
func meets(list []Run, r Run) bool {
	near := func(a, b r3.Vector) bool { return a.Sub(b).Norm() < 0.1 }
	for _, o := range list {
		if o.Of == r.Of && (near(o.From, r.From) || near(o.From, r.To) || near(o.To, r.From) || near(o.To, r.To)) {
			return true
		}
	}
	return false
}

// Weld returns the weld between two bars.
func (r *Rack) Weld(a, b string) (Weld, bool) {
	for _, w := range r.Welds {
		if w.Joins == [2]string{a, b} || w.Joins == [2]string{b, a} {
			return w, true
		}
	}
	return Weld{}, false
}
