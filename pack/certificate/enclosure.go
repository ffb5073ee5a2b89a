package certificate

import "math/big"

// enclosure is two numbers between which a number is known to lie. A rational number is
// enclosed by itself.
type enclosure struct{ low, high *big.Rat }

func exactly(a *big.Rat) enclosure { return enclosure{a, a} }

func (e enclosure) exact() bool { return e.low.Cmp(e.high) == 0 }

// isZero tells whether the number is known to be 0.
func (e enclosure) isZero() bool { return e.low.Sign() == 0 && e.high.Sign() == 0 }

func (e enclosure) plus(o enclosure) enclosure {
	return enclosure{add(e.low, o.low), add(e.high, o.high)}
}

func (e enclosure) negated() enclosure { return enclosure{neg(e.high), neg(e.low)} }

// times is e, so many times.
func (e enclosure) times(a *big.Rat) enclosure {
	low, high := mul(a, e.low), mul(a, e.high)
	return enclosure{least(low, high), most(low, high)}
}

// by is the product of two numbers.
func (e enclosure) by(o enclosure) enclosure {
	a, b := e.times(o.low), e.times(o.high)
	return enclosure{least(a.low, b.low), most(a.high, b.high)}
}

// size encloses the distance of the number from 0.
func (e enclosure) size() enclosure {
	switch {
	case e.low.Sign() >= 0:
		return e
	case e.high.Sign() <= 0:
		return e.negated()
	}
	return enclosure{whole(0), most(neg(e.low), e.high)}
}

// direction is a direction by its components.
type direction [3]enclosure

func exactDirection(v vec) direction {
	return direction{exactly(v[0]), exactly(v[1]), exactly(v[2])}
}

func (n direction) exact() bool { return n[0].exact() && n[1].exact() && n[2].exact() }

func (n direction) opposite() direction {
	return direction{n[0].negated(), n[1].negated(), n[2].negated()}
}

// near is a rational direction that stands for n.
func (n direction) near() vec { return vec{n[0].low, n[1].low, n[2].low} }

// lost is by how much near()·p may be less than n·p, for a p with no component farther
// from 0 than that of reach.
func (n direction) lost(reach vec) *big.Rat {
	sum := new(big.Rat)
	for k := range 3 {
		if !n[k].exact() {
			sum.Add(sum, mul(sub(n[k].high, n[k].low), reach[k]))
		}
	}
	return sum
}

// along encloses n·p.
func (n direction) along(p vec) enclosure {
	sum := exactly(whole(0))
	for k := range 3 {
		if !n[k].isZero() && p[k].Sign() != 0 {
			sum = sum.plus(n[k].times(p[k]))
		}
	}
	return sum
}

// length is at most that of n.
func (n direction) length() *big.Rat {
	return length(vec{n[0].size().low, n[1].size().low, n[2].size().low})
}

// sameAs tells whether two directions are known to be the same but for their lengths.
func (n direction) sameAs(o direction) bool {
	return n.exact() && o.exact() && same(n.near(), o.near())
}
