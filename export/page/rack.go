package page

import (
	"fmt"

	"github.com/golang/geo/r3"

	"rackwright/export/rackplan"
	"rackwright/pack"
	"rackwright/pack/rack"
)

// sceneRack is a rack in three dimensions: bars first, then bolts and rods, clamps, then foam. In legs
// its parts are counted on from the boxes.
type sceneRack struct {
	Parts []sceneRackPart `json:"parts"`
}

// sceneRackPart is a bar by its section, a bolt or rod by what is round about its axis, or foam by
// its corners, along the tray. It comes at a leg of the order.
type sceneRackPart struct {
	Is     string       `json:"is"`
	Comes  int          `json:"comes"`
	From   *point       `json:"from,omitempty"`
	To     *point       `json:"to,omitempty"`
	A      *[3]float64  `json:"a,omitempty"`
	B      *[3]float64  `json:"b,omitempty"`
	Width  float64      `json:"width,omitempty"`
	Thick  float64      `json:"thick,omitempty"`
	Angle  bool         `json:"angle,omitempty"`
	Rounds []sceneRound `json:"rounds,omitempty"`
	Low    *point       `json:"low,omitempty"`
	High   *point       `json:"high,omitempty"`
	Turn   float64      `json:"turn,omitempty"` // radians about the cross axis, of low and high
}

// sceneRound is a length of a bolt, round or with six sides.
type sceneRound struct {
	From   point   `json:"from"`
	To     point   `json:"to"`
	Radius float64 `json:"radius"`
	Six    bool    `json:"six,omitempty"`
}

// rackOf is the rack of a layout with the steps of building as legs; boxes are the indices of the
// boxes.
func rackOf(a rackplan.Answer, boxes map[pack.Part]int) (*sceneRack, []sceneLeg) {
	s := &sceneRack{}
	index := map[string]int{}
	for part, i := range boxes {
		index[part.String()] = i
	}
	add := func(name string, p sceneRackPart) {
		if name != "" {
			index[name] = len(boxes) + len(s.Parts)
		}
		s.Parts = append(s.Parts, p)
	}
	for _, b := range a.Rack.Bars {
		add(b.Name, barOf(b))
	}
	for _, f := range a.Rack.Fasteners {
		add(f.Name, boltOf(f))
	}
	for _, c := range a.Rack.Clamps {
		add(c.Name, clampOf(c))
	}
	for _, p := range a.Rack.Pads {
		low, high := pointOf(p.Low), pointOf(p.High)
		add("", sceneRackPart{Is: "foam", Low: &low, High: &high, Turn: p.Tilt.Radians()})
	}
	legs, arrives := buildingLegs(a, index)
	for i := range s.Parts {
		switch n := i - len(a.Rack.Bars); {
		case n < 0: // its own legs say when
		case n < len(a.Rack.Fasteners):
			if f := a.Rack.Fasteners[n]; !f.Rod {
				s.Parts[i].Comes = arrives[f.Name]
			}
		case n < len(a.Rack.Fasteners)+len(a.Rack.Clamps): // their own legs say when
		default: // with the box, or with what lies on it
			p := a.Rack.Pads[n-len(a.Rack.Fasteners)-len(a.Rack.Clamps)]
			s.Parts[i].Comes = max(arrives[p.Part().String()], arrives[p.To])
		}
	}
	return s, legs
}

func barOf(b rack.Bar) sceneRackPart {
	from, to := pointOf(b.From), pointOf(b.To)
	return sceneRackPart{
		Is: "bar", From: &from, To: &to, A: &[3]float64{b.A.X, b.A.Y, b.A.Z}, B: &[3]float64{b.B.X, b.B.Y, b.B.Z},
		Width: b.Section.Width, Thick: b.Section.Thick, Angle: b.Section.Form == rack.Angle,
	}
}

// boltOf is the shank of a bolt or rod with head, washers, nuts and sleeve.
func boltOf(f rack.Fastener) sceneRackPart {
	t, err := rack.ThreadOf(f.Size)
	p := sceneRackPart{Is: "bolt", Rounds: []sceneRound{}}
	if err != nil {
		return p
	}
	add := func(from, to, radius float64, six bool) {
		p.Rounds = append(p.Rounds, sceneRound{pointOf(f.At(from)), pointOf(f.At(to)), rounded(radius), six})
	}
	add(0, f.Length(), t.D/2, false)
	if !f.Rod {
		add(-t.Head, 0, t.Corners()/2, true)
	}
	for _, n := range f.Nuts {
		high, way := t.Nut, 1.0
		if n.Locking {
			high = t.Locking
		}
		if !n.Beyond {
			way = -1
		}
		add(n.At, n.At+way*t.WasherThk, t.Washer/2, false)
		add(n.At+way*t.WasherThk, n.At+way*(t.WasherThk+high), t.Corners()/2, true)
	}
	if f.Sleeve != nil {
		add(f.Sleeve.From, f.Sleeve.To, f.Sleeve.Outer/2, false)
	}
	return p
}

// clampOf is a clamp as the round band around its rail, its nut, and the two bolts that close it.
func clampOf(c rack.Clamp) sceneRackPart {
	t, err := rack.ThreadOf(c.Bolt)
	closing, also := rack.ThreadOf(rack.ClampCloses)
	p := sceneRackPart{Is: "bolt", Rounds: []sceneRound{}}
	if err != nil || also != nil {
		return p
	}
	out, ears := c.Diameter/2+rack.ClampBand, c.Faces.Cross(c.Along)
	add := func(from, to r3.Vector, radius float64, six bool) {
		p.Rounds = append(p.Rounds, sceneRound{pointOf(from), pointOf(to), rounded(radius), six})
	}
	half := c.Along.Mul(rack.ClampWide / 2.0)
	add(c.At.Sub(half), c.At.Add(half), out, false)
	add(c.At.Add(c.Faces.Mul(out)), c.Face(), t.Corners()/2, true)
	for _, side := range []float64{-1, 1} {
		at := c.At.Add(ears.Mul(side * (out + rack.ClampEar/2.0)))
		add(at.Sub(c.Faces.Mul(rack.ClampHigh)), at.Add(c.Faces.Mul(rack.ClampHigh)), closing.Corners()/2, true)
	}
	return p
}

// buildingLegs are the moves of the steps of building, a step without any being a leg that moves
// nothing; arrives tells after how many legs each thing is in its place.
func buildingLegs(a rackplan.Answer, index map[string]int) (legs []sceneLeg, arrives map[string]int) {
	arrives = map[string]int{}
	steps := rackplan.Building(a)
	for n, step := range steps {
		words := fmt.Sprintf("%d of %d. %s", n+1, len(steps), step.Words)
		leg := sceneLeg{Box: -1, Off: append([]string{}, step.Off...), Words: both{words, words}}
		before := len(legs)
		for _, c := range step.Comes {
			for i, move := range c.Legs {
				leg.Box, leg.First, leg.Move = index[c.Name], i == 0, pointOf(move)
				legs = append(legs, leg)
			}
		}
		if len(legs) == before {
			legs = append(legs, leg)
		}
		for _, name := range step.With {
			arrives[name] = len(legs)
		}
	}
	return legs, arrives
}
