package card

import (
	"math"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/export/drawing"
	"rackwright/pack"
)

// The line on the sides of a tilted box is level in the layout: two points of it, taken back from
// the net to the box by the places of the face's own corners and turned as the layout turns the
// box, are equally high.
func TestLevelLineOfATiltedBox(t *testing.T) {
	k := pack.Kind{Name: "box", Size: r3.Vector{X: 150, Y: 110, Z: 90}}
	for _, stand := range []pack.Orientation{{Up: pack.Top, Front: pack.Front}, {Up: pack.Left, Front: pack.Top}, {Up: pack.Front, Front: pack.Right}} {
		for _, tilt := range []s1.Angle{12 * s1.Degree, -7 * s1.Degree} {
			stand.Tilt = tilt
			n, err := Best(k, 3, r2.Point{})
			require.NoError(t, err)
			l := labels{Label: Label{Name: "box", Stand: &stand, Layout: "layout"}, net: n}
			sides := 0
			for _, p := range n.Panels {
				var d drawing.Drawing
				if l.level(&d, p); p.Flap || len(d.Paths) == 0 {
					continue
				}
				sides++
				points := d.Paths[0].Points
				along := points[len(points)-1].Sub(points[0]).Normalize()
				// The directions of the box's axes on the net tell what the line is in the box.
				var inBox r3.Vector
				for _, axis := range []r3.Vector{{X: 1}, {Y: 1}, {Z: 1}} {
					if axis.Dot(p.Face.Normal()) == 0 {
						inBox = inBox.Add(axis.Mul(n.along(p.Face, axis).Dot(along)))
					}
				}
				axes := stand.Axes()
				inFrame := axes[0].Mul(inBox.X).Add(axes[1].Mul(inBox.Y)).Add(axes[2].Mul(inBox.Z))
				require.InDelta(t, 0, inFrame.Z, 1e-9, "%v", stand)
				require.InDelta(t, 1, math.Abs(inFrame.X), 1e-9, "%v", stand)
			}
			require.Equal(t, 2, sides, "%v", stand)
		}
	}
}
