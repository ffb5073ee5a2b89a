package pack

import (
	"slices"

	"rackwright/frame/strict"
	"rackwright/pack/cable"
)

type wiringFile struct {
	Series       *int            `yaml:"series,omitempty" jsonschema:"minimum=1,maximum=64" jsonschema_description:"How many batteries, or groups of parallel ones, are joined in series. Default all."`
	Parallel     *int            `yaml:"parallel,omitempty" jsonschema:"minimum=1,maximum=64" jsonschema_description:"How many batteries are joined in parallel in each group. Default 1."`
	Strings      *int            `yaml:"strings,omitempty" jsonschema:"minimum=1,maximum=64" jsonschema_description:"How many whole strings are joined in parallel. Default 1."`
	Amps         *float64        `yaml:"amps,omitempty" jsonschema:"exclusiveMinimum=0,maximum=2000" jsonschema_description:"Lasting current of the pack. Default as many as it has ampere hours."`
	Peak         *float64        `yaml:"peak_amps,omitempty" jsonschema:"exclusiveMinimum=0,maximum=5000" jsonschema_description:"Current for seconds. Default amps."`
	Cables       []strict.Label  `yaml:"cables,omitempty" jsonschema:"minItems=1,maxItems=16" jsonschema_description:"Cables to choose from: mm², or AWG 2, or 1/0. Default 16, 25, 35, 50, 70."`
	Insulation   *int            `yaml:"insulation_c,omitempty" jsonschema:"enum=60,enum=75,enum=80,enum=90,enum=105,enum=125,enum=200" jsonschema_description:"What the insulation bears, in °C. Default 105."`
	Hot          bool            `yaml:"hot,omitempty" jsonschema_description:"true: the cables lie where it is 50 °C, not 30."`
	Bundle       *int            `yaml:"bundle,omitempty" jsonschema:"minimum=1,maximum=24" jsonschema_description:"How many current-carrying cables lie together. Default 1."`
	Controller   *connectionFile `yaml:"controller,omitempty" jsonschema_description:"The box that the pack's leads go to."`
	Charger      *connectionFile `yaml:"charger,omitempty" jsonschema_description:"The box that charges it."`
	Fuse         *fuseFile       `yaml:"fuse,omitempty" jsonschema_description:"The fuse at hand."`
	ShortCircuit *float64        `yaml:"short_circuit_amps,omitempty" jsonschema:"exclusiveMinimum=0,maximum=100000" jsonschema_description:"What one battery gives when short-circuited, by its maker."`
}

type connectionFile struct {
	Box   strict.Name `yaml:"box" jsonschema_description:"Name of the kind of box."`
	Plus  strict.Name `yaml:"plus,omitempty" jsonschema_description:"Its post for the lead from the pack's plus."`
	Minus strict.Name `yaml:"minus,omitempty" jsonschema_description:"Its post for the lead from the pack's minus."`
}

type fuseFile struct {
	Volts float64 `yaml:"volts_dc" jsonschema:"exclusiveMinimum=0,maximum=2000" jsonschema_description:"The DC voltage that it is made for."`
}

// MaxPeak and MaxShortCircuit are limits of currents in A, MaxCables of how many sizes there
// are to choose from, MaxBundle of cables that lie together.
const (
	MaxPeak         = 5000
	MaxShortCircuit = 100_000
	MaxCables       = 16
	MaxBundle       = 24
)

func (r *reader) wiring() Wiring {
	f := r.file.Wiring
	if f == nil {
		return Wiring{}
	}
	w := Wiring{Series: r.several(f.Series, MaxBoxes), Parallel: r.several(f.Parallel, MaxBoxes), Strings: r.several(f.Strings, MaxBoxes)}
	w.Amps, w.Peak = r.current(f.Amps, MaxVolts), r.current(f.Peak, MaxPeak)
	w.ShortCircuit = r.current(f.ShortCircuit, MaxShortCircuit)
	w.Around = cable.Surroundings{Hot: f.Hot, Bundle: r.several(f.Bundle, MaxBundle)}
	if f.Insulation != nil {
		if w.Around.Insulation = *f.Insulation; !slices.Contains(cable.Insulations, *f.Insulation) {
			r.At(f.Insulation, strict.BadValue, "insulation is for one of %v °C, not %d", cable.Insulations, *f.Insulation)
		}
	}
	w.Cables = r.cables(f)
	w.Controller, w.Charger = r.connection(f.Controller), r.connection(f.Charger)
	if f.Fuse != nil {
		w.FuseVolts = f.Fuse.Volts
		r.between(&f.Fuse.Volts, w.FuseVolts, 1, MaxVolts, "a voltage")
	}
	return w
}

// several reads a number of things, 0 where it is not given.
func (r *reader) several(n *int, most float64) int {
	if n == nil {
		return 0
	}
	r.between(n, float64(*n), 1, most, "this")
	return *n
}

// current reads a number of amperes, 0 where it is not given.
func (r *reader) current(a *float64, most float64) float64 {
	if a == nil {
		return 0
	}
	if !(*a > 0) || *a > most {
		r.At(a, strict.OutOfRange, "a current is more than 0 and at most %g A, not %g", most, *a)
	}
	return *a
}

func (r *reader) cables(f *wiringFile) []cable.Size {
	if len(f.Cables) > MaxCables {
		r.At(&f.Cables, strict.TooLarge, "%d cables are more than the %d that are allowed", len(f.Cables), MaxCables)
		return nil
	}
	if f.Cables != nil && len(f.Cables) == 0 {
		r.At(&f.Cables, strict.BadValue, "give at least one cable, or leave cables out")
	}
	var all []cable.Size
	for i := range f.Cables {
		s, err := cable.Parse(string(f.Cables[i]))
		if err != nil {
			r.At(&f.Cables[i], strict.BadValue, "%s", err)
			continue
		}
		all = append(all, s)
	}
	return all
}

func (r *reader) connection(f *connectionFile) *Connection {
	if f == nil {
		return nil
	}
	c := &Connection{Box: string(f.Box), Plus: string(f.Plus), Minus: string(f.Minus)}
	k := slices.IndexFunc(r.file.Boxes, func(k kindFile) bool { return k.Name == f.Box })
	if k < 0 {
		r.At(&f.Box, strict.BadName, "no kind of box has this name")
		return c
	}
	for _, post := range []*strict.Name{&f.Plus, &f.Minus} {
		if *post != "" && !slices.ContainsFunc(r.file.Boxes[k].Posts, func(p postFile) bool { return p.Name == *post }) {
			r.At(post, strict.BadName, "%s has no post of this name", f.Box)
		}
	}
	return c
}

// wired reports what is wrong with a wiring that the file gives, each at its place.
func (r *reader) wired(p *Pack) {
	if r.file.Wiring == nil || !r.Sound(r.file.Wiring, &r.file.Boxes) {
		return
	}
	_, faults := p.Wired()
	for _, fault := range faults {
		r.At(r.placeOf(fault), strict.BadValue, "%s", fault.Text)
	}
}

// placeOf is the variable that a fault is about.
func (r *reader) placeOf(fault WiringFault) any {
	w := r.file.Wiring
	for i := range r.file.Boxes {
		k := &r.file.Boxes[i]
		if string(k.Name) != fault.Kind {
			continue
		}
		for j := range k.Posts {
			if string(k.Posts[j].Name) == fault.Post {
				return &k.Posts[j].Name
			}
		}
		if fault.Key == "volts" {
			return &k.Volts
		}
		return &k.Name
	}
	switch {
	case fault.Key == "series" && w.Series != nil:
		return w.Series
	case fault.Key == "amps" && w.Amps != nil:
		return w.Amps
	case fault.Key == "peak_amps" && w.Peak != nil:
		return w.Peak
	}
	return w
}
