package compared

import (
	"cmp"
	"slices"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/balance"
	"rackwright/pack/compare"
)

// Comparison is what is told.
type Comparison struct {
	Frame     *frame.Frame
	Catalogue *pack.Catalogue
	Fixed     compare.Fixed
	Wish      compare.Wish
	Header    Header
	Rows      []compare.Row // that are done, in the order of the catalogue
}

// line is a row as it is told.
type line struct {
	compare.Row
	by     *compare.Row // that beats it; nil where none does
	wheels []balance.Wheel
}

// lines are the rows in the order in which they are told: what goes in first, of that what nothing
// beats, the most energy first; then what is not known, and what does not go in. Which beat which is
// known of all rows alone.
func (c Comparison) lines() ([]line, error) {
	beaten := compare.Beaten(c.Rows)
	whole := len(c.Rows) == c.Header.Rows
	list := make([]line, len(c.Rows))
	for i, r := range c.Rows {
		list[i].Row = r
		if whole && beaten[i] >= 0 {
			list[i].by = &c.Rows[beaten[i]]
		}
		if !r.Verdict.GoesIn() || c.Frame.Vehicle == nil {
			continue
		}
		p, err := c.Fixed.Problem(c.Frame, r.Entry)
		if err != nil {
			return nil, err
		}
		list[i].wheels = balance.Of(p, r.Layout).Wheels
	}
	slices.SortStableFunc(list, func(a, b line) int {
		return cmp.Or(
			cmp.Compare(a.rank(), b.rank()), cmp.Compare(b.KWh(), a.KWh()),
			cmp.Compare(b.Spare, a.Spare), cmp.Compare(a.Entry.Row, b.Entry.Row),
		)
	})
	return list, nil
}

// rank is the group of rows that a line is told with.
func (l line) rank() int {
	switch {
	case l.Verdict.GoesIn() && l.by == nil:
		return 0
	case l.Verdict.GoesIn():
		return 1
	case l.Verdict == compare.NotKnown:
		return 2
	}
	return 3
}

// GoIn is how many rows go in, and Closed how many are known not to.
func (c Comparison) GoIn() int {
	return c.count(compare.Verdict.GoesIn)
}

// Closed is how many rows do not go in.
func (c Comparison) Closed() int {
	return c.count(func(v compare.Verdict) bool { return v == compare.No || v == compare.ProvenNo })
}

func (c Comparison) count(is func(compare.Verdict) bool) int {
	n := 0
	for _, r := range c.Rows {
		if is(r.Verdict) {
			n++
		}
	}
	return n
}
