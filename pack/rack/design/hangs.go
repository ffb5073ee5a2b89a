package design

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/rack"
)

// What hangs on the rack is tied to the tray next to each of its points, as the tray is to mounts: the
// point is a mount that looks out of what hangs, with a hole through it.

// hung is such a point with the level whose tray it is tied to.
type hung struct {
	mount frame.Mount
	level int
}

// onFace is how far in mm a point may be off the face of what hangs.
const onFace = 1.0

// mostThick is up to how thick in mm a bolt is taken to go right through what hangs.
const mostThick = 40

// hangs are the points by which things hang on the rack.
func (d *designer) hangs(p pack.Problem) ([]hung, error) {
	var list []hung
	for _, k := range p.Frame.KeepOuts {
		for _, h := range k.Hangs {
			m := frame.Mount{Name: k.Name, At: h.At, Bolt: h.Bolt, Holds: frame.Hole}
			if _, err := rack.ThreadOf(h.Bolt); err != nil {
				return nil, fmt.Errorf("%s hangs on the rack by %w", k.Name, err)
			}
			solids := d.room.named(k.Name)
			var ok bool
			if m.Faces, ok = outOf(solids, h.At); !ok {
				return nil, fmt.Errorf("%s hangs on the rack at [%g, %g, %g], which is not on a face of it that looks along or across the vehicle, up or down: write the point where the rack is to lie against it", k.Name, h.At.X, h.At.Y, h.At.Z)
			}
			m.Thick = thickness(solids, h.At, m.Faces)
			list = append(list, hung{m, d.levelOf(m)})
		}
	}
	return list, nil
}

// named are the solids of a part of the frame.
func (r *room) named(name string) []geom.Solid {
	var list []geom.Solid
	for _, o := range r.obstacles {
		if o.Name == name {
			list = append(list, o.Solid)
		}
	}
	return list
}

// outOf is the direction along an axis in which a point on a face of solids looks out of them.
func outOf(solids []geom.Solid, at r3.Vector) (r3.Vector, bool) {
	for _, n := range []r3.Vector{{Z: 1}, {Y: 1}, {Y: -1}, {X: 1}, {X: -1}, {Z: -1}} {
		if fromAll(solids, at.Add(n.Mul(onFace))) > 0 && fromAll(solids, at.Sub(n.Mul(onFace))) < 0 {
			return n, true
		}
	}
	return r3.Vector{}, false
}

// fromAll is how far a point is from the nearest of some solids; below nought within one.
func fromAll(solids []geom.Solid, at r3.Vector) float64 {
	least, point := math.Inf(1), geom.BoxFromCorners(at, at)
	for _, s := range solids {
		gap, _ := geom.SheetGap(point, s)
		least = math.Min(least, gap)
	}
	return least
}

// thickness is how thick what hangs is behind a point, in whole mm and no less than it is; nought where a
// bolt does not go right through it.
func thickness(solids []geom.Solid, at, out r3.Vector) float64 {
	for mm := 1.0; mm <= mostThick; mm++ {
		if fromAll(solids, at.Sub(out.Mul(mm))) >= -1e-6 {
			return mm
		}
	}
	return 0
}

// levelOf is the level whose tray is nearest to a point in height: the lowest over one that looks up.
func (d *designer) levelOf(m frame.Mount) int {
	if m.Faces.Z > 0 {
		return 0
	}
	nearest := 0
	for i, l := range d.levels {
		if math.Abs(l.z-m.At.Z) < math.Abs(d.levels[nearest].z-m.At.Z) {
			nearest = i
		}
	}
	return nearest
}

// withHangs are ways of tying a tray with what hangs on it added to each, in every way of tying that. It
// notes what cannot be tied.
func (d *designer) withHangs(probe *tray, sets [][]plane, level int) [][]plane {
	for _, h := range d.hung {
		if h.level != level {
			continue
		}
		one := []frame.Mount{h.mount}
		ways := slices.Concat(probe.floorPlanes(one), probe.planes(one, nil), probe.legPlanes(one))
		if len(ways) == 0 {
			at := h.mount.At
			d.note("%s hangs on the rack at [%g, %g, %g], and no straight bar of the %stray reaches it there: its face has to look across or along the vehicle, or to be up to %d mm under the bars of the tray, or over the boxes beyond their ends", h.mount.Name, at.X, at.Y, at.Z, d.levels[level].name, longestLeg)
			return nil
		}
		var more [][]plane
		for _, set := range sets {
			for _, w := range ways {
				more = append(more, join(cloned(set), w))
			}
		}
		sets = more
	}
	return sets
}

// cloned is a copy of planes to which feet can be added.
func cloned(set []plane) []plane {
	set = slices.Clone(set)
	for i := range set {
		set[i].feet = slices.Clone(set[i].feet)
	}
	return set
}

// hangsOn tells of something of the frame whether it hangs on a bar and lies against it, and not in it.
func (t *tray) hangsOn(b rack.Bar, s geom.Solid) func(frame.Obstacle) bool {
	return func(o frame.Obstacle) bool {
		gap, _ := geom.SheetGap(s, o.Solid)
		return gap > -geom.Tolerance && slices.ContainsFunc(t.whole.Fasteners, func(f rack.Fastener) bool {
			return slices.Contains(f.Joins, b.Name) && slices.Contains(f.Joins, o.Name)
		})
	}
}
