package survey

import "github.com/golang/geo/r2"

// AtMost is how many standard deviations a measurement is taken to be off by at most: the
// normal law leaves 99 of 100 within 2.576, here rounded up.
const AtMost = 2.6

// Mark is a dot that is measured from and to.
type Mark struct {
	Name string
	Y    float64   // how far it is from the middle plane
	Near *r2.Point // about where it is, to tell one side of a line from the other
	At   *r2.Point // where it is, known exactly
}

// Sort is what a measurement measures.
type Sort int

const (
	Distance Sort = iota // from mark to mark, straight
	Height               // of a mark over a level line, the same for all heights of a network
	Slope                // of the line from mark to mark, as seen from the side
)

// Measurement is one number taken at the frame.
type Measurement struct {
	Sort     Sort
	From, To int // marks; a height has only From
	// Value is a length, or the angle of a slope. An angle of up to a quarter turn either way
	// is how much the line rises, forward or rearward; a larger one is its direction, counted
	// from forward upwards.
	Value float64
	SD    float64 // standard deviation in the unit of Value, more than 0
}

// Datum says where zero is and which way is up. Marks with At hold a network by
// themselves; then the datum is not looked at.
type Datum struct {
	Origin   int     // the mark at 0, 0
	From, To int     // the marks of the line whose slope is known
	Slope    float64 // direction of that line, counted from forward upwards
	// Free lets all marks move about their Near, without moving or turning as a whole: the
	// free network of textbooks. Origin, From, To and Slope are not looked at then.
	Free bool
}

// Network is marks and what was measured between them.
type Network struct {
	Marks        []Mark
	Measurements []Measurement
	Datum        Datum
}

// Pair is two marks.
type Pair struct{ From, To int }

// known lists the marks whose places are known.
func (n *Network) known() []int {
	var list []int
	for i, m := range n.Marks {
		if m.At != nil {
			list = append(list, i)
		}
	}
	return list
}

// has tells whether there is a measurement of a sort.
func (n *Network) has(s Sort) bool {
	for _, m := range n.Measurements {
		if m.Sort == s {
			return true
		}
	}
	return false
}

// Taped tells whether the distance of two marks is measured.
func (n *Network) Taped(p Pair) bool {
	for _, m := range n.Measurements {
		if m.Sort == Distance && (m.From == p.From && m.To == p.To || m.From == p.To && m.To == p.From) {
			return true
		}
	}
	return false
}

// flat is the length of a taped distance as seen from the side: less where its ends lie at
// different offsets. It is false where the offsets alone are longer.
func (n *Network) flat(m Measurement) (float64, bool) {
	across := n.Marks[m.To].Y - n.Marks[m.From].Y
	square := m.Value*m.Value - across*across
	return sqrt(square), square > 0
}

// without is the network without one measurement.
func (n *Network) without(i int) *Network {
	out := *n
	out.Measurements = append(append([]Measurement{}, n.Measurements[:i]...), n.Measurements[i+1:]...)
	return &out
}

// With is the network with measurements added.
func (n *Network) With(more ...Measurement) *Network {
	out := *n
	out.Measurements = append(append([]Measurement{}, n.Measurements...), more...)
	return &out
}

// MeasurementName names a measurement: A–B, height of C, slope B–C.
func (n *Network) MeasurementName(i int) string {
	switch m := n.Measurements[i]; m.Sort {
	case Height:
		return "height of " + n.name(m.From)
	case Slope:
		return "slope " + n.PairName(Pair{m.From, m.To})
	default:
		return n.PairName(Pair{m.From, m.To})
	}
}
