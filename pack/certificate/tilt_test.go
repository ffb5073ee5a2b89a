package certificate

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"
)

// requireEncloses requires that polynomial, coefficients from the constant on, which grows
// where the number is, has its root in the enclosure.
func requireEncloses(t *testing.T, e enclosure, polynomial ...int) {
	t.Helper()
	at := func(x *big.Rat) int {
		sum := whole(0)
		for i := len(polynomial) - 1; i >= 0; i-- {
			sum = add(mul(sum, x), whole(polynomial[i]))
		}
		return sum.Sign()
	}
	require.Negative(t, at(e.low))
	require.Positive(t, at(e.high))
	require.True(t, less(sub(e.high, e.low), big.NewRat(1, 1<<48)))
}

// Sines that are roots, derived from the regular polygons (Euclid, Elements IV): those of
// 30° and 60° from the hexagon, of 45° from the square, of 18° and 54° from the pentagon.
func TestSinesThatAreRoots(t *testing.T) {
	sine := func(degrees float64) enclosure {
		a, err := tiltOf(s1.Angle(degrees) * s1.Degree)
		require.NoError(t, err)
		return a.sin
	}
	requireEncloses(t, sine(30), -1, 2)
	requireEncloses(t, sine(60), -3, 0, 4)
	requireEncloses(t, sine(45), -1, 0, 2)
	requireEncloses(t, sine(18), -1, 2, 4) // (√5 − 1)/4
	requireEncloses(t, sine(54), -1, -2, 4)
	cosine := func(degrees float64) enclosure {
		a, err := tiltOf(s1.Angle(degrees) * s1.Degree)
		require.NoError(t, err)
		return a.cos
	}
	requireEncloses(t, cosine(60), -1, 2)
	requireEncloses(t, cosine(-30), -3, 0, 4)
	requireEncloses(t, cosine(-45), -1, 0, 2)
	requireEncloses(t, cosine(36), -1, -2, 4)
	requireEncloses(t, sine(-30).negated(), -1, 2)
}

// The judge's own sine and cosine are enclosed too, for every angle in degrees.
func TestSinesOfTheJudge(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 2000 {
		angle := s1.Angle(rng.Float64()*120-60) * s1.Degree
		a, err := tiltOf(angle)
		require.NoError(t, err)
		sin, cos := math.Sincos(angle.Radians())
		for _, of := range []struct {
			enclosure
			by float64
		}{{a.sin, sin}, {a.cos, cos}} {
			require.True(t, less(of.low, rat(of.by)) && less(rat(of.by), of.high), "%v", angle)
			require.True(t, less(sub(of.high, of.low), big.NewRat(1, 1<<48)), "%v", angle)
		}
		one := a.sin.by(a.sin).plus(a.cos.by(a.cos))
		require.True(t, less(one.low, whole(1)) && less(whole(1), one.high))
	}
}

func TestNoTiltIsExact(t *testing.T) {
	a, err := tiltOf(0)
	require.NoError(t, err)
	require.True(t, a.sin.isZero() && a.cos.exact() && a.cos.low.Cmp(whole(1)) == 0)
}

func TestTiltsThatAreNone(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1.6, -1.6} {
		_, err := tiltOf(s1.Angle(x))
		require.ErrorIs(t, err, ErrUnsupported)
	}
}

// What is reckoned with enclosures encloses what is reckoned with any numbers in them.
func TestEnclosuresEnclose(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	number := func() *big.Rat { return big.NewRat(int64(rng.IntN(41)-20), int64(1+rng.IntN(4))) }
	between := func(e enclosure) *big.Rat {
		return add(e.low, mul(sub(e.high, e.low), big.NewRat(int64(rng.IntN(5)), 4)))
	}
	random := func() enclosure {
		a, b := number(), number()
		return enclosure{least(a, b), most(a, b)}
	}
	holds := func(e enclosure, a *big.Rat) {
		t.Helper()
		require.False(t, less(a, e.low) || less(e.high, a), "%v in %v", a, e)
	}
	for range 5000 {
		e, f := random(), random()
		a, b, c := between(e), between(f), number()
		holds(e.plus(f), add(a, b))
		holds(e.by(f), mul(a, b))
		holds(e.times(c), mul(a, c))
		holds(e.negated(), neg(a))
		holds(e.size(), most(a, neg(a)))
		n := direction{e, f, exactly(c)}
		v := vec{a, b, c}
		p := vec{number(), number(), number()}
		holds(n.along(p), dot(v, p))
		reach := vec{most(p[0], neg(p[0])), most(p[1], neg(p[1])), most(p[2], neg(p[2]))}
		gain := sub(dot(v, p), dot(n.near(), p))
		require.False(t, less(n.lost(reach), gain))
		require.False(t, less(length(v), n.length()))
	}
}
