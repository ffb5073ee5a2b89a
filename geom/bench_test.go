package geom

import (
	"math"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// Pairs as a fit meets them: a box beside another, tilted or not, a piece outside of
// an outline, a rail and a motor.
var (
	upright = BoxFromCorners(r3.Vector{X: 10, Y: -90, Z: 5}, r3.Vector{X: 207, Y: 75, Z: 175})
	beside  = BoxFromCorners(r3.Vector{X: 215, Y: -90, Z: 12}, r3.Vector{X: 380, Y: 107, Z: 182})
	tilted  = Box{Centre: r3.Vector{X: 330, Y: 5, Z: 140}, Axes: about(12), Half: r3.Vector{X: 82.5, Y: 98.5, Z: 85}}
	outside = Prism{
		Profile: Polygon{Corners: []r2.Point{{X: 420, Y: 0}, {X: 700, Y: 0}, {X: 620, Y: 380}}},
		Depth:   r1.Interval{Lo: math.Inf(-1), Hi: math.Inf(1)},
	}
	rail  = Tube{From: r3.Vector{X: 430, Z: -20}, To: r3.Vector{X: 640, Z: 400}, Radius: 19}
	motor = Cylinder{From: r3.Vector{X: 300, Y: -90, Z: -120}, To: r3.Vector{X: 300, Y: 95, Z: -120}, Radius: 90}
)

func about(degrees float64) [3]r3.Vector {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return [3]r3.Vector{{X: cos, Z: -sin}, {Y: 1}, {X: sin, Z: cos}}
}

func BenchmarkSheetGap(b *testing.B) {
	for _, pair := range []struct {
		name string
		a, b Solid
	}{
		{"box-box", upright, beside},
		{"box-tilted box", upright, tilted},
		{"box-prism", upright, outside},
		{"box-half-space", upright, HalfSpace{Normal: r3.Vector{Z: -1}, Offset: 400}},
	} {
		b.Run(pair.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				SheetGap(pair.a, pair.b)
			}
		})
	}
}

func BenchmarkDistance(b *testing.B) {
	for _, pair := range []struct {
		name string
		a, b Solid
	}{
		{"box-box", upright, beside},
		{"box-tilted box", upright, tilted},
		{"box-prism", upright, outside},
		{"box-tube", tilted, rail},
		{"box-cylinder", tilted, motor},
	} {
		b.Run(pair.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Distance(pair.a, pair.b)
			}
		})
	}
}

func BenchmarkPieces(b *testing.B) {
	p := star(64, 1)
	b.Run("inside", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			p.ConvexPieces()
		}
	})
	b.Run("outside", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			p.OutsidePieces()
		}
	})
}
