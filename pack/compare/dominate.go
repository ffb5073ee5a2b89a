package compare

import (
	"cmp"
	"math"
	"slices"
)

// Row is an entry with what came of it.
type Row struct {
	Entry
	Outcome
}

// Beaten tells of each row which other beats it in everything: −1 where none does. A row beats
// another where both go in, it is at least as good in how sure that is, spare, energy, mass and price,
// and better in one of these. What is known of one of two and not of the other does not compare.
//
// The rows that nothing beats are found with these in order, the best first: what beats a row stands
// before it, so that each has to be compared with those alone that are not beaten themselves (Kung,
// Luccio & Preparata, Journal of the ACM 22 (1975), call them maxima). Of those that beat a row the
// first in this order is named.
func Beaten(rows []Row) []int {
	by := make([]int, len(rows))
	var order []int
	for i := range rows {
		by[i] = -1
		if rows[i].Verdict.GoesIn() {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return slices.CompareFunc(rows[b].merits(), rows[a].merits(), cmp.Compare) })
	unbeaten := map[known][]int{}
	for _, i := range order {
		of := rows[i].known()
		at := slices.IndexFunc(unbeaten[of], func(k int) bool { return rows[k].beats(rows[i]) })
		if at < 0 {
			unbeaten[of] = append(unbeaten[of], i)
			continue
		}
		by[i] = unbeaten[of][at]
	}
	return by
}

// known tells what is known of a row that not all catalogues tell.
type known struct{ mass, price bool }

func (r Row) known() (k known) {
	_, k.mass = r.Mass()
	_, k.price = r.Price()
	return k
}

// merits are numbers that are greater the better a row is. What is not known is 0, as it is in all
// that it is compared with.
func (r Row) merits() []float64 {
	sure := 0.0
	if r.Verdict == Sure {
		sure = 1
	}
	list := []float64{sure, rounded(r.Spare, 2), rounded(r.KWh(), 6), 0, 0}
	if mass, ok := r.Mass(); ok {
		list[3] = -rounded(mass, 6)
	}
	if price, ok := r.Price(); ok {
		list[4] = -rounded(price, 6)
	}
	return list
}

// rounded is a number with so many digits after the point: what differs by less is the same to a
// builder.
func rounded(v float64, digits int) float64 {
	ten := math.Pow10(digits)
	return math.Round(v*ten) / ten
}

// beats tells whether a row is as good as another in everything, and better in something.
func (r Row) beats(o Row) bool {
	if r.known() != o.known() || !r.Verdict.GoesIn() || !o.Verdict.GoesIn() {
		return false
	}
	better := false
	theirs := o.merits()
	for i, m := range r.merits() {
		if m < theirs[i] {
			return false
		}
		better = better || m > theirs[i]
	}
	return better
}
