package search

import (
	"math"
	"slices"

	"rackwright/pack"
	"rackwright/pack/certificate"
	lp "rackwright/pack/search/simplex"
)

// namedBounds are the bounds to try before a tree: each fills in a proof that may hold
// or not.
func namedBounds(space *certificate.Space, problem pack.Problem) []func(*certificate.Proof) {
	all := []func(*certificate.Proof){func(p *certificate.Proof) { p.Volume = true }}
	boxes := 0
	for _, k := range problem.Pack.Kinds {
		boxes += k.Count
	}
	for _, n := range grids(boxes) {
		all = append(all, func(p *certificate.Proof) { p.Points = &certificate.Points{N: n[:]} })
	}
	return append(all, func(p *certificate.Proof) { p.Scales = newMixer(space, problem).mix() })
}

// mostOnAxis is how many points along an axis are tried.
const mostOnAxis = 6

// grids lists the grids with no more points than there are boxes.
func grids(boxes int) [][3]int {
	var all [][3]int
	for x := range mostOnAxis {
		for y := range mostOnAxis {
			for z := range mostOnAxis {
				if (x+1)*(y+1)*(z+1) <= boxes {
					all = append(all, [3]int{x + 1, y + 1, z + 1})
				}
			}
		}
	}
	return all
}

// mixer looks for a mix of scaled volumes that no choice of poses keeps, as scaleBound
// does, with the scales of the certificate.
type mixer struct {
	counts  []int // by kind
	columns []standing
	scales  [3][]certificate.Scale // by axis: those that differ
	shares  [3][][]float64         // by axis, scale and column
}

// standing is the boxes of a kind that take a pose.
type standing struct{ kind, pose int }

func newMixer(space *certificate.Space, problem pack.Problem) *mixer {
	m := &mixer{}
	for k, n := range space.Poses() {
		m.counts = append(m.counts, problem.Pack.Kinds[k].Count)
		for pose := range n {
			if space.Fits(k, pose) {
				m.columns = append(m.columns, standing{k, pose})
			}
		}
	}
	for axis := range 3 {
		for _, f := range m.candidates() {
			m.add(space, axis, f)
		}
	}
	return m
}

func (m *mixer) candidates() []certificate.Scale {
	all := []certificate.Scale{{By: "plain"}}
	for n := 1; n <= 4; n++ {
		all = append(all, certificate.Scale{By: "points", N: n})
	}
	for _, c := range m.columns {
		all = append(all, certificate.Scale{By: "steps", Kind: c.kind, Pose: c.pose}, certificate.Scale{By: "cut", Kind: c.kind, Pose: c.pose})
	}
	return all
}

func (m *mixer) add(space *certificate.Space, axis int, f certificate.Scale) {
	var shares []float64
	for _, c := range m.columns {
		share, ok := space.Share(f, axis, c.kind, c.pose)
		if !ok {
			return
		}
		shares = append(shares, share)
	}
	if !slices.ContainsFunc(m.shares[axis], func(o []float64) bool { return slices.Equal(o, shares) }) {
		m.scales[axis], m.shares[axis] = append(m.scales[axis], f), append(m.shares[axis], shares)
	}
}

// mix is the mix that asks for most, whether or not that is too much. Inequalities enter
// the program as they are broken.
func (m *mixer) mix() []certificate.Mix {
	const rounds = 200
	program := m.program()
	var along [][3]int
	x, y := make([]float64, len(m.columns)+1), make([]float64, len(m.counts)+rounds)
	for range rounds {
		if program.Solve(math.Inf(-1)) != lp.Optimal {
			break
		}
		program.X(x)
		row, by, excess := m.worst(x)
		if excess <= 1e-9 {
			break
		}
		program.Push(row)
		along = append(along, by)
	}
	program.Solve(math.Inf(-1))
	program.Dual(y)
	var mixes []certificate.Mix
	for k, by := range along {
		if times := y[len(m.counts)+k]; times > lp.Tiny {
			mix := certificate.Mix{Times: times}
			for axis, f := range by {
				mix.Along = append(mix.Along, m.scales[axis][f])
			}
			mixes = append(mixes, mix)
		}
	}
	if len(mixes) == 0 { // a box that is too long in every pose needs none, but a proof is not empty
		plain := certificate.Scale{By: "plain"}
		mixes = append(mixes, certificate.Mix{Along: []certificate.Scale{plain, plain, plain}, Times: 1})
	}
	return mixes
}

// program has a variable for each column, how many boxes take it, and last the greatest
// scaled volume, which is to be small.
func (m *mixer) program() *lp.Solver {
	n := len(m.columns)
	objective, lo, hi := make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)
	objective[n], hi[n] = -1, 1e6
	rows := make([]lp.Row, len(m.counts))
	for c, col := range m.columns {
		hi[c] = float64(m.counts[col.kind])
		r := &rows[col.kind]
		r.Index, r.Coef = append(r.Index, c), append(r.Coef, -1)
	}
	program := lp.New(objective, lo, hi)
	for k, r := range rows {
		r.Bound = -float64(m.counts[k])
		program.Push(r)
	}
	return program
}

// worst is the inequality that the counts x break most, the scales that it is made of,
// and by how much it exceeds the last entry of x.
func (m *mixer) worst(x []float64) (row lp.Row, by [3]int, excess float64) {
	n := len(m.columns)
	most := math.Inf(-1)
	for i, fx := range m.shares[0] {
		for j, fy := range m.shares[1] {
			for k, fz := range m.shares[2] {
				sum := 0.0
				for c := range n {
					sum += x[c] * fx[c] * fy[c] * fz[c]
				}
				if sum > most {
					most, by = sum, [3]int{i, j, k}
				}
			}
		}
	}
	row = lp.Row{Index: []int{n}, Coef: []float64{-1}}
	for c := range n {
		if v := m.shares[0][by[0]][c] * m.shares[1][by[1]][c] * m.shares[2][by[2]][c]; v > 0 {
			row.Index, row.Coef = append(row.Index, c), append(row.Coef, v)
		}
	}
	return row, by, most - x[n]
}
