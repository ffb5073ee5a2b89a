package judge

import (
	"errors"
	"math"

	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/beam"
	"rackwright/pack/rack/loads"
)

// Aim is how many g a rack is asked to hold in each of six directions where nothing else is
// said: the two times their weight of 33 CFR 183.420, which is more than the 0.8 g of
// 49 CFR 393.102.
const Aim = 2

// holds is rule 7 by calculation.
func (j *scene) holds(p pack.Problem, l pack.Layout, r *rack.Rack, s Settings) loads.Report {
	aim := s.Hold
	if aim == 0 {
		aim = Aim
	}
	report, err := loads.Of(p, l, r, aim)
	var loose *beam.MechanismError
	switch {
	case errors.As(err, &loose):
		j.say(Holds, 0, "", loose.Parts[:min(3, len(loose.Parts))], "%v: bolt it in one more place", err)
		return report
	case err != nil:
		j.say(Holds, 0, "", []string{"rack"}, "what the rack holds cannot be told: %v", err)
		return report
	}
	for _, d := range report.Directions {
		if d.Holds < aim {
			j.say(Holds, aim-d.Holds, "g", []string{d.Weakest}, "%s the rack holds %.1f g, of %g that are aimed at: %s gives first; %s", d.Name, math.Floor(10*d.Holds)/10, aim, d.Weakest, d.WouldDo(j.rack, aim/d.Holds))
		}
	}
	return report
}
