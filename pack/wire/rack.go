package wire

import (
	"rackwright/geom"
	"rackwright/pack/rack"
	"rackwright/pack/wire/route"
)

// Around are the bars, fasteners and clamps of a rack for cables to go round: their edges chafe as those
// of the frame do.
func Around(r *rack.Rack) []route.Obstacle {
	var all []route.Obstacle
	add := func(name string, solids []geom.Solid) {
		for _, s := range solids {
			all = append(all, route.Obstacle{Name: name, Solid: s, Gap: offFrame})
		}
	}
	for _, b := range r.Bars {
		add(b.Name, b.Solids())
	}
	for _, f := range r.Fasteners {
		add(f.Name, f.Solids())
	}
	for _, c := range r.Clamps {
		add(c.Name, c.Solids())
	}
	return all
}
