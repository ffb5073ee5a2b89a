package answer

import (
	"fmt"

	"rackwright/pack"
)

// liftAlone is the load constant of NIOSH publication 94-110 in kilograms: the most
// that one person should lift in the best of circumstances.
const liftAlone = 23

// hazardousVolts is the DC voltage from which a touch can kill (ISO 6469-3, from
// memory; electric power from class B on).
const hazardousVolts = 60

// leadDensity is that of lead in kg/mm³ (11.34 g/cm³, from memory). No box comes near it:
// one that does has its size in cm, or its mass in g or lb, where mm and kg are read.
const leadDensity = 11.34e-6

// Cautions lists what can hurt the builder of a pack, each in a sentence, those that
// apply.
func Cautions(p *pack.Pack) []string {
	var all []string
	for _, k := range p.Kinds {
		if k.Mass > leadDensity*k.Size.X*k.Size.Y*k.Size.Z {
			all = append(all, fmt.Sprintf("%s would be heavier than solid lead of its size: are its size and mass in the right units? Until then trust nothing here.", k.Name))
		}
		if k.Mass > liftAlone {
			all = append(all, fmt.Sprintf("%s weighs %.4g kg: lift it with two people or a hoist (NIOSH 94-110: one person at most %d kg, less at arm's length).", k.Name, k.Mass, liftAlone))
		}
	}
	if anyKind(p, func(k pack.Kind) bool { return len(k.Posts) > 0 || k.Volts > 0 }) {
		all = append(all, "Live posts: boots on every post, tools with one insulated end, no rings or watches. A spanner across two posts welds and burns.")
	}
	if v, how := packVolts(p); v > hazardousVolts {
		all = append(all, fmt.Sprintf("%s this is up to %.4g V at the end of charging: over %d V DC a touch can kill. Leave work on it to qualified people.", how, v, hazardousVolts))
	}
	if anyKind(p, func(k pack.Kind) bool { return k.Volts > 0 }) {
		all = append(all, "Lead batteries give off hydrogen when they charge, sealed ones when overcharged: vent the space, no sparks. Flooded ones stay upright.")
	}
	if anyKind(p, mayBeLithium) {
		all = append(all, "Lithium batteries burn when crushed, pierced or charged wrongly: use the cut-off (BMS) and the charger that their maker names, and charge no swollen or dented one.")
	}
	return append(all, "Frame members carry load: leave cutting and welding to someone qualified. Local vehicle rules decide.")
}

// BoxCautions lists in short what can hurt whoever handles the real box that a template
// stands for, those that apply.
func BoxCautions(p *pack.Pack, k pack.Kind) []string {
	var all []string
	if k.Mass > liftAlone {
		all = append(all, fmt.Sprintf("The real %s weighs %.4g kg: two people or a hoist.", k.Name, k.Mass))
	}
	if len(k.Posts) > 0 || k.Volts > 0 {
		all = append(all, "Live posts: boots on every one, insulated tools, no rings.")
	}
	if v, _ := packVolts(p); k.Volts > 0 && v > hazardousVolts {
		all = append(all, fmt.Sprintf("Over %d V DC in series: leave work on it to qualified people.", hazardousVolts))
	}
	if k.Volts > 0 {
		all = append(all, "Lead gives off hydrogen on charge: vent, no sparks. Flooded: upright.")
	}
	if mayBeLithium(k) {
		all = append(all, "Lithium burns when crushed, pierced or charged wrongly: charge no swollen one.")
	}
	return all
}

// mayBeLithium tells of batteries that do not hold liquid acid. The pack file says no more
// of what is in them, so both cautions begin with what they are for.
func mayBeLithium(k pack.Kind) bool { return k.Volts > 0 && !k.Flooded }

func anyKind(p *pack.Pack, is func(pack.Kind) bool) bool {
	for _, k := range p.Kinds {
		if is(k) {
			return true
		}
	}
	return false
}

// chargeFactor is how much more than its nominal voltage a battery may have at the end of
// charging: 15 V for one called 12 V. Common practice of lead batteries; others have less.
const chargeFactor = 1.25

// packVolts is the voltage at the end of charging, and how batteries are joined for it: as the pack
// file says, or all in series where it says nothing, or nothing that uses all batteries.
func packVolts(p *pack.Pack) (volts float64, how string) {
	sum, most := 0.0, 0.0
	for _, k := range p.Kinds {
		sum += float64(k.Count) * endVolts(k)
	}
	series, given := p.InSeries()
	if !given {
		return sum, "All in series"
	}
	for _, k := range p.Batteries() {
		most = max(most, endVolts(k))
	}
	return float64(series) * most, fmt.Sprintf("With %d in series, as the pack file joins them,", series)
}

// endVolts is the voltage of one box at the end of charging, reckoned from the nominal one where a
// kind does not give it: a pack called 60 V passes 60 V.
func endVolts(k pack.Kind) float64 {
	if k.ChargeVolts == 0 {
		return chargeFactor * k.Volts
	}
	return max(k.ChargeVolts, k.Volts)
}

// TurnedOver lists the boxes with volts that a layout puts upside down.
func TurnedOver(p *pack.Pack, l pack.Layout) []string {
	var names []string
	for _, at := range l.Placements {
		for _, k := range p.Kinds {
			if k.Name == at.Box && k.Volts > 0 && at.Up == pack.Bottom {
				names = append(names, at.Part().String())
			}
		}
	}
	return names
}
