package survey

import (
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"
)

// published is a network of a textbook with its answer, as collected by F. Krumm, Geodetic
// Network Adjustment Examples, rev. 3.5, Stuttgart 2020. Lengths are in the book's unit.
type published struct {
	name    string
	known   map[string]r2.Point
	near    map[string]r2.Point
	taped   []tapedPair
	sd      float64
	free    bool
	places  map[string]r2.Point
	digits  float64 // half a unit of the last digit given
	left    []float64
	leftOff float64
	sigma0  float64
}

type tapedPair struct {
	from, to string
	length   float64
}

var networks = []published{
	{
		name:  "Benning 8-2",
		known: map[string]r2.Point{"1": {X: 0, Y: 1000}, "2": {X: 1000, Y: 1000}},
		near:  map[string]r2.Point{"3": {X: 0, Y: 0}, "4": {X: 1000, Y: 0}},
		taped: []tapedPair{{"1", "3", 1000.02}, {"1", "4", 1414.20}, {"2", "3", 1414.24}, {"2", "4", 999.98}, {"3", "4", 1000.00}},
		sd:    0.010, digits: 0.00005, sigma0: 0.688,
		places: map[string]r2.Point{"3": {X: -0.0096, Y: -0.0226}, "4": {X: 999.9930, Y: 0.0174}},
		left:   []float64{0.00260, -0.00368, -0.00368, 0.00260, 0.00260}, leftOff: 0.000005,
	},
	{
		name:  "Benning 8-8",
		known: map[string]r2.Point{"1": {X: 3000, Y: 2000}, "2": {X: 1000, Y: 2000}, "3": {X: 3000, Y: 2100}, "4": {X: 1000, Y: 2100}, "5": {X: 2000, Y: 1000}},
		near:  map[string]r2.Point{"6": {X: 2000, Y: 2000}},
		taped: []tapedPair{{"6", "1", 1000}, {"6", "2", 1000}, {"6", "3", 1005}, {"6", "4", 1005}, {"6", "5", 1000}},
		sd:    0.020, digits: 0.00005, sigma0: 0.503,
		places: map[string]r2.Point{"6": {X: 2000.0000, Y: 1999.9976}},
	},
	{
		name:  "Strang & Borre 12.4",
		near:  map[string]r2.Point{"P": {X: 170.71, Y: 170.71}, "1": {X: 170.71, Y: 270.71}, "2": {X: 100, Y: 100}, "3": {X: 241.42, Y: 100}},
		taped: []tapedPair{{"1", "P", 100.01}, {"2", "P", 100.02}, {"3", "P", 100.03}, {"1", "2", 184.785}, {"2", "3", 141.44}, {"1", "3", 184.805}},
		sd:    0.010, free: true, digits: 0.00005, sigma0: 1.176,
		places: map[string]r2.Point{"P": {X: 170.7123, Y: 170.7185}, "1": {X: 170.7032, Y: 270.7213}, "2": {X: 99.9912, Y: 99.9971}, "3": {X: 241.4333, Y: 99.9830}},
	},
	{
		name:  "Ghilani 14.5",
		known: map[string]r2.Point{"Badger": {X: 2410000, Y: 390000}, "Bucky": {X: 2411820, Y: 386881.222}},
		near:  map[string]r2.Point{"Wisconsin": {X: 2415776, Y: 391043}, "Campus": {X: 2416898, Y: 387602}},
		taped: []tapedPair{{"Badger", "Wisconsin", 5870.302}, {"Badger", "Campus", 7297.588}, {"Wisconsin", "Campus", 3616.434}, {"Wisconsin", "Bucky", 5742.878}, {"Campus", "Bucky", 5123.760}},
		sd:    0.1, digits: 0.00005,
		places: map[string]r2.Point{"Wisconsin": {X: 2415776.9044, Y: 391043.2945}, "Campus": {X: 2416892.6955, Y: 387603.2551}},
		left:   []float64{0.0547, -0.0790, 0.0368, -0.0616, 0.0639}, leftOff: 0.00005,
	},
	{
		name:  "Ghilani 14.2",
		known: map[string]r2.Point{"A": {X: 865.40, Y: 4527.15}, "B": {X: 2432.55, Y: 2047.25}, "C": {X: 2865.22, Y: 27.15}},
		near:  map[string]r2.Point{"U": {X: 6861, Y: 3727}},
		taped: []tapedPair{{"A", "U", 6049.00}, {"B", "U", 4736.83}, {"C", "U", 5446.49}},
		sd:    0.1, digits: 0.0005,
		places: map[string]r2.Point{"U": {X: 6861.317, Y: 3727.819}},
	},
}

// network is the published one, every length times a scale, and the number of each mark.
func (p published) network(scale float64) (*Network, map[string]int) {
	n, at := &Network{Datum: Datum{Free: p.free}}, map[string]int{}
	add := func(name string, m Mark) {
		m.Name = name
		at[name] = len(n.Marks)
		n.Marks = append(n.Marks, m)
	}
	for _, t := range p.taped {
		for _, name := range []string{t.from, t.to} {
			if _, done := at[name]; done {
				continue
			}
			if known, ok := p.known[name]; ok {
				known = known.Mul(scale)
				add(name, Mark{At: &known})
				continue
			}
			near := p.near[name].Mul(scale)
			add(name, Mark{Near: &near})
		}
		n.Measurements = append(n.Measurements, Measurement{From: at[t.from], To: at[t.to], Value: t.length * scale, SD: p.sd * scale})
	}
	return n, at
}

// The networks' answers to the last digit given, at full size and at a tenth.
func TestPublishedNetworks(t *testing.T) {
	for _, p := range networks {
		for _, scale := range []float64{1, 0.1} {
			n, at := p.network(scale)
			a, err := Adjust(n)
			require.NoError(t, err, p.name)
			for name, want := range p.places {
				got := a.Places[at[name]].Mul(1 / scale)
				require.InDelta(t, want.X, got.X, p.digits*1.01, "%s, %s x", p.name, name)
				require.InDelta(t, want.Y, got.Y, p.digits*1.01, "%s, %s z", p.name, name)
			}
			for i, want := range p.left {
				require.InDelta(t, want, a.Residuals[i]/scale, p.leftOff*1.01, "%s, %d", p.name, i)
			}
			if p.sigma0 > 0 {
				require.InDelta(t, p.sigma0, a.Sigma0, 0.00051, p.name)
			}
			require.InDelta(t, float64(a.Spare), sum(a.Checked), 1e-9, "redundancy numbers add up to what is to spare")
		}
	}
}

// Known marks and free networks need no word about where the others are, unless two places
// suit the distances: Benning's 8-2 mirrored on its known line suits them as well.
func TestPublishedNetworksWithoutHints(t *testing.T) {
	for _, p := range networks {
		if p.free {
			continue
		}
		n, at := p.network(1)
		for i := range n.Marks {
			n.Marks[i].Near = nil
		}
		a, err := Adjust(n)
		if len(p.known) == 2 {
			var f *Fault
			require.ErrorAs(t, err, &f, p.name)
			require.Equal(t, Twofold, f.Rule)
			continue
		}
		require.NoError(t, err, p.name)
		for name, want := range p.places {
			require.InDelta(t, 0, a.Places[at[name]].Sub(want).Norm(), p.digits*1.5, p.name)
		}
	}
}

func sum(list []float64) float64 {
	total := 0.0
	for _, v := range list {
		total += v
	}
	return total
}
