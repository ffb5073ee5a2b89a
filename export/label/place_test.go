package label

import (
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"
)

// Words about rectangles that lie anywhere: none is left out, those on things are on their own, no
// words lie on others, and leaders end at what the words are of and do not cross in the column.
func TestPlaced(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	on, near, aside := 0, 0, 0
	for range 60 {
		area := r2.RectFromPoints(r2.Point{X: 20, Y: 30}, r2.Point{X: 320, Y: 250})
		var things []r2.Rect
		for range 4 + rng.IntN(12) {
			c := r2.Point{X: 20 + 300*rng.Float64(), Y: 30 + 220*rng.Float64()}
			things = append(things, r2.RectFromCenterSize(c, r2.Point{X: 10 + 90*rng.Float64(), Y: 10 + 90*rng.Float64()}))
		}
		seen := func(q r2.Point) int {
			for i := len(things) - 1; i >= 0; i-- {
				if things[i].ContainsPoint(q) {
					return i + 1
				}
			}
			return Nothing
		}
		m := NewMap(area, seen)
		callout := r2.RectFromCenterSize(area.Center(), r2.Point{X: 30, Y: 30})
		m.Block(callout)
		var labels []Label
		for i := range things {
			if anchors := m.Cells(i+1, 12); len(anchors) > 0 {
				labels = append(labels, Label{Owner: i + 1, Sizes: []r2.Point{{X: 60, Y: 19}, {X: 34, Y: 38}}, Anchors: anchors})
			}
		}
		places, column := m.Placed(labels, 340, 30)
		areas := []r2.Rect{callout}
		var leaders [][]r2.Point
		for i, p := range places {
			for _, a := range areas {
				require.False(t, a.InteriorIntersects(p.Area))
			}
			areas = append(areas, p.Area)
			switch {
			case p.Aside:
				aside++
				require.Equal(t, 340.0, p.Area.X.Lo)
				require.LessOrEqual(t, p.Area.X.Length(), column+1e-9)
				leaders = append(leaders, p.Leader)
			case len(p.Leader) > 0:
				near++
			default:
				on++
				require.Equal(t, labels[i].Owner, seen(p.Area.Center()))
			}
			if len(p.Leader) > 0 {
				require.Contains(t, labels[i].Anchors, p.Leader[1])
				require.Equal(t, labels[i].Owner, seen(p.Leader[1]))
			}
		}
		for i, a := range leaders {
			for _, b := range leaders[:i] {
				require.False(t, Cross(a[0], a[1], b[0], b[1]))
			}
		}
	}
	require.Greater(t, min(on, near, aside), 20)
}

// A segment meets a rectangle where walking along it finds a point inside.
func TestMeetsAgainstWalking(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	at := func() r2.Point { return r2.Point{X: 100 * rng.Float64(), Y: 100 * rng.Float64()} }
	met := 0
	for range 2000 {
		a, b, area := at(), at(), r2.RectFromPoints(at(), at())
		walked := false
		for k := range 2001 {
			q := a.Add(b.Sub(a).Mul(float64(k) / 2000))
			walked = walked || area.InteriorContainsPoint(q)
		}
		if !walked && Meets(a, b, area) {
			require.False(t, Meets(a, b, area.ExpandedByMargin(-0.1)), "it cuts off no more than a corner")
			continue
		}
		require.Equal(t, walked, Meets(a, b, area))
		if walked {
			met++
		}
	}
	require.Greater(t, met, 400)
}
