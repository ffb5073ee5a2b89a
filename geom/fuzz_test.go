package geom

import (
	"encoding/binary"
	"math"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// dice turns the bytes of a fuzzer into numbers; when they are used up all is 0.
type dice struct{ bytes []byte }

func (d *dice) word() uint64 {
	var b [2]byte
	d.bytes = d.bytes[copy(b[:], d.bytes):]
	return uint64(binary.LittleEndian.Uint16(b[:]))
}

// coordinate is within 16 m: whole, in 1024ths, of two numbers that are nearly the
// same one, or any.
func (d *dice) coordinate() float64 {
	w := d.word()
	v := float64(int16(d.word()))
	switch w % 4 {
	case 0:
		return math.Mod(v, 64)
	case 1:
		return v / 1024
	case 2:
		return math.Mod(v, 64) + float64(w>>2)*1e-12
	}
	return math.Mod(v*(1+float64(w)/65536*math.Pi), 16000)
}

func (d *dice) size() float64 { return math.Abs(d.coordinate()) }

func (d *dice) point() r2.Point { return r2.Point{X: d.coordinate(), Y: d.coordinate()} }

func (d *dice) vector() r3.Vector {
	return r3.Vector{X: d.coordinate(), Y: d.coordinate(), Z: d.coordinate()}
}

func (d *dice) solid() Solid {
	switch d.word() % 5 {
	case 0:
		axes := [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}
		if v := d.vector(); v.Norm() > 1 {
			axes = axesAlong(unit(v))
		}
		// A flush post has no height; else things are at least 0.01 mm thick.
		return Box{Centre: d.vector(), Axes: axes, Half: r3.Vector{X: d.size() + 0.01, Y: d.size() + 0.01, Z: d.size()}}
	case 1:
		return Tube{From: d.vector(), To: d.vector(), Radius: d.size() + 0.01}
	case 2:
		from := d.vector()
		to := d.vector()
		if from.Distance(to) < 0.01 {
			to = from.Add(r3.Vector{Y: 1})
		}
		return Cylinder{From: from, To: to, Radius: d.size() + 0.01}
	case 3:
		n := r3.Vector{X: 1}
		if v := d.vector(); v.Norm() > 1 {
			n = unit(v)
		}
		return HalfSpace{Normal: n, Offset: d.coordinate()}
	}
	corners := make([]r2.Point, 3+d.word()%6)
	for i := range corners {
		corners[i] = d.point()
	}
	hull := hullOf(corners)
	if len(hull) < 3 {
		hull = []r2.Point{{}, {X: 40}, {Y: 30}}
	}
	p := Prism{Profile: Polygon{Corners: hull}, View: View(d.word() % 2), Depth: endless()}
	if d.word()%2 == 0 {
		lo := d.coordinate()
		p.Depth = r1.Interval{Lo: lo, Hi: lo + d.size() + 0.01}
	}
	return p
}

// Whatever corners are given, they are refused or make a polygon: with an area, with
// convex pieces that make it up, and with an outside that makes up the rest of the hull.
func FuzzPolygon(f *testing.F) {
	f.Add([]byte("a polygon of some bytes, with more corners than three"))
	f.Add([]byte{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 60, 0, 0, 0, 0, 0, 0, 0, 60, 0, 0, 0, 60, 0, 0, 0, 10, 0, 0, 0, 20, 0})
	f.Fuzz(func(t *testing.T, bytes []byte) {
		d := &dice{bytes}
		var corners []r2.Point
		for len(d.bytes) > 0 && len(corners) < 64 {
			corners = append(corners, d.point())
		}
		p, err := PolygonFromCorners(corners)
		if err != nil {
			require.ErrorIs(t, err, ErrPolygon)
			return
		}
		require.Positive(t, p.Area())
		// Corners may be farther from a side than Tolerance by less than rounding: then
		// a piece may take a little more. That is against ourselves.
		bounds := p.Bounds().Size()
		slack := 1e-8 * (1 + bounds.X + bounds.Y)
		requireParts(t, p.Area(), p.ConvexPieces(), slack)
		hull := p.Hull()
		requireParts(t, hull.Area()-p.Area(), p.OutsidePieces(), slack)
		for _, c := range corners {
			require.True(t, hull.Contains(c))
		}
		for _, by := range []float64{1, -1} {
			if moved, ok := hull.Offset(by); ok {
				require.True(t, moved.IsConvex())
				require.Greater(t, by*(moved.Area()-hull.Area()), 0.0)
			}
		}
	})
}

func requireParts(t *testing.T, area float64, pieces []Polygon, slack float64) {
	t.Helper()
	sum := 0.0
	for _, piece := range pieces {
		require.True(t, piece.IsConvex(), "%v", piece)
		sum += piece.Area()
	}
	require.InDelta(t, area, sum, slack)
}

// Whatever two solids there are, their distance is a number, the same from both sides,
// never less than the sheet gap, and along its own direction as large as it says.
func FuzzSolids(f *testing.F) {
	f.Add([]byte("two solids of some bytes, one of which may be a box and the other a tube"))
	f.Add([]byte{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 9, 0, 0, 0, 9, 0, 0, 0, 9, 0, 1, 0})
	f.Fuzz(func(t *testing.T, bytes []byte) {
		d := &dice{bytes}
		a, b := d.solid(), d.solid()
		distance := Distance(a, b)
		require.False(t, math.IsNaN(distance), "%v %v", a, b)
		if isCylinder(a) && isCylinder(b) && distance <= 0 {
			return // how deep they overlap is found by a search; boxes are no drums
		}
		slack := fuzzSlack(a, distance) + fuzzSlack(b, distance)
		assert.InDelta(t, finite(distance, 1e9), finite(Distance(b, a), 1e9), slack, "%#v\n%#v", a, b)
		gap, normal := SheetGap(a, b)
		require.False(t, math.IsNaN(gap), "%v %v", a, b)
		assert.LessOrEqual(t, gap, distance+slack, "%#v\n%#v", a, b)
		back, _ := SheetGap(b, a)
		assert.InDelta(t, finite(gap, 1e9), finite(back, 1e9), slack, "%#v\n%#v", a, b)
		if !math.IsInf(gap, 0) {
			require.InDelta(t, 1, normal.Norm(), 1e-9)
			assert.InDelta(t, gap, GapAlong(a, b, normal), slack, "%#v\n%#v", a, b)
		}
		if onA, onB, far := Nearest(a, b); far > 0.1 && !math.IsInf(far, 0) {
			assert.InDelta(t, far, onA.Distance(onB), 0.02, "%#v\n%#v", a, b)
		}
	})
}

// fuzzSlack is what two ways to the same figure may differ by: 1e-12 of 16 m a few times
// over, and for the depth of what overlaps a cylinder what separateCylinder says.
func fuzzSlack(s Solid, distance float64) float64 {
	if c, ok := s.(Cylinder); ok && distance <= Tolerance {
		return 1e-6 + 0.004*c.Radius
	}
	return 1e-6
}
