package inspection

import (
	"fmt"
	"math"

	"rackwright/pack/wire"
)

// labels are cautions to fit to the vehicle, as the trade has them (common practice; local rules
// may ask for words and sizes of their own).
func (in Input) labels() []string {
	list := []string{
		"At the main switch: what it is, and which way is off.",
		"On every cover over live posts: high current, do not open, live even with the switch off.",
		"At the charging socket: the charger's voltage and current, and that charging is to be in the open.",
	}
	if in.Wiring != nil {
		list[1] = fmt.Sprintf("On every cover over live posts: %s V DC, live even with the switch off, do not open.", volts(in.Wiring.EndVolts))
		if in.Wiring.EndVolts > wire.HazardousVolts {
			list = append(list, "The sign for electric hazard (a triangle with a lightning bolt) on the covers: above 60 V DC a touch can kill.")
		}
	}
	return append(list,
		"On the pack: chemistry, its mass, and who to call after a crash.",
		"For rescuers: where the main switch is, where cables run that must not be cut.")
}

// photographs to bring, taken while things can still be seen.
func photographs() []string {
	return []string{
		"The empty frame, with the frame number.",
		"The rack with no boxes in it: ties, bolts and the nuts that lock them.",
		"The boxes held down, covers off, boots on every post.",
		"Fuse and main switch, with what is printed on them.",
		"Cables where they pass metal, and how they are held.",
		"The whole vehicle from both sides, front and rear.",
		"Batteries' and charger's labels, with maker and figures.",
	}
}

// questions to ask before the work, and again before the inspection.
func questions() []string {
	return []string{
		"Which rules hold for a conversion of this kind and age, and who decides?",
		"Is the mass taken with the batteries or without them, and which limits on wheels and tyres count?",
		"Which figures for holding the pack do you want, and in what form: reckoned, tested, or a named design?",
		"Which voltage may the pack have, and what has to be insulated, marked or interlocked above it?",
		"What has to be shown of the frame: that nothing was cut, drilled or welded?",
		"Which tests are made here (brakes, insulation, range, noise), and what has to be brought along?",
		"Which papers of batteries, charger and controller are wanted?",
	}
}

// volts is a voltage that is not to be understated.
func volts(v float64) string { return fmt.Sprintf("%g", math.Ceil(v*10-1e-9)/10) }
