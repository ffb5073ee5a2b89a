package wire

import (
	"fmt"
	"slices"

	"rackwright/pack/cable"
)

// Electric is what flows, and what keeps it in bounds.
type Electric struct {
	Volts, EndVolts float64 // nominal, and at the end of charging
	Ohms            float64 // of the jumpers and leads that the whole current goes through, warm
	Drop            float64 // V along them, at the lasting current
	Heat            float64 // W in them, at the lasting current
	Fuse            float64 // A, in the lead from the plus of each string
	Interrupt       float64 // A that the fuse must be able to break; 0 where the batteries' figure is not known
}

// Warm is the temperature of the copper in °C for which drop and heat are reckoned.
const Warm = 60

// HazardousVolts is the DC voltage above which a touch can kill (ISO 6469-3, from memory).
const HazardousVolts = 60

// Where a fuse has to be, in mm along the conductor from the battery's post (33 CFR 183.455):
// 7 in, or 40 in where it is sheathed all along.
const (
	FuseWithin   = 178
	FuseSheathed = 1016
)

func (m *maker) electric() {
	p, w := &m.plan, m.plan.Wiring
	one := m.batteries[0].kind
	p.Volts, p.EndVolts = one.Volts*float64(w.Series), one.EndVolts()*float64(w.Series)
	share := w.Amps / float64(w.Strings)
	for _, j := range p.Jumpers {
		ohms, amps := p.Cable.Resistance(j.Cut, Warm), share
		if j.Parallel {
			amps = w.Amps / 2 // what half of the batteries give, at the most
			p.Heat += amps * amps * ohms
			continue
		}
		p.Heat += amps * amps * ohms
		p.Ohms += ohms / float64(w.Strings*w.Strings) // strings in parallel share the drop
	}
	for _, j := range p.Leads {
		ohms, amps := p.Cable.Resistance(j.Cut, Warm), w.Amps
		if slices.Contains(p.Plus, j.From) {
			amps = share
		}
		p.Ohms += ohms * amps / w.Amps * amps / w.Amps
		p.Heat += amps * amps * ohms
	}
	p.Drop = p.Ohms * w.Amps
	p.Fuse = cable.Fuse(p.Carries, p.EndVolts, share, w.Peak/float64(w.Strings))
	p.Interrupt = w.ShortCircuit * float64(w.Parallel*w.Strings)
	m.middle()
}

// middle finds the links in the middle of the series, one of each string, that are left open
// until the last where the pack is hazardous: on either side of each there is half of the
// voltage, or as near to that as the batteries allow.
func (m *maker) middle() {
	p := &m.plan
	if p.EndVolts <= HazardousVolts {
		return
	}
	links, each := 0, p.Wiring.Series-1
	for i, j := range p.Jumpers {
		if j.Parallel {
			continue
		}
		if links%each == (p.Wiring.Series+1)/2-1 {
			p.Breaks = append(p.Breaks, i)
		}
		links++
	}
	p.Notes = append(p.Notes, m.hazard())
}

// hazard says what the voltage means.
func (m *maker) hazard() string {
	p := m.plan
	text := fmt.Sprintf("At the end of charging this is %.1f V: above %d V DC a touch can kill. Leave work on it to qualified people.", p.EndVolts, HazardousVolts)
	part := p.EndVolts / float64(p.Wiring.Series) * float64((p.Wiring.Series+1)/2)
	switch {
	case len(p.Breaks) == 0:
		return text + " A single battery cannot be broken in the middle."
	case part > HazardousVolts:
		return text + fmt.Sprintf(" Even with the break in the middle open each part still has up to %.1f V.", part)
	}
	return text + fmt.Sprintf(" With the break in the middle open no part has more than %.1f V.", part)
}
