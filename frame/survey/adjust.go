package survey

import (
	"fmt"
	"math"

	"github.com/golang/geo/r2"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Adjustment is a network with its most likely places.
type Adjustment struct {
	Network *Network
	Places  []r2.Point // of the marks
	Level   float64    // z of the line that heights are measured from
	// Residuals are adjusted less measured, in the unit of each measurement.
	Residuals []float64
	// Checked are the redundancy numbers: 0 where no other measurement would show a mistake.
	Checked []float64
	// Spare is how many measurements there are more than needed.
	Spare int
	// Sigma0 is how much the measurements disagree over what their standard deviations let
	// expect, about 1 where these are right; 0 where none is to spare.
	Sigma0 float64
	// Assumed is the mark that is taken to lie above the datum's line, for nothing says on
	// which side of it; −1 where that is known.
	Assumed int
	// Forward tells that lines with a slope are taken to rise to the front, for nothing says
	// which way they lean.
	Forward bool

	cost     float64
	hat      *mat.SymDense // how much of each measurement, over its deviation, goes into each adjusted one
	fixed    *mat.SymDense // covariance of x and z of all marks in turn, with the datum held
	free     *mat.SymDense // the same about the network as a whole
	reach    *mat.Dense    // movements of all marks and the level, by the network's own modes over their weight
	agreeing bool
}

// Adjust finds the places of the marks that the measurements make most likely. The error is
// a *Fault.
func Adjust(n *Network) (*Adjustment, error) {
	if f := n.lonely(); f != nil {
		return nil, f
	}
	if f := n.tooShort(); f != nil {
		return nil, f
	}
	a, err := n.likeliest()
	if f := n.open(); f != nil && (err != nil || len(a.Snoop().Wrong) == 0) {
		return nil, f // and of none of the three can be said that it is the wrong one
	}
	return a, err
}

// likeliest looks for the network that was measured and adjusts it.
func (n *Network) likeliest() (*Adjustment, error) {
	if len(n.known()) == len(n.Marks) && !n.has(Height) {
		return n.given(), nil
	}
	found := n.solutions()
	if len(found) == 0 {
		return nil, &Fault{Rule: Unclosed, Text: "no places of the marks suit the measurements"}
	}
	if f := n.moving(found[0].state); f != nil {
		return nil, f
	}
	chosen, assumed, fault := n.choose(found)
	if fault != nil {
		return nil, fault
	}
	a, err := n.adjust(chosen.state)
	if err != nil {
		return nil, err
	}
	a.Assumed, a.Forward = assumed.above, assumed.forward
	return a, nil
}

// given is the adjustment of a network whose marks are all known: it only checks measurements.
func (n *Network) given() *Adjustment {
	size, count := 2*len(n.Marks), len(n.Measurements)
	a := &Adjustment{
		Network: n, Spare: count, Assumed: -1, Checked: make([]float64, count), hat: mat.NewSymDense(max(1, count), nil),
		fixed: mat.NewSymDense(size, nil), free: mat.NewSymDense(size, nil), reach: mat.NewDense(size+1, 1, nil),
	}
	for _, m := range n.Marks {
		a.Places = append(a.Places, *m.At)
	}
	for i := range a.Checked {
		a.Checked[i] = 1
	}
	s := state{at: a.Places}
	a.cost = n.cost(s)
	a.measures(s)
	a.agree()
	return a
}

// moving finds marks that can move without any measurement changing.
func (n *Network) moving(s state) *Fault {
	basis := n.allowed(s)
	design, _ := n.design(s, basis)
	rows, moves := design.Dims()
	if rows < moves { // singular values of fewer rows hide what is missing
		design = mat.DenseCopyOf(design.Grow(moves-rows, 0))
	}
	var svd mat.SVD
	svd.Factorize(design, mat.SVDThin)
	values := svd.Values(nil)
	last := len(values) - 1
	if values[last] > fixedness*values[0] {
		return nil
	}
	var v mat.Dense
	svd.VTo(&v)
	var by mat.VecDense
	by.MulVec(basis, v.ColView(last))
	return n.unfixed(s, by.RawVector().Data)
}

// fixedness is the least singular value of a fixed network over the greatest: below it some
// mark would be off by a million times what a distance is.
const fixedness = 1e-6

// unfixed is the fault of marks that can move so.
func (n *Network) unfixed(s state, by []float64) *Fault {
	move := func(i int) r2.Point { return r2.Point{X: by[2*i], Y: by[2*i+1]} }
	most := 0.0
	for i := range n.Marks {
		most = max(most, move(i).Norm())
	}
	var names []string
	var marks []int
	for i := range n.Marks {
		if move(i).Norm() > 0.1*most {
			names, marks = append(names, n.name(i)), append(marks, i)
		}
	}
	text := fmt.Sprintf("nothing fixes %s: it can move without any measurement changing", listed(names))
	if len(names) > 1 {
		text = fmt.Sprintf("nothing fixes %s: they can move without any measurement changing", listed(names))
	}
	best, stretch := Pair{}, 0.0
	for _, p := range n.untaped() {
		d := s.at[p.To].Sub(s.at[p.From])
		if l := d.Norm(); l > 0 {
			if change := math.Abs(d.Dot(move(p.To).Sub(move(p.From)))) / l; change > stretch*(1+1e-9) {
				best, stretch = p, change
			}
		}
	}
	if stretch > 1e-3*most {
		text += fmt.Sprintf(". Tape %s too", n.PairName(best))
	} else {
		text += ". Add a mark off their line, and tape them to it"
	}
	return &Fault{Rule: Unfixed, Marks: marks, Text: text}
}

// adjust ends the way down with undamped steps and works out everything about the result.
func (n *Network) adjust(s state) (*Adjustment, error) {
	basis := n.allowed(s)
	var svd mat.SVD
	for range 20 {
		design, off := n.design(s, basis)
		if rows, moves := design.Dims(); rows < moves {
			return nil, n.moving(s)
		}
		svd.Factorize(design, mat.SVDThin)
		var y, by mat.Dense
		svd.SolveTo(&y, mat.NewDense(len(off), 1, off), len(svd.Values(nil)))
		by.Mul(basis, &y)
		step := mat.Col(nil, 0, &by)
		next, lower := n.shortened(s, step)
		if !lower {
			break
		}
		s = next
		if mat.Norm(&by, 2) < 1e-13*span(s.at) {
			break
		}
	}
	a := &Adjustment{Network: n, Places: s.at, Level: s.level, cost: n.cost(s)}
	a.measures(s)
	a.covariances(&svd, basis, s)
	_, moves := basis.Dims()
	a.Spare = len(n.Measurements) - moves
	a.agree()
	if a.Spare == 0 && a.cost > 1e-6*float64(len(n.Measurements)) {
		return nil, &Fault{Rule: Unclosed, Text: "the measurements cannot hold together, and none is to spare to tell which is wrong: tape them again"}
	}
	return a, nil
}

// shortened is a state moved by a step, by a half, a quarter and so on of it where the cost
// rises: with measurements that disagree much, whole steps may go too far. It is false where
// no step lowers the cost any more.
func (n *Network) shortened(s state, step []float64) (state, bool) {
	before := n.cost(s)
	for range 30 {
		if next := s.moved(step); n.cost(next) <= before*(1+stepsEnough)+1e-12 {
			return next, true
		}
		for i := range step {
			step[i] /= 2
		}
	}
	return s, false
}

// agree works out whether the measurements agree.
func (a *Adjustment) agree() {
	a.agreeing = true
	if a.Spare > 0 {
		a.Sigma0 = math.Sqrt(a.cost / float64(a.Spare))
		a.agreeing = a.cost <= distuv.ChiSquared{K: float64(a.Spare)}.Quantile(1-missAtMost)
	}
}

// missAtMost is how seldom right measurements may be called wrong: one in a thousand, the
// choice of Baarda (from memory).
const missAtMost = 0.001

// measures works out what is left over of each measurement.
func (a *Adjustment) measures(s state) {
	for _, m := range a.Network.Measurements {
		predicted, _ := a.Network.predict(m, s)
		a.Residuals = append(a.Residuals, -misclosure(m, predicted))
	}
}

// covariances works out redundancy numbers and covariances from the singular values of the
// last design: measurements U S Vᵀ of the movements.
func (a *Adjustment) covariances(svd *mat.SVD, basis *mat.Dense, s state) {
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	count, moves := u.Dims()
	a.hat = mat.NewSymDense(count, nil)
	a.hat.SymOuterK(1, &u)
	a.Checked = make([]float64, count)
	for i := range a.Checked {
		a.Checked[i] = min(1, max(0, 1-a.hat.At(i, i)))
	}
	a.reach = new(mat.Dense)
	a.reach.Mul(basis, &v)
	for k, value := range svd.Values(nil) {
		for i := range 2*len(s.at) + 1 {
			a.reach.Set(i, k, a.reach.At(i, k)/value)
		}
	}
	whole := mat.DenseCopyOf(a.reach.Slice(0, 2*len(s.at), 0, moves))
	a.fixed = mat.NewSymDense(2*len(s.at), nil)
	a.fixed.SymOuterK(1, whole)
	for _, move := range orthonormal(a.Network.loose(s), 2*len(s.at)) {
		var along mat.VecDense
		along.MulVec(whole.T(), move)
		whole.RankOne(whole, -1, move, &along)
	}
	a.free = mat.NewSymDense(2*len(s.at), nil)
	a.free.SymOuterK(1, whole)
}

// orthonormal makes unit vectors at right angles of the first numbers of some (after Gram
// and Schmidt).
func orthonormal(vectors [][]float64, size int) []*mat.VecDense {
	var list []*mat.VecDense
	for _, v := range vectors {
		one := mat.NewVecDense(size, append([]float64{}, v[:size]...))
		for _, other := range list {
			one.AddScaledVec(one, -mat.Dot(one, other), other)
		}
		if norm := mat.Norm(one, 2); norm > 0 {
			one.ScaleVec(1/norm, one)
			list = append(list, one)
		}
	}
	return list
}
