package judge

import (
	"fmt"
	"math"
	"slices"

	"rackwright/frame"
	"rackwright/pack/rack"
)

// overlap is how far in mm solids may be in one another through rounding of the file.
const overlap = 0.02

// room is rule 5.
func (j *scene) room() {
	for i := range j.parts {
		p := &j.parts[i]
		j.clearOfBoxes(p)
		j.clearOfFrame(p)
		for k := range j.parts[:i] {
			j.clearOfPart(p, &j.parts[k])
		}
	}
	j.padsClear()
	j.spanners()
}

func (j *scene) clearOfBoxes(p *part) {
	for _, b := range j.boxes {
		if d := least(p.solids, []solid{b.body}); d < -overlap {
			j.say(Room, -d, "mm", []string{p.name, b.name}, "%s and %s are in one another by %.1f mm", p.name, b.name, -d)
		}
	}
}

// clearOfFrame looks at rails, keep-outs and the sides of the opening.
func (j *scene) clearOfFrame(p *part) {
	for i, o := range j.obstacles {
		for _, s := range p.solids {
			d := distance(s, j.around[i], 1)
			if d >= -overlap {
				continue
			}
			if (o.Kind == frame.Side || o.Kind == frame.Width) && j.atMount(p) || joins(p, o.Name) || passes(p.clamp, o) {
				continue
			}
			j.say(Room, -d, "mm", []string{p.name, o.Name}, "there is no room for %s: it is %.1f mm into %s; set gaps.wall or gaps.tray larger and fit again, or move it", p.name, -d, o.Name)
			break
		}
	}
}

// atMount tells whether a part is a mount's own bolt, which goes into the frame, or into what hangs on the
// rack, which may be beyond the sides of the opening too.
func (j *scene) atMount(p *part) bool {
	if p.fastener == nil {
		return false
	}
	_, hangs := j.hanging(p.fastener)
	return hangs || slices.ContainsFunc(p.fastener.Joins, func(n string) bool { _, ok := j.mounts[n]; return ok })
}

// clearOfPart looks at two parts. A shank may be in what it joins.
func (j *scene) clearOfPart(a, b *part) {
	if a.fastener != nil && b.fastener != nil && apartAsRound(a.fastener, b.fastener) {
		return
	}
	as, bs := a.solids, b.solids
	if joins(a, b.name) {
		as = as[1:]
	}
	if joins(b, a.name) {
		bs = bs[1:]
	}
	if d := least(as, bs); d < -overlap {
		j.say(Room, -d, "mm", []string{a.name, b.name}, "%s and %s are in one another by %.1f mm", a.name, b.name, -d)
	}
}

// apartAsRound tells whether two bolts side by side are clear of each other as what is round,
// though the square bars around them may not be.
func apartAsRound(a, b *rack.Fastener) bool {
	along := a.Along()
	if math.Abs(along.Dot(b.Along())) < 0.999 {
		return false
	}
	off := b.From.Sub(a.From)
	return off.Sub(along.Mul(off.Dot(along))).Norm() >= widest(a)+widest(b)
}

// widest is the greatest radius of a bolt's head, nuts and washers.
func widest(f *rack.Fastener) float64 {
	t, _ := rack.ThreadOf(f.Size)
	return math.Max(t.Corners(), t.Washer) / 2
}

func joins(p *part, name string) bool {
	return p.fastener != nil && slices.Contains(p.fastener.Joins, name)
}

// least is the shortest distance of some solids to others, or more than half a millimetre.
func least(as, bs []solid) float64 {
	d := math.Inf(1)
	for _, a := range as {
		for _, b := range bs {
			d = math.Min(d, distance(a, b, 0.5))
		}
	}
	return d
}

// padsClear asks that pads are in nothing but what they lie against.
func (j *scene) padsClear() {
	for _, p := range j.rack.Pads {
		body := []solid{solidOf(p.Solid())}
		for i := range j.parts {
			if d := least(body, j.parts[i].solids); d < -touch {
				j.say(Room, -d, "mm", []string{p.Name(), j.parts[i].name}, "the %s and %s are in one another by %.1f mm", p.Name(), j.parts[i].name, -d)
			}
		}
		for _, b := range j.boxes {
			if d := least(body, []solid{b.body}); d < -touch {
				j.say(Room, -d, "mm", []string{p.Name(), b.name}, "the %s and %s are in one another by %.1f mm", p.Name(), b.name, -d)
			}
			if d := j.toBoot(body[0], b); d < j.problem.Pack.Gaps.Boot-touch {
				j.say(Posts, j.problem.Pack.Gaps.Boot-d, "mm", []string{p.Name(), b.name}, "the %s presses on a boot of %s", p.Name(), b.name)
			}
		}
	}
}

// toBoot is how far a pad is from the nearest post of a box, or more than a boot's gap.
func (j *scene) toBoot(pad solid, b box) float64 {
	nearest := math.Inf(1)
	for _, post := range b.posts {
		nearest = math.Min(nearest, distance(pad, post, j.problem.Pack.Gaps.Boot))
	}
	return nearest
}

// spanners asks for room around heads and nuts: past the bars, and past boxes for those that
// go on after them.
func (j *scene) spanners() {
	for i := range j.parts {
		f := j.parts[i].fastener
		if f == nil {
			continue
		}
		for _, s := range f.SpannerRoom() {
			room := solidOf(s)
			for k := range j.parts {
				if o := &j.parts[k]; o.bar != nil {
					if d := least([]solid{room}, o.solids); d < -overlap {
						j.say(Room, -d, "mm", []string{f.Name, o.name}, "no spanner goes on %s beside %s: %.1f mm too little", f.Name, o.name, -d)
					}
				}
			}
		}
	}
}

// joints is the part of rule 7 that needs no calculation: every bolt goes through what it
// joins, far enough from edges, with its nuts tight on it.
func (j *scene) joints() {
	joined := map[string]bool{}
	for i := range j.rack.Fasteners {
		f := &j.rack.Fasteners[i]
		j.joint(f)
		for _, n := range f.Joins {
			joined[n] = true
		}
	}
	for _, w := range j.rack.Welds {
		joined[w.Joins[0]], joined[w.Joins[1]] = true, true
	}
	for _, b := range j.rack.Bars {
		if !joined[b.Name] {
			j.say(Holds, 0, "", []string{b.Name}, "%s is joined to nothing", b.Name)
		}
	}
}

// joint checks one bolt or rod.
func (j *scene) joint(f *rack.Fastener) {
	t, _ := rack.ThreadOf(f.Size)
	if len(f.Joins) < 2 {
		j.say(Holds, 0, "", []string{f.Name}, "%s joins nothing to nothing: it has to go through two parts", f.Name)
	}
	intoMount := false
	var holes []rack.Hole
	for _, name := range f.Joins {
		b, ok := j.rack.Bar(name)
		if !ok {
			_, intoMount = j.mounts[name]
			if _, hangs := j.hanging(f); hangs {
				intoMount = true // its nut is behind what hangs
			}
			continue
		}
		through := f.Through(b)
		if len(through) != 1 {
			j.say(Holds, 0, "", []string{f.Name, name}, "%s does not go squarely through one leg of %s", f.Name, name)
			continue
		}
		h := through[0]
		holes = append(holes, h)
		edge := min(h.At, b.Length()-h.At, h.Across, b.Section.Width-h.Across)
		if lack := t.Edge() - edge; lack > 0.1 {
			j.say(Holds, lack, "mm", []string{f.Name, name}, "the hole for %s in %s is %.1f mm from an edge; it needs %.1f (1.2 times the hole, EN 1993-1-8)", f.Name, name, edge, t.Edge())
		}
	}
	if len(holes) > 0 {
		j.nuts(f, t, holes, intoMount)
	}
}

// nuts asks for locking nuts on thread, against the metal that they clamp.
func (j *scene) nuts(f *rack.Fastener, t rack.Thread, holes []rack.Hole, intoMount bool) {
	first := slices.MinFunc(holes, func(a, b rack.Hole) int { return cmpFloat(a.Begins, b.Begins) }).Begins
	last := slices.MaxFunc(holes, func(a, b rack.Hole) int { return cmpFloat(a.Ends, b.Ends) }).Ends
	want := []string{}
	if !nutAt(f, last, true) && !(intoMount && !f.Rod) {
		want = append(want, fmt.Sprintf("no locking nut holds its far end (%.0f mm along it)", last))
	}
	if f.Rod && !intoMount && !nutAt(f, first, false) {
		want = append(want, fmt.Sprintf("no locking nut holds its near end (%.0f mm along it)", first))
	}
	if intoMount && !f.Rod && first > touch+t.WasherThk {
		want = append(want, "its head is not on the bar")
	}
	if !f.Rod && !intoMount && math.Abs(first) > touch {
		want = append(want, fmt.Sprintf("its head is %.1f mm off the bar", first))
	}
	for _, n := range f.Nuts {
		height := t.Nut
		if n.Locking {
			height = t.Locking
		}
		end := n.At + t.WasherThk + height
		if !n.Beyond {
			end = f.Length() - (n.At - t.WasherThk - height)
		}
		if lack := end + t.Pitch - f.Length(); lack > 0.05 {
			want = append(want, fmt.Sprintf("it is %.1f mm too short: a locking nut has to show a thread", lack))
		}
	}
	for _, w := range want {
		j.say(Holds, 0, "", []string{f.Name}, "%s: %s", f.Name, w)
	}
}

// nutAt tells whether a locking nut sits on a face: beyond it or before it.
func nutAt(f *rack.Fastener, face float64, beyond bool) bool {
	return slices.ContainsFunc(f.Nuts, func(n rack.Nut) bool {
		return n.Locking && n.Beyond == beyond && math.Abs(n.At-face) <= touch
	})
}

func cmpFloat(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}
