package judge

import (
	"math"
	"slices"

	"rackwright/frame"
	"rackwright/pack/rack"
)

// hangs asks for a tie of its own at each point by which something of the frame hangs on the rack:
// its bolt, through a bar of the rack.
func (j *scene) hangs() {
	for _, k := range j.problem.Frame.KeepOuts {
		for _, h := range k.Hangs {
			if !slices.ContainsFunc(j.rack.Fasteners, func(f rack.Fastener) bool { return j.hung(&f, k, h) }) {
				j.say(Held, 0, "", []string{k.Name}, "%s hangs on the rack by %s at [%g, %g, %g], and no bolt of the rack goes through there: put a bar of the rack there, and the bolt through both", k.Name, h.Bolt, h.At.X, h.At.Y, h.At.Z)
			}
		}
	}
	for i := range j.rack.Fasteners {
		j.lying(&j.rack.Fasteners[i])
	}
}

// lying asks that a bolt by which something hangs has a bar against it at a point, or a tube between: what
// is drawn together over air bends.
func (j *scene) lying(f *rack.Fastener) {
	k, _ := j.hanging(f)
	for _, h := range k.Hangs {
		if !j.hung(f, k, h) {
			continue
		}
		off := math.Inf(1)
		for _, way := range []float64{1, -1} {
			off = math.Min(off, j.nearest(f, frame.Mount{At: h.At, Faces: f.Along().Mul(way)}))
		}
		if off > touch {
			j.say(Held, off, "mm", []string{f.Name, k.Name}, "no bar that %s joins lies against %s: %.1f mm off; put a tube as long as that between, or the bar there", f.Name, k.Name, off)
		}
	}
}

// hung tells whether a bolt goes through a point by which a keep-out hangs, and through a bar.
func (j *scene) hung(f *rack.Fastener, k frame.KeepOut, h frame.Hang) bool {
	off := h.At.Sub(f.From)
	at := off.Dot(f.Along())
	beside := off.Sub(f.Along().Mul(at)).Norm()
	isBar := func(name string) bool { _, ok := j.rack.Bar(name); return ok }
	return f.Size == h.Bolt && slices.Contains(f.Joins, k.Name) && slices.ContainsFunc(f.Joins, isBar) && beside <= touch && at >= -touch && at <= f.Length()+touch
}

// hanging is what a bolt joins that hangs on the rack, if it does.
func (j *scene) hanging(f *rack.Fastener) (frame.KeepOut, bool) {
	for _, k := range j.problem.Frame.KeepOuts {
		if len(k.Hangs) > 0 && slices.Contains(f.Joins, k.Name) {
			return k, true
		}
	}
	return frame.KeepOut{}, false
}
