package answer

import (
	"github.com/golang/geo/r3"

	"rackwright/export"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/limit"
	"rackwright/pack/whatif"
)

type jsonLimit struct {
	Spare   float64      `json:"spare_mm"`
	Chain   jsonChain    `json:"chain"`
	Links   []jsonLink   `json:"links"`
	Effects []jsonEffect `json:"effects"`
	Again   []string     `json:"measure_again"`
}

type jsonChain struct {
	From     string        `json:"from"`
	To       string        `json:"to"`
	Boxes    []jsonCrossed `json:"boxes"`
	Gaps     []float64     `json:"gaps_mm"`
	Straight bool          `json:"straight"`
	Room     *float64      `json:"room_mm"`
	Need     *float64      `json:"need_mm"`
}

type jsonCrossed struct {
	Part string  `json:"part"`
	Size float64 `json:"size_mm"`
}

type jsonLink struct {
	Between  [2]string  `json:"between"`
	Gap      string     `json:"gap"`
	Required float64    `json:"required_mm"`
	Weight   float64    `json:"weight"`
	Normal   [3]float64 `json:"normal"`
}

type jsonEffect struct {
	Kind     string  `json:"kind"`
	Of       string  `json:"of"`
	What     string  `json:"what"`
	More     float64 `json:"spare_for_1mm_more"`
	Less     float64 `json:"spare_for_1mm_less"`
	Accuracy float64 `json:"accuracy_mm"`
	Decides  float64 `json:"decides_mm"`
}

func limitJSON(a *limit.Analysis) *jsonLimit {
	if a == nil {
		return nil
	}
	out := &jsonLimit{Spare: a.Spare, Chain: chainJSON(a.Chain), Links: []jsonLink{}, Effects: []jsonEffect{}, Again: []string{}}
	for _, l := range a.Links {
		out.Links = append(out.Links, jsonLink{
			[2]string{l.A.String(), l.B.String()}, l.Rule.String(), l.Required, l.Weight, triple(l.Normal),
		})
	}
	for _, e := range a.Effects {
		out.Effects = append(out.Effects, jsonEffect{e.Sort.String(), e.Of, e.What, e.More, e.Less, e.Accuracy, e.Decides()})
	}
	for _, e := range a.Again(shown) {
		out.Again = append(out.Again, measuredWords(e.Measured))
	}
	return out
}

func chainJSON(c limit.Chain) jsonChain {
	out := jsonChain{From: c.From.String(), Boxes: []jsonCrossed{}, Gaps: c.Gaps, Straight: c.Straight, Room: export.Finite(c.Room), Need: export.Finite(c.Need)}
	if c.To != (pack.Part{}) {
		out.To = c.To.String()
	}
	for _, b := range c.Boxes {
		out.Boxes = append(out.Boxes, jsonCrossed{b.Part.String(), b.Size})
	}
	return out
}

func triple(v r3.Vector) [3]float64 { return [3]float64{v.X + 0, v.Y + 0, v.Z + 0} }

type jsonSure struct {
	Layout      *int     `json:"layout"`                 // its number, from 1
	Stands      *bool    `json:"as_it_stands,omitempty"` // or with its boxes moved
	ProvenTight bool     `json:"proven_tight"`
	NoAccuracy  bool     `json:"no_accuracy,omitempty"` // neither file gives one: there is no worst case
	Error       *float64 `json:"common_error_mm"`
}

func sureJSON(in Input) *jsonSure {
	s := in.Result.Sure
	if s == nil || !in.Result.Verdict.Fits() {
		return nil
	}
	out := &jsonSure{ProvenTight: s.ProvenTight, NoAccuracy: s.Exact}
	if s.Holds() {
		n := s.Layout + 1
		out.Layout, out.Stands = &n, &s.Stands
	}
	if s.AsWritten >= 0 {
		out.Error = &s.AsWritten
	}
	return out
}

type jsonConcession struct {
	Off        []string        `json:"off"`
	Notches    []jsonNotch     `json:"notches"`
	Spare      float64         `json:"spare_mm"`
	Sure       bool            `json:"sure"`
	Cautions   []string        `json:"cautions"`
	Placements []jsonPlacement `json:"placements"`
	Order      []jsonStep      `json:"order"`
	Surer      *jsonConcession `json:"surer,omitempty"` // the least with deeper notches that is sure
}

type jsonNotch struct {
	KeepOut string     `json:"keepout"`
	For     string     `json:"for"`
	Depth   float64    `json:"depth_mm"`
	Size    [3]float64 `json:"size_mm"`
	Volume  float64    `json:"volume_mm3"`
	Parts   []jsonPart `json:"parts"` // that together are cut out
}

// jsonPart is an outline seen from the side swept across, or, of a slanted drum, flat faces.
type jsonPart struct {
	Outline [][2]float64   `json:"outline_mm,omitempty"` // x, z
	Across  *[2]float64    `json:"across_mm,omitempty"`  // right, left
	Faces   [][][3]float64 `json:"faces_mm,omitempty"`   // corners counter-clockwise seen from outside
}

type jsonConceded struct {
	Fits     []jsonConcession `json:"fits"`
	Hopeless bool             `json:"proven_hopeless"`
	Refused  []string         `json:"refused"`
	Notes    []string         `json:"notes"`
	Open     []string         `json:"undecided"`
}

func concededJSON(c *whatif.Conceded) *jsonConceded {
	if c == nil {
		return nil
	}
	out := &jsonConceded{Fits: []jsonConcession{}, Hopeless: c.Hopeless, Refused: append([]string{}, c.Refused...), Notes: append([]string{}, c.Notes...), Open: append([]string{}, c.Open...)}
	for _, fit := range c.Fits {
		out.Fits = append(out.Fits, concessionJSON(fit))
	}
	return out
}

func concessionJSON(c whatif.Concession) jsonConcession {
	j := jsonConcession{
		Off: append([]string{}, c.Off...), Notches: []jsonNotch{}, Spare: c.Report.Spare, Sure: c.Sure,
		Cautions: ConcessionCautions([]whatif.Concession{c}), Placements: placementsJSON(c.Layout), Order: orderJSON(c.Entry.Order),
	}
	for _, n := range c.Notches {
		j.Notches = append(j.Notches, notchJSON(n))
	}
	if c.Surer != nil {
		surer := concessionJSON(*c.Surer)
		j.Surer = &surer
	}
	return j
}

func notchJSON(n whatif.Notch) jsonNotch {
	j := jsonNotch{
		KeepOut: n.KeepOut, For: n.For.String(), Depth: n.Depth, Size: triple(n.Size()), Volume: n.Volume(),
	}
	for _, s := range n.Solids {
		j.Parts = append(j.Parts, partJSON(s))
	}
	return j
}

func partJSON(s geom.Solid) jsonPart {
	var part jsonPart
	if p, ok := s.(geom.Prism); ok {
		part.Across = &[2]float64{p.Depth.Lo, p.Depth.Hi}
		for _, c := range p.Profile.Corners {
			part.Outline = append(part.Outline, [2]float64{c.X, c.Y})
		}
		return part
	}
	for _, face := range geom.Surface(s, 0) {
		var loop [][3]float64
		for _, c := range face.Corners {
			loop = append(loop, triple(c))
		}
		part.Faces = append(part.Faces, loop)
	}
	return part
}

type jsonChange struct {
	What    string          `json:"what"`
	Caution string          `json:"caution,omitempty"`
	Verdict string          `json:"verdict"`
	Spare   *float64        `json:"spare_mm"`
	Bound   *float64        `json:"bound_mm"`
	Layout  []jsonPlacement `json:"placements"`
}

func changesJSON(list []whatif.Change) []jsonChange {
	var out []jsonChange
	for _, c := range list {
		j := jsonChange{
			What: c.What, Caution: c.Caution, Verdict: c.Result.Verdict.String(),
			Spare: export.Finite(c.Result.Spare), Bound: export.Finite(c.Result.Bound), Layout: []jsonPlacement{},
		}
		if len(c.Result.Layouts) > 0 {
			j.Layout = placementsJSON(c.Result.Layouts[0].Layout)
		}
		out = append(out, j)
	}
	return out
}
