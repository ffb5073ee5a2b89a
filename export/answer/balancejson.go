package answer

import (
	"io"

	"rackwright/export"
	"rackwright/pack"
	"rackwright/pack/balance"
)

// NamedBalance is the balance of a layout, and what the layout is called.
type NamedBalance struct {
	Name string
	balance.Balance
}

type jsonBalance struct {
	Layout string `json:"layout,omitempty"`
	// Mass is of vehicle and boxes, or of the boxes alone where the vehicle was not weighed.
	Mass    float64              `json:"mass_kg"`
	Middle  [3]*float64          `json:"middle_mm"`
	Packed  float64              `json:"packed_kg"`
	Battery float64              `json:"battery_kg"`
	Wheels  map[string]jsonWheel `json:"wheels"`
	Aside   *float64             `json:"sideways_mm"`
	Wanted  *float64             `json:"wanted_x_mm"` // of the boxes' middle, for the loads of before
	Boxes   []jsonShare          `json:"boxes"`
	Unknown []string             `json:"without_mass"`
}

type jsonWheel struct {
	Now     *float64 `json:"now_kg"`
	With    *float64 `json:"with_kg"`
	Loaded  *float64 `json:"with_riders_kg"`
	Before  *float64 `json:"before_kg"`
	Allowed *float64 `json:"allowed_kg"`
	Packed  float64  `json:"packed_kg"`
}

type jsonShare struct {
	Box    string             `json:"box"`
	Mass   float64            `json:"mass_kg"`
	Wheels map[string]float64 `json:"wheels_kg"`
}

// WriteBalanceJSON writes the balance of the first layout as one JSON object, with those of
// the others in it under "others".
func WriteBalanceJSON(w io.Writer, problem pack.Problem, all []NamedBalance) error {
	object := struct {
		export.PackHead
		jsonBalance
		Others []jsonBalance `json:"others"`
	}{export.PackHeadOf(problem), balanceJSON(problem, all[0]), []jsonBalance{}}
	for _, b := range all[1:] {
		object.Others = append(object.Others, balanceJSON(problem, b))
	}
	return export.WriteJSON(w, object)
}

func balanceJSON(problem pack.Problem, b NamedBalance) jsonBalance {
	out := jsonBalance{
		Layout: b.Name, Mass: b.Packed, Packed: b.Packed, Battery: b.Battery, Aside: b.Sideways,
		Wheels: map[string]jsonWheel{}, Boxes: []jsonShare{}, Unknown: append([]string{}, b.Unknown...),
	}
	if b.Whole != nil {
		out.Mass, out.Middle = b.Whole.Mass, [3]*float64{&b.Whole.At.X, &b.Whole.At.Y, b.Whole.Height}
	} else if b.Packed > 0 {
		out.Middle = [3]*float64{&b.Middle.X, &b.Middle.Y, &b.Middle.Z}
	}
	if x, ok := balance.Wanted(problem, b.Packed); ok {
		out.Wanted = &x
	}
	for i, w := range b.Wheels {
		out.Wheels[w.Name] = jsonWheel{w.Now, w.With, w.Loaded, w.Before, w.Allowed, b.Balance.Wheels[i].Packed}
	}
	for _, s := range b.Boxes {
		one := jsonShare{Box: s.Part.String(), Mass: s.Mass, Wheels: map[string]float64{}}
		for i, kg := range s.Wheels {
			one.Wheels[b.Wheels[i].Name] = kg
		}
		out.Boxes = append(out.Boxes, one)
	}
	return out
}
