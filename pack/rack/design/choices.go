package design

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack/rack"
)

// choices with a size of rod are tried in this order: the plainest and lightest first.
func (d *designer) choices(rod rack.Thread) []measures {
	var list []measures
	stock := d.settings.Stock
	thinnest, _ := rack.ThreadOf("M5") // of the bolts of uprights
	for _, run := range []axes{{r3.Vector{X: 1}, r3.Vector{Y: 1}}, {r3.Vector{Y: 1}, r3.Vector{X: 1}}} {
		for _, angle := range stock.Angles {
			if gauge(angle, rod)+rod.Edge() > angle.Width+0.01 || gauge(angle, rod) < angle.Thick+rod.Corners()/2 {
				continue
			}
			for _, riser := range d.risers() {
				if gauge(riser, rod)+rod.Edge() > riser.Width+0.01 || len(d.levels) > 1 && !roomForTwo(riser, angle, thinnest) {
					continue
				}
				for _, pad := range d.pads() {
					list = append(list, measures{
						axes: run, angle: angle, upright: d.upright(), riser: riser, flat: stock.Flats[0], over: stock.Flats[0], floor: d.floorSection(), rod: rod, foam: 3, pad: pad,
					})
				}
			}
		}
	}
	return list
}

// roomiest puts the choices first whose side members have room beside all levels, without changing
// their order otherwise: where a layout has few tries they are not spent on what cannot be.
func (d *designer) roomiest(list []measures) []measures {
	known := map[measures]float64{}
	short := func(m measures) float64 {
		key := measures{axes: m.axes, angle: m.angle, rod: m.rod, foam: m.foam, pad: leastEnd}
		if _, ok := known[key]; !ok {
			known[key] = d.besideAll(key)
		}
		return known[key]
	}
	slices.SortStableFunc(list, func(a, b measures) int { return cmp.Compare(short(a), short(b)) })
	return list
}

// besideAll is how much in mm side members lack beside the levels, 0 where they have room.
func (d *designer) besideAll(m measures) float64 {
	sum := 0.0
	for i := range d.levels {
		t := d.newTray(m, partialRack{rack: &rack.Rack{}}, i)
		t.begin([2]float64{math.NaN(), math.NaN()})
		t.sideMembers()
		for _, b := range t.whole.Bars {
			for _, s := range b.Solids() {
				if c := t.room.meets(s, true); c.short > hardly/2.0 {
					sum += math.Ceil(c.short)
				}
			}
		}
	}
	return sum
}

// pads are the least thicknesses of pads at ends that are tried.
func (d *designer) pads() []float64 {
	if len(d.levels) == 1 {
		return []float64{7, leastEnd, 2}
	}
	return []float64{7, leastEnd}
}

// risers are the sections that uprights between trays are tried with: the first angle, the
// narrowest, the widest flat.
func (d *designer) risers() []rack.Section {
	angles, flats := d.settings.Stock.Angles, d.settings.Stock.Flats
	list := []rack.Section{angles[0]}
	if len(d.levels) == 1 {
		return list
	}
	if narrow := slices.MinFunc(angles, widest); narrow != angles[0] {
		list = append(list, narrow)
	}
	return append(list, slices.MaxFunc(flats, widest))
}

// floorSection is that of floor bars: the widest flat, or a plate where the bolt of a mount that they
// lie on needs more metal around it.
func (d *designer) floorSection() rack.Section {
	flat, need := slices.MaxFunc(d.settings.Stock.Flats, widest), 0.0
	for _, m := range d.mounts {
		if bolt, err := rack.ThreadOf(m.Bolt); err == nil && m.Faces.Z > 1-1e-6 {
			need = max(need, 2*math.Ceil(bolt.Edge()))
		}
	}
	for _, thick := range d.settings.Stock.Plates {
		if need > flat.Width && thick >= flat.Thick {
			return rack.Section{Form: rack.Plate, Width: need, Thick: thick}
		}
	}
	return flat
}

// upright is the section of uprights: the widest angle, for the bolts of mounts.
func (d *designer) upright() rack.Section {
	return slices.MaxFunc(d.settings.Stock.Angles, widest)
}
