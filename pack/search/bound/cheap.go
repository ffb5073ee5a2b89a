package bound

import (
	"fmt"
	"math"

	"rackwright/geom"
	"rackwright/pack/search/model"
)

// Cheap gives an upper bound on the spare of any layout from what can be seen
// without searching, and where it is negative, the reason.
//
// The reason is that of the least bound. Each is sound by itself, so the least is; they are asked
// in the order of what they cost, and the last is given the others' bound to start from.
func Cheap(m *model.Model) (bound float64, reason string) {
	bound = math.Inf(1)
	for k := range m.Kinds {
		if b := m.AloneBound(k); b < bound {
			bound = b
			reason = fmt.Sprintf("%s does not go into the opening even alone: it is %s short in its best stand", m.Kinds[k].Name, short(-b, m.Problem.Pack.Unit))
		}
	}
	if b := volumeBound(m); b < bound {
		bound = b
		reason = "the boxes, with their gaps, take more room than the whole opening has"
	}
	if b := scaleBound(m, bound); b < bound {
		bound = b
		reason = "the boxes are too long, side by side, for the opening in every mixture of stands"
	}
	if bound = model.OrNothing(bound, geom.Tolerance); bound >= 0 {
		reason = ""
	}
	return bound, reason
}

// short is what is lacking in words, never less than it is.
func short(mm float64, unit geom.Unit) string {
	const step = 0.1 // mm: what lengths are told in
	if mm < step {
		return "less than " + geom.FormatLengthRounded(step, unit, geom.ToMore)
	}
	return geom.FormatLengthRounded(mm, unit, geom.ToMore)
}
