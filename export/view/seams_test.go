package view

import (
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
)

// An L in two pieces along its diagonal, the lower one cut across once more: seen from the
// right no seam is left, and all the sides are.
func TestSeamsOfPiecesAreNotDrawn(t *testing.T) {
	piece := func(lo, hi float64, corners ...r2.Point) frame.KeepOut {
		return frame.KeepOut{Name: "cover", Profile: &frame.Profile{Outline: geom.Polygon{Corners: corners}, Across: r1.Interval{Lo: lo, Hi: hi}}}
	}
	foot := []r2.Point{{X: -20, Y: 120}, {X: 60, Y: 120}, {X: 60, Y: 160}, {X: 20, Y: 160}}
	f := &frame.Frame{
		Opening: frame.Opening{Outline: geom.Polygon{Corners: foot}, Stations: []frame.Station{{Across: r1.Interval{Lo: -1, Hi: 1}}}},
		KeepOuts: []frame.KeepOut{
			piece(-100, 100, r2.Point{X: -20, Y: 120}, r2.Point{X: 20, Y: 160}, r2.Point{X: 20, Y: 260}, r2.Point{X: -20, Y: 260}),
			piece(-100, -95, foot...), piece(-95, 100, foot...),
		},
	}
	s := &Scene{bodies: frameBodies(f)}
	eye := FromRight.eye()
	length := map[string]float64{}
	for _, b := range s.bodies {
		for _, e := range b.edges(eye) {
			for _, left := range withoutSeams(e, s.pieces(b)) {
				d := FromRight.flat(left.b).Sub(FromRight.flat(left.a))
				switch {
				case left.a.Y != left.b.Y || left.a.Y > 99: // not a near face
				case d.X != 0 && d.Y != 0:
					length["seam"] += d.Norm()
				default:
					length["side"] += d.Norm()
				}
			}
		}
	}
	require.InDelta(t, 0, length["seam"], 0.5)
	require.InDelta(t, 80+40+40+100+40+140, length["side"], 0.5)
}

func TestMinus(t *testing.T) {
	list := []r1.Interval{{Lo: 0, Hi: 1}}
	require.Equal(t, []r1.Interval{{Lo: 0, Hi: 0.2}, {Lo: 0.5, Hi: 1}}, minus(list, []r1.Interval{{Lo: 0.2, Hi: 0.4}, {Lo: 0.3, Hi: 0.5}}))
	require.Empty(t, minus(list, []r1.Interval{{Lo: -1, Hi: 2}}))
	require.Equal(t, list, minus(list, nil))
	require.Empty(t, insideOf(edge{a: r3.Vector{X: 5}, b: r3.Vector{X: 6}}, r3.Vector{}, []convex{{{r3.Vector{X: 1}, 1}}}))
}

// A block cut in three, two of them side by side on the third, has the twelve edges of the
// block, each once and whole; one with a piece missing has those of the L that is left.
func TestEdgesOfPieces(t *testing.T) {
	piece := func(x0, z0, x1, z1 float64) frame.KeepOut {
		return frame.KeepOut{Name: "cover", Box: &frame.Corners{Low: r3.Vector{X: x0, Y: -10, Z: z0}, High: r3.Vector{X: x1, Y: 30, Z: z1}}}
	}
	opening := frame.Opening{Outline: geom.Polygon{Corners: []r2.Point{{}, {X: 1}, {X: 1, Y: 1}}}, Stations: []frame.Station{{Across: r1.Interval{Lo: -1, Hi: 1}}}}
	length := func(pieces ...frame.KeepOut) float64 {
		f := &frame.Frame{Opening: opening, KeepOuts: pieces}
		sum := 0.0
		for _, e := range PieceEdges(f)["cover"] {
			sum += e[1].Sub(e[0]).Norm()
		}
		return sum
	}
	const a, b, c = 100.0, 40.0, 60.0
	require.InDelta(t, 4*(a+b+c), length(piece(0, 0, 100, 20), piece(0, 20, 30, 60), piece(30, 20, 100, 60)), 1)
	require.InDelta(t, 2*(2*(a+c))+6*b, length(piece(0, 0, 100, 20), piece(0, 20, 30, 60)), 1, "two outlines of an L, and six edges across")
	require.Zero(t, length(piece(0, 0, 100, 20)), "one piece has no seams")
}
