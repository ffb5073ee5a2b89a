package survey

import (
	"math"

	"github.com/golang/geo/r2"
	"gonum.org/v1/gonum/mat"
)

// taping is a distance not taken yet, as it would be with the standard deviation of the
// best one that was.
func (n *Network) taping(p Pair) Measurement {
	sd := math.Inf(1)
	for _, m := range n.Measurements {
		if m.Sort == Distance {
			sd = min(sd, m.SD)
		}
	}
	if math.IsInf(sd, 1) {
		sd = 1
	}
	return Measurement{From: p.From, To: p.To, SD: sd}
}

// gain is what one distance more would do: how much of it goes into each adjusted
// measurement, and how uncertain it is before it is taken, over its own deviation squared.
type gain struct {
	into  []float64
	spent float64
}

// gain works out what a distance would do, by the rank-one change of the covariance.
func (a *Adjustment) gain(p Pair) gain {
	m := a.Network.taping(p)
	s := state{a.Places, a.Level}
	at := a.modes(m, s)
	g := gain{into: make([]float64, len(a.Network.Measurements))}
	for _, v := range at {
		g.spent += v * v
	}
	for i, other := range a.Network.Measurements {
		for k, v := range a.modes(other, s) {
			g.into[i] += v * at[k]
		}
	}
	return g
}

// modes is how a measurement changes, over its deviation, with the network's own modes.
func (a *Adjustment) modes(m Measurement, s state) []float64 {
	_, r := a.Network.predict(m, s)
	r = row{from: r.from.Mul(1 / m.SD), to: r.to.Mul(1 / m.SD), level: r.level / m.SD}
	size, count := a.reach.Dims()
	list := make([]float64, count)
	by := make([]float64, size)
	for k := range count {
		for i := range size {
			by[i] = a.reach.At(i, k)
		}
		list[k] = r.apply(m, by)
	}
	return list
}

// checked is the redundancy number that a measurement would have.
func (g gain) checked(a *Adjustment, i int) float64 {
	return a.Checked[i] + square(g.into[i])/(1+g.spent)
}

// alike is how alike the tests of two measurements would be.
func (g gain) alike(a *Adjustment, i, k int) float64 {
	shared := a.hat.At(i, k) - g.into[i]*g.into[k]/(1+g.spent)
	return math.Abs(shared) / math.Sqrt(g.checked(a, i)*g.checked(a, k))
}

// Checking returns the distance, of those not taken, that would check a measurement best.
func (a *Adjustment) Checking(i int) (Pair, bool) {
	return a.best(func(g gain) float64 { return g.checked(a, i) - max(CheckedFrom, a.Checked[i]) })
}

// telling is the distance after which tests of measurements would be least alike.
func (a *Adjustment) telling(those []int) (Pair, bool) {
	before := 0.0
	for x, i := range those {
		for _, k := range those[x+1:] {
			before = max(before, a.alike(i, k))
		}
	}
	return a.best(func(g gain) float64 {
		sum := 0.0
		for x, i := range those {
			for _, k := range those[x+1:] {
				sum += before - g.alike(a, i, k)
			}
		}
		return sum
	})
}

// best is the distance not taken of which a gain is worth most, and more than nothing.
func (a *Adjustment) best(worth func(gain) float64) (Pair, bool) {
	best, most := Pair{}, 0.0
	for _, p := range a.Network.untaped() {
		if w := worth(a.gain(p)); w > most*(1+1e-9)+1e-9 {
			best, most = p, w
		}
	}
	return best, most > 0
}

// Unchecked are the measurements in which nothing would show a mistake.
func (a *Adjustment) Unchecked() []int {
	var list []int
	for i, r := range a.Checked {
		if r < CheckedFrom {
			list = append(list, i)
		}
	}
	return list
}

// Completing returns the fewest distances after which every measurement is checked, each
// taped as well as the best one was. It is false where no distances do that.
func (a *Adjustment) Completing() (Plan, bool) {
	return a.Network.Plan(a.Places, a.Network.taping(Pair{}).SD)
}

// Deciding says what a place's uncertainty along a direction hangs on most: the measurement
// that adds most to it, and the distance not taken yet that would take most off, with by how
// much of the whole each does, from 0 to 1.
type Deciding struct {
	Measurement int
	Share       float64
	More        *Pair
	Less        float64
}

// Deciding works out what decides how far a mark may be off along a direction.
func (a *Adjustment) Deciding(mark int, along r2.Point) Deciding {
	s := state{a.Places, a.Level}
	on := a.along(mark, along, s)
	whole := 0.0
	for _, v := range on {
		whole += v * v
	}
	out := Deciding{Measurement: -1}
	if whole == 0 {
		return out
	}
	for i, m := range a.Network.Measurements {
		if share := square(dot(on, a.modes(m, s))) / whole; share > out.Share*(1+1e-9) {
			out.Measurement, out.Share = i, share
		}
	}
	for _, p := range a.Network.untaped() {
		at := a.modes(a.Network.taping(p), s)
		if less := square(dot(on, at)) / (1 + dot(at, at)) / whole; less > out.Less*(1+1e-9) {
			out.More, out.Less = &p, less
		}
	}
	return out
}

// along is how a mark moves along a direction with the network's own modes, seen as Along
// sees it.
func (a *Adjustment) along(mark int, direction r2.Point, s state) []float64 {
	size := 2 * len(a.Places)
	d := direction.Normalize()
	w := mat.NewVecDense(size, nil)
	w.SetVec(2*mark, d.X)
	w.SetVec(2*mark+1, d.Y)
	if deviation(a.free, mark, d) > deviation(a.fixed, mark, d) {
		for _, move := range orthonormal(a.Network.loose(s), size) {
			w.AddScaledVec(w, -mat.Dot(w, move), move)
		}
	}
	_, count := a.reach.Dims()
	var out mat.VecDense
	out.MulVec(a.reach.Slice(0, size, 0, count).T(), w)
	return out.RawVector().Data
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}
