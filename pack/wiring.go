package pack

import (
	"fmt"

	"rackwright/pack/cable"
)

// Wiring is how the batteries are to be joined, and what flows. What the pack file does not give
// has a default, which Assumed tells.
type Wiring struct {
	// Series is how many groups of Parallel batteries are joined in series, in each of Strings
	// strings, which are joined in parallel. All batteries are used.
	Series, Parallel, Strings int
	Amps, Peak                float64 // lasting, and for seconds
	Cables                    []cable.Size
	Around                    cable.Surroundings
	Controller, Charger       *Connection // nil where the file does not say
	FuseVolts                 float64     // DC rating of the fuse at hand, 0 where the file does not say
	ShortCircuit              float64     // A, the maker's figure for one battery, 0 where the file does not say
	Assumed                   []string    // defaults that were taken, each in a few words
}

// Connection is a box and the posts that the pack's leads go to.
type Connection struct {
	Box         string
	Plus, Minus string // names of its posts; empty where the file does not say
}

// Batteries returns the kinds that are wired: those with a voltage and a capacity, or, where no
// kind has both, those with a voltage.
func (p *Pack) Batteries() []Kind {
	var full, some []Kind
	for _, k := range p.Kinds {
		if k.Volts > 0 && k.AmpHours > 0 {
			full = append(full, k)
		}
		if k.Volts > 0 {
			some = append(some, k)
		}
	}
	if len(full) > 0 {
		return full
	}
	return some
}

// WiringFault is what keeps batteries from being wired as asked.
type WiringFault struct {
	Kind string // the kind of box at fault, empty where it is the wiring itself
	Post string // the post of Kind, empty where it is not one post
	Key  string // the key of wiring, or of the kind
	Text string
}

// Wired returns the pack's wiring with its defaults, and what is wrong with it.
func (p *Pack) Wired() (Wiring, []WiringFault) {
	w := p.Wiring
	batteries := p.Batteries()
	if len(batteries) == 0 {
		return w, []WiringFault{{Key: "series", Text: "there is nothing to wire: give the batteries volts and amp_hours"}}
	}
	count := 0
	for _, k := range batteries {
		count += k.Count
	}
	w.assume(batteries[0], count)
	faults := w.joined(count)
	faults = append(faults, alike(batteries)...)
	for _, k := range batteries {
		faults = append(faults, polarized(k)...)
	}
	return w, append(faults, w.carried(batteries[0].EndVolts()*float64(w.Series))...)
}

// InSeries is how many batteries are in series, and whether the pack file says how all of them are
// joined.
func (p *Pack) InSeries() (series int, given bool) {
	w, count := p.Wiring, 0
	if w.Series == 0 && w.Parallel == 0 && w.Strings == 0 {
		return 0, false
	}
	for _, k := range p.Batteries() {
		count += k.Count
	}
	if count == 0 {
		return 0, false
	}
	w.assume(p.Batteries()[0], count)
	return w.Series, w.Series*w.Parallel*w.Strings == count
}

// EndVolts is the voltage of one at the end of charging, or the nominal one where that is not given.
func (k Kind) EndVolts() float64 { return max(k.Volts, k.ChargeVolts) }

// assume fills in what the file does not give.
func (w *Wiring) assume(battery Kind, count int) {
	say := func(format string, args ...any) { w.Assumed = append(w.Assumed, fmt.Sprintf(format, args...)) }
	if w.Parallel == 0 {
		w.Parallel = 1
	}
	if w.Strings == 0 {
		w.Strings = 1
	}
	if w.Series == 0 {
		w.Series = max(1, count/(w.Parallel*w.Strings))
		say("%d in series", w.Series)
	}
	if w.Amps == 0 {
		w.Amps = battery.AmpHours * float64(w.Parallel*w.Strings)
		say("%g A lasting, as many as the pack has ampere hours", w.Amps)
	}
	if w.Peak == 0 {
		w.Peak = w.Amps
		say("no higher peak")
	}
	if len(w.Cables) == 0 {
		w.Cables = cable.Standard()
		say("cables of 16, 25, 35, 50 and 70 mm²")
	}
	if w.Around.Insulation == 0 {
		w.Around.Insulation = 105
		say("insulation for 105 °C")
	}
}

// joined refuses numbers that do not use all batteries.
func (w *Wiring) joined(count int) []WiringFault {
	if w.Parallel > 1 && w.Strings > 1 {
		return []WiringFault{{Key: "strings", Text: "give either parallel, for groups that are joined in series, or strings, that are joined in parallel"}}
	}
	if n := w.Series * w.Parallel * w.Strings; n != count {
		words := fmt.Sprintf("%d in series", w.Series)
		if w.Parallel > 1 {
			words += fmt.Sprintf(", groups of %d in parallel", w.Parallel)
		}
		if w.Strings > 1 {
			words += fmt.Sprintf(", in %d strings", w.Strings)
		}
		return []WiringFault{{Key: "series", Text: fmt.Sprintf("%s, are %d batteries, but there are %d", words, n, count)}}
	}
	return nil
}

// alike refuses batteries that would push current through each other.
func alike(batteries []Kind) []WiringFault {
	var faults []WiringFault
	first := batteries[0]
	for _, k := range batteries[1:] {
		if k.Volts != first.Volts || k.EndVolts() != first.EndVolts() {
			faults = append(faults, WiringFault{Kind: k.Name, Key: "volts", Text: fmt.Sprintf("%s has %g V (%g V at the end of charging), %s %g V (%g V): batteries of unlike volts do not go into one string", k.Name, k.Volts, k.EndVolts(), first.Name, first.Volts, first.EndVolts())})
		}
	}
	return faults
}

// polarized refuses batteries whose posts do not tell plus from minus.
func polarized(k Kind) []WiringFault {
	var faults []WiringFault
	seen := map[string]bool{}
	for _, p := range k.Posts {
		if p.Polarity == "" && !p.Unused {
			faults = append(faults, WiringFault{Kind: k.Name, Post: p.Name, Text: fmt.Sprintf(`the post %q of %s has no polarity: say polarity "+" or "-", or unused: true`, p.Name, k.Name)})
		}
		if !p.Unused {
			seen[p.Polarity] = true
		}
	}
	if len(faults) == 0 && (!seen["+"] || !seen["-"]) {
		faults = append(faults, WiringFault{Kind: k.Name, Text: fmt.Sprintf("%s needs a post with polarity + and one with polarity - to be wired", k.Name)})
	}
	return faults
}

// carried refuses currents that none of the cables carries, or that no fuse protects.
func (w *Wiring) carried(volts float64) []WiringFault {
	if w.Peak < w.Amps {
		return []WiringFault{{Key: "peak_amps", Text: fmt.Sprintf("the peak, %g A, is less than the lasting current, %g A", w.Peak, w.Amps)}}
	}
	if _, _, err := w.Choose(volts); err != nil {
		return []WiringFault{{Key: "amps", Text: err.Error()}}
	}
	return nil
}

// Choose returns the thinnest of the cables that carries the lasting current and that a fuse for
// it protects, at a voltage, and that fuse's rating.
func (w *Wiring) Choose(volts float64) (cable.Size, float64, error) {
	var best cable.Size
	fuse, most := 0.0, 0.0
	for _, s := range w.Cables {
		amps, err := s.Carries(w.Around)
		if err != nil {
			return best, 0, err
		}
		most = max(most, amps)
		if rating := cable.Fuse(amps, volts, w.Amps, w.Peak); amps >= w.Amps && rating > 0 && (fuse == 0 || s.Area < best.Area) {
			best, fuse = s, rating
		}
	}
	if fuse == 0 {
		return best, 0, fmt.Errorf("none of the cables carries %g A: the thickest carries %.0f A by 33 CFR 183.425, Table 5; list a thicker one in cables (up to 120 mm² or AWG 4/0)", w.Amps, most)
	}
	return best, fuse, nil
}
