package judge

import (
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/rack"
)

// The tests of this file and those beside it, *_exact_test.go, hold each limit to the last bit: what
// lies just on it passes. They are made of a few blocks with one face each that matters, whose
// figures are exact in a float64, and every figure that is expected is worked out by hand.

var (
	above = r3.Vector{Z: 1}
	below = r3.Vector{Z: -1}
	ahead = r3.Vector{X: 1}
)

// wide is how large a block is across where that does not matter.
const wide = 64

// topAt is a block, wide across, whose top is at so many mm, nought or below, to the last bit.
func topAt(mm float64) solid {
	depth := -mm
	if mm == 0 {
		depth = wide
	}
	axes := [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}
	return solidOf(geom.Box{Centre: r3.Vector{Z: mm - depth}, Axes: axes, Half: r3.Vector{X: wide, Y: wide, Z: depth}})
}

// about is a block around the origin, so high to each side.
func about(mm float64) solid { return corners(-wide/2, -wide/2, -mm, wide/2, wide/2, mm) }

func corners(x, y, z, x2, y2, z2 float64) solid {
	return solidOf(geom.BoxFromCorners(r3.Vector{X: x, Y: y, Z: z}, r3.Vector{X: x2, Y: y2, Z: z2}))
}

// apartBy are two blocks with so much between them, upright, to the last bit.
func apartBy(mm float64) (lower, upper solid) { return topAt(-2 * mm), about(mm) }

// intoBy are two blocks that are in one another by so much, to the last bit.
func intoBy(mm float64) (lower, upper solid) { return topAt(0), about(mm) }

// next is the next larger figure: past a limit by the last bit.
func next(mm float64) float64 { return math.Nextafter(mm, math.Inf(1)) }

func barOf(name string, solids ...solid) part {
	return part{name: name, bar: &rack.Bar{Name: name}, solids: solids}
}

func boltOf(f rack.Fastener) part {
	return part{name: f.Name, fastener: &f, solids: solidsOf(f.Solids()), late: f.Late}
}

// sceneOf is one with nothing in it but parts.
func sceneOf(parts ...part) *scene {
	j := &scene{rack: &rack.Rack{}, problem: pack.Problem{Frame: &frame.Frame{}, Pack: &pack.Pack{}}, parts: parts, mounts: map[string]frame.Mount{}, heldAll: map[string]bool{}}
	for _, p := range parts {
		if p.bar != nil {
			j.rack.Bars = append(j.rack.Bars, *p.bar)
		} else {
			j.rack.Fasteners = append(j.rack.Fasteners, *p.fastener)
		}
	}
	return j
}

// boxAt is a box of the layout, without posts.
func boxAt(number int, body solid) box {
	at := pack.Part{Box: "block", Number: number}
	return box{part: at, name: at.String(), body: body}
}

// saying returns what was found whose text has some words in it, and forgets all that was found.
func (j *scene) saying(words string) []Violation {
	var list []Violation
	for _, v := range j.found {
		if strings.Contains(v.Text, words) {
			list = append(list, v)
		}
	}
	j.found = nil
	return list
}

// The blocks are what they are said to be.
func TestExactBlocks(t *testing.T) {
	for _, mm := range []float64{touch, overlap, geom.Tolerance, 1, 3} {
		a, b := apartBy(mm)
		require.Equal(t, mm, geom.Distance(a.Solid, b.Solid))
		a, b = intoBy(mm)
		require.Equal(t, -mm, geom.Distance(a.Solid, b.Solid))
	}
}

// Only what is near along every axis is measured; what is farther away along one is not.
func TestBeyond(t *testing.T) {
	a := corners(0, 0, 0, 10, 10, 10)
	for _, by := range []r3.Vector{{X: 12}, {Y: 12}, {Z: 12}, {X: -12}, {Y: -12}, {Z: -12}} {
		b := solidOf(geom.BoxFromCorners(a.low.Add(by), a.high.Add(by)))
		require.True(t, beyond(a, b, 1.5))
		require.False(t, beyond(a, b, 2))
		require.True(t, math.IsInf(distance(a, b, 1.5), 1))
		require.Equal(t, 2.0, distance(a, b, 2))
	}
}

// A pad's gap is told up to 1 mm.
func TestGapOfAPad(t *testing.T) {
	a, b := apartBy(1)
	require.Equal(t, 1.0, geomGap(a, b))
	a, b = apartBy(1.5)
	require.True(t, math.IsInf(geomGap(a, b), 1))
}

func TestCompareFloats(t *testing.T) {
	require.Equal(t, []int{-1, 0, 1}, []int{cmpFloat(1, 2), cmpFloat(2, 2), cmpFloat(2, 1)})
}

// How many posts a box has, and which way they point, whichever face they are on.
func TestPostsOfABox(t *testing.T) {
	faces := map[pack.Face]r3.Vector{
		pack.Top: {Z: 1}, pack.Bottom: {Z: -1}, pack.Front: {X: 1}, pack.Back: {X: -1}, pack.Left: {Y: 1}, pack.Right: {Y: -1},
	}
	for face, out := range faces {
		p := pack.Problem{Frame: &frame.Frame{}, Pack: &pack.Pack{Kinds: []pack.Kind{{
			Name: "block", Count: 1, Size: r3.Vector{X: 60, Y: 60, Z: 60}, Mass: 4,
			Posts: []pack.Post{{Name: "plus", Face: face, Diameter: 10, Height: 5, JoinedFirst: true}},
		}}}}
		p.Pack.Kinds[0].Posts[0].At.X, p.Pack.Kinds[0].Posts[0].At.Y = 30, 30
		b, err := boxOf(p, pack.Placement{Box: "block", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}})
		require.NoError(t, err)
		require.Equal(t, []r3.Vector{out}, b.outward, face)
		require.Equal(t, []bool{true}, b.first)
		require.Equal(t, 4.0, b.mass)
		middle := b.posts[0].low.Add(b.posts[0].high).Mul(0.5)
		require.InDelta(t, 30+5/2.0, middle.Dot(out), 3, "outside of the box")
	}
}
