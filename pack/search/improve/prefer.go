package improve

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/balance"
	"rackwright/pack/search/model"
	"rackwright/pack/wire"
)

// Preference is something a builder likes in a layout, beside its spare. Preferences
// choose among places that keep the spare, and among layouts with the same.
//
// They never cost spare beyond rounding. The order in which they are given is their weight: what an
// earlier one reached, later ones keep.
type Preference int

const (
	Low       Preference = iota // the centre of mass low
	Centred                     // the centre of mass in the middle across
	FewStands                   // boxes of a kind standing alike
	Rows                        // faces in common planes, not scattered
	Balance                     // the wheels' loads as they were; only where it is asked for
	Wiring                      // short jumpers; only where it is asked for
)

// String gives the word used on the command line.
func (p Preference) String() string {
	return [...]string{"low", "centred", "stands", "rows", "balance", "wiring"}[p]
}

// Preferences returns all of them, in the order that Settings start with.
func Preferences() []Preference { return []Preference{Low, Centred, FewStands, Rows} }

// AllPreferences returns those as well that are only had by asking for them.
func AllPreferences() []Preference { return append(Preferences(), Balance, Wiring) }

// Tie is the difference in millimetres below which two layouts have the same spare, or
// the same of what a preference measures.
const Tie = 1e-6

// Measure is what a preference wants to be small. Units differ: mm for Low, Centred and Wiring,
// counts for FewStands and Rows, and what balance.Off measures for Balance.
func Measure(m *model.Model, p Preference, spots []model.Spot) float64 {
	switch p {
	case Low:
		return massCentre(m, spots).Z
	case Centred:
		return math.Abs(massCentre(m, spots).Y)
	case FewStands:
		return float64(standsIn(m, spots))
	case Balance:
		return balance.Off(m.Problem, balance.Of(m.Problem, m.Layout(spots)))
	case Wiring:
		return wire.Straight(m.Problem, m.Layout(spots))
	default:
		return float64(planesIn(m, spots))
	}
}

// massCentre is the middle of mass of an arrangement, in mm.
func massCentre(m *model.Model, spots []model.Spot) r3.Vector {
	var sum r3.Vector
	whole := 0.0
	for i, s := range spots {
		w := massOf(m, i)
		sum, whole = sum.Add(s.At.Mul(w)), whole+w
	}
	return sum.Mul(1 / whole)
}

// massOf is the mass of a box; one without any counts a little, so that it lies low too.
func massOf(m *model.Model, i int) float64 { return max(m.Kinds[m.Boxes[i].Kind].Mass, 0.01) }

// standsIn counts the stands in which the boxes of each kind are. Different turns in one stand
// count once.
func standsIn(m *model.Model, spots []model.Spot) int {
	type standing struct {
		kind  int
		stand pack.Stand
	}
	seen := map[standing]bool{}
	for i, s := range spots {
		p := m.PoseOf(i, s)
		seen[standing{p.Kind, p.Stand}] = true
	}
	return len(seen)
}

// planesIn counts the planes across each axis that faces of boxes lie in. Low and high faces are
// counted apart, so that boxes in a row count for two and not for one each.
func planesIn(m *model.Model, spots []model.Spot) int {
	seen := map[[3]int]bool{}
	for i, s := range spots {
		for axis, u := range model.AxesOfVehicle {
			at, half := geom.Component(s.At, axis), m.PoseOf(i, s).Reach(0, u)
			for side, face := range [2]float64{at - half, at + half} {
				seen[[3]int{axis, side, int(math.Round(face / Tie))}] = true
			}
		}
	}
	return len(seen)
}

// alignments lists wishes that bring two faces that look the same way into one plane,
// the nearest first: at most mostAligned, of those within alignReach. Pairs in one plane already
// are among them: they become wishes that are held.
func alignments(m *model.Model, spots []model.Spot) []wish {
	type pair struct {
		wish wish
		off  float64
	}
	var pairs []pair
	for axis, u := range model.AxesOfVehicle {
		for i, s := range spots {
			for j, t := range spots[:i] {
				// Half of the case along the axis.
				hi, hj := m.PoseOf(i, s).Reach(0, u), m.PoseOf(j, t).Reach(0, u)
				shifts := []float64{hi - hj, hj - hi} // of the centres, with low faces, high faces level
				for _, shift := range slices.Compact(shifts) {
					w := make([]float64, 3*len(spots))
					w[3*i+axis], w[3*j+axis] = 1, -1
					off := math.Abs(geom.Component(s.At, axis) - geom.Component(t.At, axis) - shift)
					if off <= alignReach {
						pairs = append(pairs, pair{wish{weights: w, even: true, middle: shift}, off})
					}
				}
			}
		}
	}
	slices.SortStableFunc(pairs, func(a, b pair) int { return cmp.Compare(a.off, b.off) })
	var wishes []wish
	for _, p := range pairs[:min(len(pairs), mostAlignments)] {
		wishes = append(wishes, p.wish)
	}
	return wishes
}
