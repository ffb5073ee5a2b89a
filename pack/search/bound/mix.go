package bound

import (
	"math"

	"rackwright/pack"
	"rackwright/pack/certificate"
	"rackwright/pack/lp"
)

// Mix looks for a mix of scaled volumes, by the scales of the certificate, that no choice of poses
// keeps: it gives the one that asks for most, whether or not that is too much.
func Mix(space *certificate.Space, kinds []pack.Kind) []certificate.Mix {
	return newMixer(space, kinds).mix()
}

// mixer looks for a mix of scaled volumes that no choice of poses keeps, as scaleBound
// does, with the scales of the certificate. Poses are the certificate's, of which there may be more
// than the search's.
type mixer struct {
	shares shares
	poses  []int                  // by column
	scales [3][]certificate.Scale // by axis: those that differ
}

// newMixer lists the poses that are short enough to be taken, and what each scale makes of them.
func newMixer(space *certificate.Space, kinds []pack.Kind) *mixer {
	m := &mixer{shares: sharesOf(kinds)}
	for k, n := range space.Poses() {
		for pose := range n {
			if space.Fits(k, pose) {
				m.shares.kind, m.poses = append(m.shares.kind, k), append(m.poses, pose)
			}
		}
	}
	for axis := range 3 {
		for _, f := range m.candidates() {
			m.try(space, axis, f)
		}
	}
	return m
}

// candidates are the scales that are worth trying: the plain one, points, and steps and cuts of
// each length that there is.
func (m *mixer) candidates() []certificate.Scale {
	all := []certificate.Scale{{By: "plain"}}
	for n := 1; n <= 4; n++ {
		all = append(all, certificate.Scale{By: "points", N: n})
	}
	for c, k := range m.shares.kind {
		pose := m.poses[c]
		all = append(all, certificate.Scale{By: "steps", Kind: k, Pose: pose}, certificate.Scale{By: "cut", Kind: k, Pose: pose})
	}
	return all
}

// try adds a scale along an axis where it is one there.
func (m *mixer) try(space *certificate.Space, axis int, f certificate.Scale) {
	var row []float64
	for c, k := range m.shares.kind {
		share, ok := space.Share(f, axis, k, m.poses[c])
		if !ok {
			return
		}
		row = append(row, share)
	}
	if m.shares.add(axis, row) {
		m.scales[axis] = append(m.scales[axis], f)
	}
}

// mix is the mix that asks for most, whether or not that is too much.
//
// Its multipliers say how often each product of three scales is to be taken. The checker adds them
// up in rational numbers, so what rounding does here cannot make a proof wrong.
func (m *mixer) mix() []certificate.Mix {
	program, ok := m.shares.program()
	if !ok { // a box that is too long in every pose needs no mix, but a proof is not empty
		plain := certificate.Scale{By: "plain"}
		return []certificate.Mix{{Along: []certificate.Scale{plain, plain, plain}, Times: 1}}
	}
	var along [][3]int
	x, y := make([]float64, len(m.shares.kind)+1), make([]float64, len(m.shares.counts)+mostMixes)
	for range mostMixes {
		if program.Solve(math.Inf(-1)) != lp.Optimal {
			break
		}
		program.X(x)
		row, by, excess := m.shares.worst(x)
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
		if times := y[len(m.shares.counts)+k]; times > lp.Tiny {
			mix := certificate.Mix{Times: times}
			for axis, f := range by {
				mix.Along = append(mix.Along, m.scales[axis][f])
			}
			mixes = append(mixes, mix)
		}
	}
	return mixes
}
