package compared

import (
	"io"

	"rackwright/export"
	"rackwright/pack/compare"
)

type jsonRow struct {
	Battery  string               `json:"battery"`
	Count    int                  `json:"count"`
	Joined   string               `json:"joined"`
	Volts    float64              `json:"volts"`
	Verdict  string               `json:"verdict"`
	Spare    *float64             `json:"spare_mm"`
	Bound    *float64             `json:"bound_mm"`
	Best     bool                 `json:"proven"`
	KWh      float64              `json:"kwh"`
	Mass     *float64             `json:"mass_kg"`
	Price    *float64             `json:"price"`
	Wheels   map[string]jsonWheel `json:"wheels,omitempty"`
	BeatenBy *jsonOther           `json:"beaten_by"`
	Reason   string               `json:"reason,omitempty"`
	Files    []string             `json:"files"`
}

type jsonWheel struct {
	Packed  float64  `json:"packed_kg"`
	With    *float64 `json:"with_kg"`
	Loaded  *float64 `json:"with_riders_kg"`
	Allowed *float64 `json:"allowed_kg"`
}

type jsonOther struct {
	Battery string `json:"battery"`
	Count   int    `json:"count"`
}

// WriteJSON writes the comparison as one JSON object, rows in the order of the table.
func (c Comparison) WriteJSON(w io.Writer) error {
	lines, err := c.lines()
	if err != nil {
		return err
	}
	object := struct {
		export.Head
		Catalogue string    `json:"catalogue"`
		Want      string    `json:"want"`
		Wanted    string    `json:"wanted"` // as it was understood
		Currency  string    `json:"currency"`
		Of        int       `json:"of"` // rows in all
		Part      string    `json:"part"`
		Rows      []jsonRow `json:"rows"`
	}{export.HeadOf(c.Frame), c.Catalogue.Name, c.Header.Want, c.Wish.Words(c.Catalogue.Currency), c.Catalogue.Currency, c.Header.Rows, c.Header.Shard().String(), []jsonRow{}}
	names := fileNames(c.Rows)
	for _, l := range lines {
		object.Rows = append(object.Rows, l.json(names[l.Entry.Row]))
	}
	return export.WriteJSON(w, object)
}

func (l line) json(name string) jsonRow {
	r := jsonRow{
		Battery: l.Battery.Name, Count: l.Count, Joined: l.Joined.String(), Volts: clean(l.Volts()), Verdict: l.Verdict.String(),
		Spare: export.Finite(l.Spare), Bound: export.Finite(l.Bound), Best: l.Best, KWh: clean(l.KWh()),
		Mass: ifKnown(l.Mass()), Price: ifKnown(l.Price()), Reason: l.Reason, Files: filesOf(l.Outcome, name),
	}
	if l.by != nil {
		r.BeatenBy = &jsonOther{l.by.Battery.Name, l.by.Count}
	}
	if len(l.wheels) > 0 {
		r.Wheels = map[string]jsonWheel{}
	}
	for _, w := range l.wheels {
		r.Wheels[w.Name] = jsonWheel{w.Packed, w.With, w.Loaded, w.Allowed}
	}
	return r
}

func ifKnown(v float64, known bool) *float64 {
	if !known {
		return nil
	}
	v = clean(v)
	return &v
}

// filesOf are the names of the files of a row, each with its folder.
func filesOf(o compare.Outcome, name string) []string {
	list := []string{packsFolder + "/" + name + ".pack.yaml"}
	if o.Verdict.GoesIn() {
		list = append(list, layoutsFolder+"/"+name+".layout.yaml")
	}
	if o.Proof != nil {
		list = append(list, proofsFolder+"/"+name+".proof.json")
	}
	return list
}
