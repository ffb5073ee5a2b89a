package pack

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"
)

// cell is a place or a size on a grid of whole numbers.
type cell [3]int

// turns returns the distinct orders of a size: the boxes that it can be turned to.
func turns(s cell) []cell {
	var list []cell
	for _, o := range [][3]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}} {
		if t := (cell{s[o[0]], s[o[1]], s[o[2]]}); !slices.Contains(list, t) {
			list = append(list, t)
		}
	}
	return list
}

// placed is a turned size at its low corner.
type placed struct{ at, size cell }

func (p placed) overlaps(q placed) bool {
	for i := range 3 {
		if p.at[i]+p.size[i] <= q.at[i] || q.at[i]+q.size[i] <= p.at[i] {
			return false
		}
	}
	return true
}

// placementOf places a box with own size size so that it fills p, scaled.
func placementOf(t *testing.T, box string, number int, size cell, p placed, scale float64) Placement {
	t.Helper()
	for _, o := range orientations() {
		m := rotationOf(t, o.Up, o.Front, 0)
		w := m.times([3]float64{float64(size[0]), float64(size[1]), float64(size[2])})
		if turned := (cell{int(math.Abs(w[0])), int(math.Abs(w[1])), int(math.Abs(w[2]))}); turned == p.size {
			half := func(i int) float64 { return (float64(p.at[i]) + float64(p.size[i])/2) * scale }
			return Placement{Box: box, Number: number, Orientation: o, Centre: r3.Vector{X: half(0), Y: half(1), Z: half(2)}}
		}
	}
	t.Fatalf("%v cannot be turned to %v", size, p.size)
	return Placement{}
}

// hoffman fills 15×15×15 with 27 blocks of 4×5×6, three to each line of blocks along
// each axis; all lines being full, each block begins where the one before it ends.
func hoffman() []placed {
	var blocks []placed // block i stands at i/9, i/3%3, i%3
	before := func(i, axis int) (end int) {
		step := []int{9, 3, 1}[axis]
		if i/step%3 == 0 {
			return 0
		}
		b := blocks[i-step]
		return b.at[axis] + b.size[axis]
	}
	var fill func(i int) bool
	fill = func(i int) bool {
		if i == 27 {
			return true
		}
		at := cell{before(i, 0), before(i, 1), before(i, 2)}
		for _, size := range turns(cell{4, 5, 6}) {
			b := placed{at, size}
			fits := !slices.ContainsFunc(blocks, b.overlaps)
			for axis, step := range []int{9, 3, 1} {
				end := at[axis] + size[axis]
				fits = fits && end <= 15 && (i/step%3 != 2 || end == 15)
			}
			if !fits {
				continue
			}
			blocks = append(blocks, b)
			if fill(i + 1) {
				return true
			}
			blocks = blocks[:i]
		}
		return false
	}
	if !fill(0) {
		return nil
	}
	return blocks
}

// D. G. Hoffman, Packing problems and inequalities, in: The Mathematical Gardner
// (1981): 27 blocks a×b×c fill a cube of side a+b+c but for some holes; with 4, 5, 6
// in 15 the greatest spare is exactly 0 (three blocks on each axis line, all lines
// full).
func TestHoffmansBlocksHaveNoSpare(t *testing.T) {
	blocks := hoffman()
	require.Len(t, blocks, 27)
	for _, scale := range []float64{1, 10, 1.0 / 1024} {
		p := problemOf(crate(15*scale, 15*scale, 15*scale), kindOf("block", 27, 4*scale, 5*scale, 6*scale))
		var layout Layout
		for i, b := range blocks {
			layout.Placements = append(layout.Placements, placementOf(t, "block", i+1, cell{4, 5, 6}, b, scale))
		}
		r := checkTwice(t, p, layout)
		require.Empty(t, r.Faults)
		require.Len(t, r.Relations, 27*26/2+27*6)
		require.Equal(t, 0.0, r.Spare)
		require.True(t, r.Holds())

		// A block that has a hole beside it does not notice a little smaller opening;
		// the lines do.
		p.Frame = crate(15*scale, 15*scale, 15*scale-1.0/1024)
		r = checkTwice(t, p, layout)
		require.Equal(t, -1.0/1024, r.Spare)
		require.False(t, r.Holds())
	}
}

// fillBox fills a container without a hole: the first empty cell takes each kind of
// piece that is left, in each turn.
func fillBox(container cell, sizes []cell, counts []int) (kinds []int, pieces []placed) {
	taken := map[cell]bool{}
	mark := func(p placed, on bool) {
		for x := range p.size[0] {
			for y := range p.size[1] {
				for z := range p.size[2] {
					taken[cell{p.at[0] + x, p.at[1] + y, p.at[2] + z}] = on
				}
			}
		}
	}
	free := func(p placed) bool {
		for x := range p.size[0] {
			for y := range p.size[1] {
				for z := range p.size[2] {
					c := cell{p.at[0] + x, p.at[1] + y, p.at[2] + z}
					if taken[c] || c[0] >= container[0] || c[1] >= container[1] || c[2] >= container[2] {
						return false
					}
				}
			}
		}
		return true
	}
	var fill func(from int) bool
	fill = func(from int) bool {
		for ; from < container[0]*container[1]*container[2]; from++ {
			at := cell{from / container[2] / container[1], from / container[2] % container[1], from % container[2]}
			if taken[at] {
				continue
			}
			for k, size := range sizes {
				for _, turned := range turns(size) {
					p := placed{at, turned}
					if counts[k] == 0 || !free(p) {
						continue
					}
					counts[k]--
					mark(p, true)
					kinds, pieces = append(kinds, k), append(pieces, p)
					if fill(from + 1) {
						return true
					}
					counts[k]++
					mark(p, false)
					kinds, pieces = kinds[:len(kinds)-1], pieces[:len(pieces)-1]
				}
			}
			return false
		}
		return true
	}
	fill(0)
	return kinds, pieces
}

// The Slothouber–Graatsma puzzle (J. Slothouber and W. Graatsma, 1970): six 1×2×2 and
// three unit cubes fill 3×3×3, so the spare is exactly 0.
func TestSlothouberGraatsmaHasNoSpare(t *testing.T) {
	sizes := []cell{{1, 2, 2}, {1, 1, 1}}
	kinds, pieces := fillBox(cell{3, 3, 3}, sizes, []int{6, 3})
	require.Len(t, pieces, 9)
	const scale = 65
	p := problemOf(crate(3*scale, 3*scale, 3*scale),
		kindOf("slab", 6, scale, 2*scale, 2*scale), kindOf("cube", 3, scale, scale, scale))
	number := map[int]int{}
	var layout Layout
	for i, k := range kinds {
		number[k]++
		layout.Placements = append(layout.Placements, placementOf(t, p.Pack.Kinds[k].Name, number[k], sizes[k], pieces[i], scale))
	}
	r := checkTwice(t, p, layout)
	require.Empty(t, r.Faults)
	require.Equal(t, 0.0, r.Spare)
	// Every piece touches something on each of its six sides.
	for _, pl := range layout.Placements {
		touching := 0
		for _, n := range r.ForBox(pl.Box, pl.Number) {
			require.GreaterOrEqual(t, n.Left, 0.0)
			if n.Left == 0 {
				touching++
			}
		}
		require.GreaterOrEqual(t, touching, 6)
	}
}

// Four a×b rectangles around a square hole of side |a−b| fill a square of side a+b.
func TestPinwheelHasNoSpare(t *testing.T) {
	a, b := 190.0, 127.0
	p := problemOf(crate(a+b, 80, a+b), kindOf("block", 4, a, 80, b))
	standing := func(number int, x, z float64) Placement {
		p := upright("block", number, x, 40, z)
		p.Orientation = Orientation{Up: Front, Front: Bottom} // on end: b wide, a high
		return p
	}
	layout := layoutOf(
		upright("block", 1, a/2, 40, b/2), standing(2, a+b/2, a/2),
		upright("block", 3, b+a/2, 40, a+b/2), standing(4, b/2, b+a/2))
	r := checkTwice(t, p, layout)
	require.Empty(t, r.Faults)
	require.Equal(t, 0.0, r.Spare)
	require.Equal(t, a-b, relation(t, r, "block 1", "block 3").Gap, "across the hole")
	require.Equal(t, -3.0, Check(withGaps(p, Gaps{Beside: 3}), layout).Spare)
}

// triangle is isosceles with base 6, height 4 and inradius 1.5, scaled by 100.
func triangle() []r2.Point {
	return []r2.Point{{X: 0, Y: 0}, {X: 600, Y: 0}, {X: 300, Y: 400}}
}

// A box w×h with its base along the base b of a triangle of height H and inradius ρ
// has greatest spare ρ(1 − w/b − h/H): 0.625 for 2×1. Derived: the triangle moved in
// by the spare is similar to it, and the greatest box in a triangle has w/b + h/H = 1.
func TestBoxInATriangle(t *testing.T) {
	p := problemOf(openingOf(triangle(), -500, 500), kindOf("block", 1, 200, 100, 100))
	best := 150 * (1 - 200.0/600 - 100.0/400)
	require.InDelta(t, 62.5, best, 1e-12)
	r := checkTwice(t, p, layoutOf(upright("block", 1, 300, 0, best+50)))
	require.InDelta(t, best, r.Spare, 1e-9)
	for _, side := range []string{"side 1", "side 2", "side 3"} {
		require.InDelta(t, best, relation(t, r, "block 1", side).Left, 1e-9)
	}
	for _, off := range []r3.Vector{{X: 1}, {X: -1}, {Z: 1}, {Z: -1}} {
		c := r3.Vector{X: 300, Z: best + 50}.Add(off)
		require.Less(t, Check(p, layoutOf(upright("block", 1, c.X, c.Y, c.Z))).Spare, best-0.5, "moved by %v", off)
	}
}

// k boxes of height h side by side: (1 − Σw/b − h/H)/((k−1)/b + 1/ρ), 0.28 for two of
// 0.8×2. Derived: with spare s the triangle is smaller by s on all sides and the row
// longer by (k−1)s.
func TestRowInATriangle(t *testing.T) {
	p := problemOf(openingOf(triangle(), -500, 500), kindOf("block", 2, 80, 100, 200))
	best := (1 - 160.0/600 - 200.0/400) / (1.0/600 + 1.0/150)
	require.InDelta(t, 28, best, 1e-12)
	r := checkTwice(t, p, layoutOf(
		upright("block", 1, 300-best/2-40, 0, best+100),
		upright("block", 2, 300+best/2+40, 0, best+100)))
	require.InDelta(t, best, r.Spare, 1e-9)
	require.InDelta(t, best, relation(t, r, "block 1", "block 2").Left, 1e-9)
	require.InDelta(t, best, relation(t, r, "block 1", "side 3").Left, 1e-9)
	require.InDelta(t, best, relation(t, r, "block 2", "side 2").Left, 1e-9)
}

// The same triangle and its block turned together about the cross axis: the block is
// then a tilted one.
func TestTiltedTriangle(t *testing.T) {
	for _, deg := range []float64{5, 12, -30, 90} {
		tilt := s1.Angle(deg) * s1.Degree
		m := pitch(tilt.Radians())
		turn := func(x, z float64) r2.Point {
			w := m.times([3]float64{x, 0, z})
			return r2.Point{X: w[0], Y: w[2]}
		}
		var outline []r2.Point
		for _, c := range triangle() {
			outline = append(outline, turn(c.X, c.Y))
		}
		k := kindOf("block", 1, 200, 100, 100)
		k.Tilts = []s1.Angle{tilt}
		c := turn(300, 62.5+50)
		r := Check(problemOf(openingOf(outline, -500, 500), k), layoutOf(Placement{
			Box: "block", Number: 1, Orientation: Orientation{Up: Top, Front: Front, Tilt: tilt}, Centre: r3.Vector{X: c.X, Z: c.Y},
		}))
		require.Empty(t, r.Faults)
		// The turned corners are off the lattice and snapped by up to a lattice step.
		require.InDelta(t, 62.5, r.Spare, 3.0/1024, "%v°", deg)
	}
}

// A row of k boxes in a length L has greatest spare (L − Σl)/(k+1).
func TestRowOfBoxes(t *testing.T) {
	for k, length := range map[int]float64{1: 700, 3: 601, 7: 1000} {
		p := problemOf(crate(length, 1000, 1000), kindOf("block", k, 100, 100, 100))
		best := (length - 100*float64(k)) / float64(k+1)
		var layout Layout
		for i := range k {
			x := best + (100+best)*float64(i) + 50
			layout.Placements = append(layout.Placements, upright("block", i+1, x, 500, 500))
		}
		r := checkTwice(t, p, layout)
		require.InDelta(t, best, r.Spare, 1e-9, fmt.Sprint(k, " boxes"))
	}
}
