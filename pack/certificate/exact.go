package certificate

import (
	"math"
	"math/big"
)

// vec is a point or a direction.
type vec [3]*big.Rat

// rat is a number of a file, exactly; nil for one that is not finite.
func rat(f float64) *big.Rat { return new(big.Rat).SetFloat64(f) }

// millimetres is a length of a file as the decimal number that was written there, which float64
// only comes near: the nearest multiple of 1e-10 mm, a tenth of geom.Tolerance. So 3 × 165.3
// are 495.9 here, and what is filled exactly is never refuted. Inches to the 1024th are such
// multiples too.
func millimetres(f float64) *big.Rat {
	const perMM = 10_000_000_000
	if !(math.Abs(f) < 1<<17) {
		return rat(f) // of no file
	}
	return big.NewRat(int64(math.Round(f*perMM)), perMM)
}

func whole(n int) *big.Rat { return new(big.Rat).SetInt64(int64(n)) }

func add(a, b *big.Rat) *big.Rat { return new(big.Rat).Add(a, b) }
func sub(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }
func mul(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
func quo(a, b *big.Rat) *big.Rat { return new(big.Rat).Quo(a, b) }
func neg(a *big.Rat) *big.Rat    { return new(big.Rat).Neg(a) }

func less(a, b *big.Rat) bool { return a.Cmp(b) < 0 }

func least(a, b *big.Rat) *big.Rat {
	if less(b, a) {
		return b
	}
	return a
}

func most(a, b *big.Rat) *big.Rat {
	if less(a, b) {
		return b
	}
	return a
}

func vector(x, y, z float64) vec { return vec{millimetres(x), millimetres(y), millimetres(z)} }

// along is ±1 along an axis.
func along(axis, sign int) vec {
	v := vec{whole(0), whole(0), whole(0)}
	v[axis] = whole(sign)
	return v
}

func dot(a, b vec) *big.Rat {
	sum := new(big.Rat)
	for k := range 3 {
		if a[k].Sign() != 0 && b[k].Sign() != 0 {
			sum.Add(sum, mul(a[k], b[k]))
		}
	}
	return sum
}

func minus(a, b vec) vec { return vec{sub(a[0], b[0]), sub(a[1], b[1]), sub(a[2], b[2])} }

func cross(a, b vec) vec {
	var c vec
	for k := range 3 {
		i, j := (k+1)%3, (k+2)%3
		c[k] = sub(mul(a[i], b[j]), mul(a[j], b[i]))
	}
	return c
}

func zero(v vec) bool { return v[0].Sign() == 0 && v[1].Sign() == 0 && v[2].Sign() == 0 }

// same tells whether two directions are the same but for their lengths.
func same(a, b vec) bool { return zero(cross(a, b)) && dot(a, b).Sign() > 0 }

// length is at most that of v, and less by at most 2⁻⁶⁴.
func length(v vec) *big.Rat {
	square := dot(v, v)
	scaled := new(big.Int).Lsh(square.Num(), 128)
	scaled.Div(scaled, square.Denom())
	root := new(big.Rat).SetInt(scaled.Sqrt(scaled))
	return root.Quo(root, new(big.Rat).SetInt(new(big.Int).Lsh(big.NewInt(1), 64)))
}

// floor is the greatest whole number that is not above a.
func floor(a *big.Rat) *big.Rat {
	n, _ := new(big.Int).DivMod(a.Num(), a.Denom(), new(big.Int))
	return new(big.Rat).SetInt(n)
}

func ceil(a *big.Rat) *big.Rat { return neg(floor(neg(a))) }
