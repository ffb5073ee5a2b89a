package frame

import (
	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame/strict"
	"rackwright/geom"
)

// Corners are the low and the high corner of an axis-parallel box.
type Corners struct{ Low, High r3.Vector }

type cornersFile struct {
	Low  strict.Place3 `yaml:"low" jsonschema_description:"The corner [x, y, z] with the least of each."`
	High strict.Place3 `yaml:"high" jsonschema_description:"The corner with the most of each."`
}

func (r *reader) corners(f *cornersFile) Corners {
	low, known := r.place3(&f.Low)
	high, also := r.place3(&f.High)
	if d := high.Sub(low); min(d.X, d.Y, d.Z) < MinLength && known && also && r.Sound(&f.Low) {
		r.At(&f.High, strict.BadValue, "each number of high has to be more than that of low")
	}
	return Corners{Low: low, High: high}
}

// Solids implements Shape.
func (c Corners) Solids(nearer float64) []geom.Solid {
	out := r3.Vector{X: nearer, Y: nearer, Z: nearer}
	return []geom.Solid{geom.BoxFromCorners(c.Low.Sub(out), c.High.Add(out))}
}

// Surface implements Shape.
func (c Corners) Surface() (Profile, bool) {
	lo, hi := c.Low, c.High
	corners := []r2.Point{{X: lo.X, Y: lo.Z}, {X: hi.X, Y: lo.Z}, {X: hi.X, Y: hi.Z}, {X: lo.X, Y: hi.Z}}
	return Profile{Outline: geom.Polygon{Corners: corners}, Across: r1.Interval{Lo: lo.Y, Hi: hi.Y}}, true
}

// core implements Shape.
func (c Corners) core(d float64) []Shape {
	in := r3.Vector{X: d, Y: d, Z: d}
	lo, hi := c.Low.Add(in), c.High.Sub(in)
	if c.High.Y-c.Low.Y <= 2*d || lo.X >= hi.X || lo.Z >= hi.Z {
		return nil
	}
	return []Shape{Corners{Low: lo, High: hi}}
}

func (c Corners) in(k KeepOut) KeepOut {
	k.Box = &c
	return k
}
