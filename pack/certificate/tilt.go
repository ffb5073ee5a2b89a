package certificate

import (
	"fmt"
	"math/big"

	"github.com/golang/geo/s1"
)

// tilt is a turn about the y axis, right-handed, by its sine and cosine. Those of a tilt
// that is not 0 are irrational, so they are enclosed.
type tilt struct {
	angle    s1.Angle
	sin, cos enclosure
}

// mostTilt is the largest angle in radians for which the enclosures are made.
const mostTilt = 1.5

func tiltOf(a s1.Angle) (tilt, error) {
	x := a.Radians()
	switch {
	case x == 0:
		return tilt{a, exactly(whole(0)), exactly(whole(1))}, nil
	case !(x >= -mostTilt && x <= mostTilt):
		return tilt{}, fmt.Errorf("%w: a tilt of %v degrees", ErrUnsupported, a.Degrees())
	}
	return tilt{a, series(rat(x), rat(x), 1), series(rat(x), whole(1), 0)}, nil
}

// terms of a series that are added up. For angles up to mostTilt the next is below
// 1.5²⁴/24! < 2⁻⁶⁴.
const terms = 12

// series encloses the sine or the cosine of x: it adds up the powers of x over the
// factorials, with signs in turn, from the first on, which has the given order. Those left
// out get less from one to the next, so that together they are no more than the first.
// The ends are moved out by 2⁻⁵⁰. That covers the rounding of degrees to radians and that
// of the judge's sine and cosine (together 2⁻⁵¹), and leaves numbers with few places.
func series(x, first *big.Rat, order int) enclosure {
	square := neg(mul(x, x))
	sum, term := whole(0), first
	for range terms {
		sum = add(sum, term)
		term = quo(mul(term, square), whole((order+1)*(order+2)))
		order += 2
	}
	rest := most(term, neg(term))
	fine := new(big.Rat).SetInt(new(big.Int).Lsh(big.NewInt(1), places))
	low := floor(mul(sub(sum, rest), fine))
	high := ceil(mul(add(sum, rest), fine))
	const out = 1 << (places - 50)
	return enclosure{quo(sub(low, whole(out)), fine), quo(add(high, whole(out)), fine)}
}

// places is how many binary places the ends of an enclosure have.
const places = 56

// forward is where the x axis of the level points.
func (t *tilt) forward() direction {
	return direction{t.cos, exactly(whole(0)), t.sin.negated()}
}

// up is where the z axis of the level points.
func (t *tilt) up() direction {
	return direction{t.sin, exactly(whole(0)), t.cos}
}

// back is n as seen from the level.
func (t *tilt) back(n direction) direction {
	if t.angle == 0 {
		return n
	}
	along := func(a direction) enclosure { return a[0].by(n[0]).plus(a[2].by(n[2])) }
	return direction{along(t.forward()), n[1], along(t.up())}
}
