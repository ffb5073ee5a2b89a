package view

import (
	"github.com/golang/geo/r2"

	"rackwright/export"
	"rackwright/export/label"
	"rackwright/geom"
	"rackwright/pack/whatif"
)

// Notch is what is cut out of a keep-out of the frame that is drawn.
type Notch struct {
	KeepOut string
	Depth   float64 // mm
	Solids  []geom.Solid
}

// notches draws what is cut out, whatever is before it: one has to find where.
func (d *drawing) notches() {
	if d.scene.cut != nil {
		return
	}
	for _, n := range d.scene.options.Notches {
		for _, s := range n.Solids {
			outline := d.outline(s)
			if len(outline) == 0 {
				continue
			}
			d.line("rw-notch", append(outline, outline[0])...)
			for i, a := range outline {
				d.ink = append(d.ink, inked{a, outline[(i+1)%len(outline)], light})
			}
		}
	}
}

// outline is what is around a solid in the picture.
func (d *drawing) outline(s geom.Solid) []r2.Point {
	var all []r2.Point
	for _, f := range geom.Surface(s, roundCorners) {
		for _, c := range f.Corners {
			all = append(all, d.px(d.dir.flat(c)))
		}
	}
	return geom.Polygon{Corners: all}.Hull().Corners
}

// notchSayings tell what is cut out of what, and how deep.
func (d *drawing) notchSayings() []saying {
	if d.scene.cut != nil {
		return nil
	}
	var all []saying
	within := d.pxRect(d.window)
	for _, n := range d.scene.options.Notches {
		var anchors []r2.Point
		for _, s := range n.Solids {
			outline := d.outline(s)
			for i, a := range outline {
				if q := a.Add(outline[(i+1)%len(outline)]).Mul(0.5); within.ContainsPoint(q) {
					anchors = append(anchors, q)
				}
			}
		}
		if len(anchors) == 0 {
			continue
		}
		all = append(all, d.say(label.Nothing, anchors, func(u geom.Unit) []row {
			var rows []row
			for _, line := range broken("notch in "+brief(n.KeepOut, longestName)+",", longestRow) {
				rows = append(rows, row{"rw-b", line})
			}
			return append(rows, row{"rw-b", bare(export.AtLeast(n.Depth, u)) + " deep"})
		}))
	}
	return all
}

// NotchesOf are the notches of a concession.
func NotchesOf(c whatif.Concession) []Notch {
	var all []Notch
	for _, n := range c.Notches {
		all = append(all, Notch{n.KeepOut, n.Depth, n.Solids})
	}
	return all
}
