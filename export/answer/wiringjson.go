package answer

import (
	"io"
	"math"

	"rackwright/export"
	"rackwright/pack"
	"rackwright/pack/wire"
)

type jsonWiring struct {
	export.PackHead
	Order    []string     `json:"order"`
	Jumpers  []jsonJumper `json:"jumpers"`
	Leads    []jsonJumper `json:"leads"`
	Charging []jsonJumper `json:"charging"`
	Total    float64      `json:"total_mm"`
	Proven   bool         `json:"proven"`
	Cable    string       `json:"cable"`
	Carries  float64      `json:"carries_a"`
	Amps     float64      `json:"amps"`
	Volts    float64      `json:"volts"`
	EndVolts float64      `json:"charge_volts"`
	Drop     float64      `json:"drop_v"`
	Heat     float64      `json:"heat_w"`
	Fuse     float64      `json:"fuse_a"`
	Breaks   []string     `json:"breaks"` // names of jumpers that are joined last
	Boots    []jsonBoot   `json:"boots"`
	Steps    []string     `json:"steps"`
	Notes    []string     `json:"notes"`
	Assumed  []string     `json:"assumed"`
	Written  []string     `json:"written,omitempty"`
}

type jsonJumper struct {
	From   string       `json:"from"`
	To     string       `json:"to"`
	Path   float64      `json:"path_mm"`
	Cut    float64      `json:"cut_mm"`
	Area   float64      `json:"mm2"`
	Leaves string       `json:"leaves"`
	Bend   *float64     `json:"bend_mm"` // null for a straight one
	Points [][3]float64 `json:"points_mm"`
}

type jsonBoot struct {
	Post     string `json:"post"`
	Polarity string `json:"polarity"`
	Unused   bool   `json:"unused"`
}

// WriteWiringJSON writes a plan of the wiring as one JSON object.
func WriteWiringJSON(w io.Writer, problem pack.Problem, plan wire.Plan, written []string) error {
	out := jsonWiring{
		PackHead: export.PackHeadOf(problem), Order: []string{}, Jumpers: []jsonJumper{}, Leads: []jsonJumper{}, Charging: []jsonJumper{},
		Total: plan.Total(), Proven: plan.Proven, Cable: plan.Cable.String(), Carries: plan.Carries, Amps: plan.Wiring.Amps,
		Volts: plan.Volts, EndVolts: plan.EndVolts, Drop: plan.Drop, Heat: plan.Heat, Fuse: plan.Fuse, Breaks: []string{}, Boots: []jsonBoot{},
		Steps: []string{}, Notes: append([]string{}, plan.Notes...), Assumed: append([]string{}, plan.Wiring.Assumed...), Written: written,
	}
	for _, part := range plan.Order {
		out.Order = append(out.Order, part.String())
	}
	for _, j := range plan.Jumpers {
		out.Jumpers = append(out.Jumpers, jumperJSON(plan, j))
	}
	for _, j := range plan.Leads {
		out.Leads = append(out.Leads, jumperJSON(plan, j))
	}
	for _, j := range plan.Charging {
		out.Charging = append(out.Charging, jumperJSON(plan, j))
	}
	for _, i := range plan.Breaks {
		out.Breaks = append(out.Breaks, jumperName(plan, i))
	}
	for _, b := range plan.Boots {
		out.Boots = append(out.Boots, jsonBoot{b.Post.String(), b.Polarity, b.Unused})
	}
	out.Steps = append(out.Steps, JoiningSteps(plan)...)
	return export.WriteJSON(w, out)
}

func jumperJSON(plan wire.Plan, j wire.Jumper) jsonJumper {
	out := jsonJumper{From: j.From.String(), To: j.To.String(), Path: j.Path.Length, Cut: j.Cut, Area: math.Round(100*plan.Cable.Area) / 100, Leaves: j.Leaves, Bend: export.Finite(j.Path.Bend)}
	for _, p := range j.Path.Line() {
		out.Points = append(out.Points, [3]float64{p.X, p.Y, p.Z})
	}
	return out
}
