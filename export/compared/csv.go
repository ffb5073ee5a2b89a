package compared

import (
	"encoding/csv"
	"io"
	"strconv"

	"rackwright/export"
)

// WriteCSV writes a table for spreadsheets, in the order of the printed one: commas between cells, a
// point in decimals, an empty cell for what is not known.
func (c Comparison) WriteCSV(w io.Writer) error {
	lines, err := c.lines()
	if err != nil {
		return err
	}
	head := []string{"battery", "count", "joined", "volts", "verdict", "spare_mm", "bound_mm", "kwh", "mass_kg", "price"}
	wheels := c.wheels()
	for _, name := range wheels {
		head = append(head, "wheel_"+name+"_kg")
	}
	t := csv.NewWriter(w)
	if err := t.Write(append(head, "beaten_by", "reason")); err != nil {
		return err
	}
	for _, l := range lines {
		if err := t.Write(l.cells(len(wheels))); err != nil {
			return err
		}
	}
	t.Flush()
	return t.Error()
}

// wheels are the names of the vehicle's wheels.
func (c Comparison) wheels() []string {
	var names []string
	if v := c.Frame.Vehicle; v != nil {
		for _, w := range v.Wheels {
			names = append(names, w.Name)
		}
	}
	return names
}

func (l line) cells(wheels int) []string {
	cells := []string{
		l.Battery.Name, strconv.Itoa(l.Count), l.Joined.String(), plain(clean(l.Volts())), l.Verdict.String(),
		maybe(export.Finite(l.Spare)), maybe(export.Finite(l.Bound)), plain(clean(l.KWh())), maybe(ifKnown(l.Mass())), maybe(ifKnown(l.Price())),
	}
	for i := range wheels {
		if i >= len(l.wheels) {
			cells = append(cells, "")
			continue
		}
		load := l.wheels[i].Packed
		if with := l.wheels[i].With; with != nil {
			load = *with
		}
		cells = append(cells, strconv.FormatFloat(load, 'f', 1, 64))
	}
	by := ""
	if l.by != nil {
		by = l.by.Name()
	}
	return append(cells, by, l.Reason)
}

func maybe(v *float64) string {
	if v == nil {
		return ""
	}
	return plain(*v)
}

func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
