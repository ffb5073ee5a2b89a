package frame

import (
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"rackwright/geom"
)

// free tells whether a point is in none of the flat-faced solids, by their planes.
func free(all []Obstacle, p r3.Vector) bool {
	for _, o := range all {
		inside := true
		for _, n := range o.Solid.Normals() {
			inside = inside && p.Dot(n) < o.Solid.Extent(n).Hi
		}
		if inside {
			return false
		}
	}
	return true
}

// star draws a simple polygon: corners at rising angles about a point.
func star(t *rapid.T) geom.Polygon {
	n := rapid.IntRange(3, 9).Draw(t, "corners")
	turn := rapid.Float64Range(0, 6).Draw(t, "turn")
	var corners []r2.Point
	for i := range n {
		a := turn + 2*math.Pi*float64(i)/float64(n)
		r := rapid.Float64Range(40, 400).Draw(t, "radius")
		corners = append(corners, r2.Point{X: 100 + r*math.Cos(a), Y: 50 + r*math.Sin(a)})
	}
	p, err := geom.PolygonFromCorners(corners)
	require.NoError(t, err)
	return p
}

// toEdge is how far q is inside a polygon, negative outside: by the distance to its
// edges and the winding number, written anew.
func toEdge(p geom.Polygon, q r2.Point) float64 {
	least, angle := inf, 0.0
	for i, a := range p.Corners {
		b := p.Corners[(i+1)%len(p.Corners)]
		e := b.Sub(a)
		s := min(max(q.Sub(a).Dot(e)/e.Dot(e), 0), 1)
		least = min(least, q.Sub(a.Add(e.Mul(s))).Norm())
		u, v := a.Sub(q), b.Sub(q)
		angle += math.Atan2(u.Cross(v), u.Dot(v))
	}
	if math.Abs(angle) > math.Pi {
		return least
	}
	return -least
}

// What is left free is what the outline and the width say, near every edge and corner.
func TestFreeIsWhatTheOutlineSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		outline := star(t)
		f := Frame{Opening: Opening{Outline: outline, Stations: wide(-1000, 1000)}}
		all := f.Obstacles(0)
		i := rapid.IntRange(0, len(outline.Corners)-1).Draw(t, "side")
		a, b := outline.Corners[i], outline.Corners[(i+1)%len(outline.Corners)]
		along := rapid.SampledFrom([]float64{0, 1e-6, 0.3, 0.5, 1 - 1e-6}).Draw(t, "along")
		off := r2.Point{X: rapid.Float64Range(-0.02, 0.02).Draw(t, "dx"), Y: rapid.Float64Range(-0.02, 0.02).Draw(t, "dz")}
		q := a.Add(b.Sub(a).Mul(along)).Add(off)
		inside, isFree := toEdge(outline, q), free(all, r3.Vector{X: q.X, Z: q.Y})
		if isFree {
			require.Greater(t, inside, -geom.Tolerance, "%v is free but outside", q)
		}
		if inside > geom.Tolerance {
			require.True(t, isFree, "%v is inside by %g but not free", q, inside)
		}
	})
}

// With every face nearer by d, what is free is at least d inside. In a convex opening
// what is further inside is free: its corners point outward, and moved faces meet there.
func TestNearerByWhatIsSaid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const d = 2
		outline := star(t)
		if rapid.Bool().Draw(t, "convex") {
			outline = outline.Hull()
		}
		all := (&Frame{Opening: Opening{Outline: outline, Stations: wide(-1000, 1000)}}).Obstacles(d)
		keepOut := KeepOut{Name: "k", Profile: &Profile{Outline: outline, Across: r1.Interval{Lo: -99, Hi: 99}}}
		solid := (&Frame{Opening: room(t), KeepOuts: []KeepOut{keepOut}}).Obstacles(d)[6:]
		for range 20 {
			i := rapid.IntRange(0, len(outline.Corners)-1).Draw(t, "corner")
			size := rapid.SampledFrom([]float64{3, 20, 60}).Draw(t, "size")
			q := outline.Corners[i].Add(r2.Point{X: rapid.Float64Range(-size, size).Draw(t, "dx"), Y: rapid.Float64Range(-size, size).Draw(t, "dz")})
			at, inside := r3.Vector{X: q.X, Z: q.Y}, toEdge(outline, q)
			if inside < d-geom.Tolerance {
				require.False(t, free(all, at), "%v is only %g inside", q, inside)
			}
			if outline.IsConvex() && inside > d+geom.Tolerance {
				require.True(t, free(all, at), "%v is %g inside", q, inside)
			}
			if inside > geom.Tolerance-d {
				require.False(t, free(solid, at), "%v is only %g outside", q, -inside)
			}
		}
	})
}

func TestFreeIsWhatTheWidthSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := room(t)
		o.Stations = nil
		z := rapid.Float64Range(-20, 20).Draw(t, "z")
		for range rapid.IntRange(1, 5).Draw(t, "stations") {
			o.Stations = append(o.Stations, Station{z, r1.Interval{Lo: -rapid.Float64Range(1, 90).Draw(t, "right"), Hi: rapid.Float64Range(1, 90).Draw(t, "left")}})
			z += rapid.SampledFrom([]float64{0.01, 0.5, 7.3, 25}).Draw(t, "rise")
		}
		all := (&Frame{Opening: o}).Obstacles(0)
		at := rapid.Float64Range(0.01, 59.99).Draw(t, "at")
		if k := rapid.IntRange(0, 2*len(o.Stations)-1).Draw(t, "near"); k < len(o.Stations) {
			at = min(max(o.Stations[k].Z+rapid.Float64Range(-0.02, 0.02).Draw(t, "dz"), 0.01), 59.99)
		}
		y := rapid.Float64Range(-91, 91).Draw(t, "y")
		in := across(o.Stations, at)
		if rapid.Bool().Draw(t, "at the limit") {
			y = in.Hi + rapid.Float64Range(-0.01, 0.01).Draw(t, "dy")
		}
		// The section as a polygon, for the distance to its edge.
		var corners []r2.Point
		heights := []float64{-100}
		for _, s := range o.Stations {
			heights = append(heights, s.Z)
		}
		heights = append(heights, 200)
		for _, h := range heights {
			corners = append(corners, r2.Point{X: across(o.Stations, h).Hi, Y: h})
		}
		slices.Reverse(heights)
		for _, h := range heights {
			corners = append(corners, r2.Point{X: across(o.Stations, h).Lo, Y: h})
		}
		inside, isFree := toEdge(geom.Polygon{Corners: corners}, r2.Point{X: y, Y: at}), free(all, r3.Vector{X: 50, Y: y, Z: at})
		if isFree {
			require.Greater(t, inside, -geom.Tolerance, "y %v at z %v", y, at)
		}
		if inside > geom.Tolerance {
			require.True(t, isFree, "y %v at z %v is inside by %g", y, at, inside)
		}
	})
}

// across is the width at a height, by straight lines between stations.
func across(s []Station, z float64) r1.Interval {
	k := 0
	for k < len(s) && s[k].Z < z {
		k++
	}
	if k == 0 {
		return s[0].Across
	}
	if k == len(s) {
		return s[k-1].Across
	}
	t := (z - s[k-1].Z) / (s[k].Z - s[k-1].Z)
	return r1.Interval{
		Lo: (1-t)*s[k-1].Across.Lo + t*s[k].Across.Lo,
		Hi: (1-t)*s[k-1].Across.Hi + t*s[k].Across.Hi,
	}
}

// The solid of a keep-out covers its outline, and no more.
func TestKeepOutsAreTheirOutlines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		outline := star(t)
		f := Frame{Opening: room(t), KeepOuts: []KeepOut{{Name: "k", Profile: &Profile{Outline: outline, Across: r1.Interval{Lo: -1, Hi: 1}}}}}
		all := f.Obstacles(0)[6:]
		i := rapid.IntRange(0, len(outline.Corners)-1).Draw(t, "corner")
		q := outline.Corners[i].Add(r2.Point{X: rapid.Float64Range(-0.02, 0.02).Draw(t, "dx"), Y: rapid.Float64Range(-0.02, 0.02).Draw(t, "dz")})
		switch inside := toEdge(outline, q); {
		case inside > geom.Tolerance:
			// On a cut between two pieces a point is in the interior of neither.
			q2 := q.Add(r2.Point{X: 1e-10, Y: 1.7e-10})
			require.False(t, free(all, r3.Vector{X: q.X, Z: q.Y}) && free(all, r3.Vector{X: q2.X, Z: q2.Y}), "%v", q)
		case inside < -geom.Tolerance:
			require.True(t, free(all, r3.Vector{X: q.X, Z: q.Y}), "%v", q)
		}
	})
}

// Corners in the middle of slanted sides lie on them by the numbers of the file, and beside them
// by those of float64: what is free is the same with and without them.
func TestCornersOnASideMakeNoDifference(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tenth := func(lo, hi int, name string) float64 { return float64(rapid.IntRange(lo, hi).Draw(t, name)) / 10 }
		from := r2.Point{X: tenth(-999, 999, "x"), Y: tenth(-999, 999, "z")}
		step := r2.Point{X: tenth(105, 499, "dx"), Y: tenth(-99, 99, "dz")}
		n := rapid.IntRange(2, 6).Draw(t, "steps")
		var corners []r2.Point
		for i := range n + 1 {
			// As a decimal is read: the float64 nearest to it.
			corners = append(corners, r2.Point{
				X: math.Round((from.X+float64(i)*step.X)*10) / 10, Y: math.Round((from.Y+float64(i)*step.Y)*10) / 10,
			})
		}
		top := corners[0].Y + 300
		left, right := r2.Point{X: corners[0].X, Y: top}, r2.Point{X: corners[n].X, Y: top}
		notch := []r2.Point{right, {X: (left.X+right.X)/2 + 3, Y: top}, {X: (left.X + right.X) / 2, Y: top - 9}, {X: (left.X+right.X)/2 - 3, Y: top}, left}
		with, err := geom.PolygonFromCorners(append(slices.Clone(corners), notch...))
		require.NoError(t, err)
		without, err := geom.PolygonFromCorners(append([]r2.Point{corners[0], corners[n]}, notch...))
		require.NoError(t, err)
		solids := func(p geom.Polygon) []Obstacle {
			return (&Frame{Opening: Opening{Outline: p, Stations: wide(-1000, 1000)}}).Obstacles(1.5)
		}
		a, b := solids(with), solids(without)
		for range 20 {
			along := rapid.Float64Range(-0.1, 1.1).Draw(t, "along")
			q := corners[0].Add(corners[n].Sub(corners[0]).Mul(along)).Add(r2.Point{Y: rapid.SampledFrom([]float64{-5, 1.4, 2, 40, 298, 299.5}).Draw(t, "up")})
			at := r3.Vector{X: q.X, Z: q.Y}
			require.Equal(t, free(b, at), free(a, at), "%v", q)
		}
	})
}
