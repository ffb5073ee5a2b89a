package judge

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/rack"
)

// welds looks at fillets: that they join bars of one tray, where these lie on one another, no
// thicker than the bars allow, long enough to carry, and with no washer on them.
func (j *scene) welds() {
	for i := range j.rack.Welds {
		w := &j.rack.Welds[i]
		if j.weldedBars(w) {
			j.fillets(w)
		}
	}
}

// weldedBars tells whether a weld joins two bars that may be welded to each other.
func (j *scene) weldedBars(w *rack.Weld) bool {
	parts := []string{w.Name, w.Joins[0], w.Joins[1]}
	var bars []rack.Bar
	for _, name := range w.Joins {
		b, ok := j.rack.Bar(name)
		if !ok {
			j.say(FrameUntouched, 0, "", parts, "%s is of %q, which is no bar of the rack: nothing is welded to the vehicle; bolt it to a mount", w.Name, name)
			return false
		}
		bars = append(bars, b)
	}
	if a, b := bars[0], bars[1]; a.Tray == "" || a.Tray != b.Tray || a.Late || b.Late {
		j.say(Assembly, 0, "", parts, "%s is of bars that are not of one tray: welded together they do not come apart again; bolt them", w.Name)
		return false
	}
	return true
}

// fillets checks the runs of a weld.
func (j *scene) fillets(w *rack.Weld) {
	parts := []string{w.Name, w.Joins[0], w.Joins[1]}
	a, b := j.part(w.Joins[0]), j.part(w.Joins[1])
	thin := math.Min(a.bar.Section.Thick, b.bar.Section.Thick)
	switch most := rack.MostThroat(thin); {
	case w.Throat > most+0.01:
		j.say(Holds, w.Throat-most, "mm", parts, "%s is %.1f mm thick: along the edge of a bar of %.1f mm a fillet gets %.1f mm at most", w.Name, w.Throat, thin, most)
	case w.Throat < rack.LeastThroat:
		j.say(Holds, rack.LeastThroat-w.Throat, "mm", parts, "%s is %.1f mm thick: a fillet has %.1f mm at least", w.Name, w.Throat, rack.LeastThroat)
	}
	if w.Counted() == 0 {
		j.say(Holds, 0, "", parts, "%s is too short to carry: a fillet has 30 mm in one go at least, and six times its throat, less a throat at each end (EN 1993-1-8 4.5.1)", w.Name)
	}
	for _, r := range w.Runs {
		for _, q := range [2]r3.Vector{r.From, r.To} {
			if off := math.Max(off(q, a), off(q, b)); off > touch {
				j.say(Holds, off, "mm", parts, "%s runs %.1f mm beside where %s and %s lie on one another", w.Name, off, a.name, b.name)
				break
			}
		}
		j.washers(w, r)
	}
}

// off is how far a point is off a bar.
func off(q r3.Vector, p *part) float64 {
	nearest := math.Inf(1)
	for _, s := range p.solids {
		nearest = math.Min(nearest, geom.Distance(geom.BoxFromCorners(q, q), s.Solid))
	}
	return nearest
}

// washers asks that no head, nut or washer sits on a fillet.
func (j *scene) washers(w *rack.Weld, r rack.Run) {
	bead := solidOf(geom.BoxFromCorners(least3(r.From, r.To), most3(r.From, r.To)))
	for i := range j.parts {
		p := &j.parts[i]
		if p.fastener == nil || !joins(p, w.Joins[0]) && !joins(p, w.Joins[1]) {
			continue
		}
		for _, s := range p.solids[1:] {
			if d := distance(bead, s, w.Leg()); d < w.Leg()-touch {
				j.say(Room, w.Leg()-d, "mm", []string{w.Name, p.name}, "%s is in the way of %s: %.1f mm too little beside its fillet", p.name, w.Name, w.Leg()-d)
				return
			}
		}
	}
}

func least3(a, b r3.Vector) r3.Vector {
	return r3.Vector{X: math.Min(a.X, b.X), Y: math.Min(a.Y, b.Y), Z: math.Min(a.Z, b.Z)}
}

func most3(a, b r3.Vector) r3.Vector {
	return r3.Vector{X: math.Max(a.X, b.X), Y: math.Max(a.Y, b.Y), Z: math.Max(a.Z, b.Z)}
}

// pieces are the bars as they are put in their place: those that are welded to each other are one.
func (j *scene) pieces() [][]*part {
	group := map[string]int{}
	var all [][]*part
	for i := range j.parts {
		if p := &j.parts[i]; p.bar != nil {
			group[p.name] = len(all)
			all = append(all, []*part{p})
		}
	}
	for _, w := range j.rack.Welds {
		a, isBar := group[w.Joins[0]]
		b, also := group[w.Joins[1]]
		if !isBar || !also || a == b {
			continue
		}
		for _, p := range all[b] {
			group[p.name] = a
		}
		all[a], all[b] = append(all[a], all[b]...), nil
	}
	var list [][]*part
	for _, g := range all {
		if len(g) > 0 {
			list = append(list, g)
		}
	}
	return list
}
