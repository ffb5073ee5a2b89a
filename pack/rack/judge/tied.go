package judge

import (
	"math"

	"rackwright/frame"
	"rackwright/pack/rack"
)

// tied is rule 1: the rack is bolted to the frame at mounts alone, with the mount's own bolt,
// against the face that the mount shows.
func (j *scene) tied() {
	ties := 0
	for i := range j.rack.Fasteners {
		f := &j.rack.Fasteners[i]
		for _, name := range f.Joins {
			if _, ok := j.rack.Bar(name); ok {
				continue
			}
			m, ok := j.mounts[name]
			if k, hangs := j.hanging(f); hangs && k.Name == name {
				continue
			}
			if !ok {
				j.say(FrameUntouched, 0, "", []string{f.Name}, "%s goes into %q, which is neither a bar or clamp of the rack nor a mount of the frame: nothing is drilled or welded there; give it a mount, or name the bar", f.Name, name)
				continue
			}
			ties++
			j.mount(f, m)
		}
	}
	if ties == 0 {
		j.say(FrameUntouched, 0, "", []string{"rack"}, "nothing ties the rack to the frame: bolt it to mounts, or to clamps on rails that may carry them")
	}
}

// mount checks one bolt in one mount.
func (j *scene) mount(f *rack.Fastener, m frame.Mount) {
	parts := []string{f.Name, m.Name}
	if f.Size != m.Bolt {
		j.say(FrameUntouched, 0, "", parts, "%s is %s, but the mount %s takes %s: nothing is drilled wider", f.Name, f.Size, m.Name, m.Bolt)
	}
	along := f.Along()
	off := m.At.Sub(f.From)
	if d := off.Sub(along.Mul(off.Dot(along))).Norm(); d > touch || math.Abs(along.Dot(m.Faces)) < 0.999 {
		j.say(FrameUntouched, d, "mm", parts, "%s does not go straight into the mount %s: it passes %.1f mm beside it", f.Name, m.Name, d)
		return
	}
	if d := off.Dot(along); d < -touch || d > f.Length()+touch {
		j.say(FrameUntouched, math.Max(-d, d-f.Length()), "mm", parts, "%s does not reach the mount %s", f.Name, m.Name)
	}
	j.against(f, m)
	j.through(f, m)
	j.nutOfClamp(f, m)
	nuts := len(f.Nuts)
	switch {
	case m.Holds == frame.Thread && nuts > 0, m.Holds != frame.Thread && nuts == 0:
		j.say(FrameUntouched, 0, "", parts, "the mount %s holds its bolt by a %s: %s does not suit it", m.Name, m.Holds, f.Name)
	}
}

// through asks that a bolt's nut sits on the far side of a mount's metal where that is known, and
// that enough of it is in a thread: 0.8 of its diameter (practice, steel in steel).
func (j *scene) through(f *rack.Fastener, m frame.Mount) {
	face := m.At.Sub(f.From).Dot(f.Along())
	parts := []string{f.Name, m.Name}
	thread, err := rack.ThreadOf(f.Size)
	switch {
	case err != nil || f.Rod:
	case m.Holds == frame.Hole && m.Thick > 0 && !nutAt(f, face+m.Thick, true):
		j.say(FrameUntouched, 0, "", parts, "no locking nut of %s sits behind the mount %s, whose metal is %.1f mm thick: a bolt of another length, or the nut in its place", f.Name, m.Name, m.Thick)
	case m.Holds == frame.Thread && f.Length()-face < 0.8*thread.D:
		j.say(FrameUntouched, 0.8*thread.D-(f.Length()-face), "mm", parts, "%s is only %.1f mm in the thread of the mount %s; %.1f mm at least", f.Name, f.Length()-face, m.Name, 0.8*thread.D)
	}
}

// tubed is how long in mm a tube around a bolt is that stands on its mount's face; nought where it
// has none there.
func tubed(f *rack.Fastener, m frame.Mount) float64 {
	if f.Sleeve == nil {
		return 0
	}
	face := m.At.Sub(f.From).Dot(f.Along())
	if math.Min(math.Abs(f.Sleeve.From-face), math.Abs(f.Sleeve.To-face)) > touch {
		return 0
	}
	return f.Sleeve.To - f.Sleeve.From
}

// against asks for a bar that lies flat against the mount's face, or against the tube on it.
func (j *scene) against(f *rack.Fastener, m frame.Mount) {
	if off := j.nearest(f, m); off > touch {
		j.say(FrameUntouched, off, "mm", []string{f.Name, m.Name}, "no bar that %s joins lies against the face of the mount %s: %.1f mm off", f.Name, m.Name, off)
	}
}

// nearest is how far the nearest bar that a bolt joins is off a mount's face, or off the tube on it.
func (j *scene) nearest(f *rack.Fastener, m frame.Mount) float64 {
	nearest := math.Inf(1)
	for _, name := range f.Joins {
		b, ok := j.rack.Bar(name)
		if !ok {
			continue
		}
		for _, leg := range b.Legs() {
			e := leg.Extent(m.Faces)
			nearest = math.Min(nearest, math.Abs(e.Lo-m.At.Dot(m.Faces)-tubed(f, m)))
		}
	}
	return nearest
}
