package survey

import (
	"math"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"
)

// net is a network of marks A, B, C … with distances such as AB.
func net(marks string, taped map[string]float64) *Network {
	n := &Network{Datum: Datum{From: 0, To: 1}}
	at := map[byte]int{}
	for i := range len(marks) {
		at[marks[i]] = i
		n.Marks = append(n.Marks, Mark{Name: marks[i : i+1]})
	}
	for _, p := range []string{"AB", "AC", "BC", "AD", "BD", "CD", "AE", "BE", "CE", "DE"} {
		if length, ok := taped[p]; ok {
			n.Measurements = append(n.Measurements, Measurement{From: at[p[0]], To: at[p[1]], Value: length, SD: 1})
		}
	}
	return n
}

func faultOf(t *testing.T, n *Network) *Fault {
	t.Helper()
	_, err := Adjust(n)
	var f *Fault
	require.ErrorAs(t, err, &f)
	return f
}

func TestFaults(t *testing.T) {
	triangle := map[string]float64{"AB": 300, "AC": 400, "BC": 500}
	f := faultOf(t, net("ABCD", triangle))
	require.Equal(t, Unfixed, f.Rule)
	require.Contains(t, f.Text, "nothing fixes the mark D: no measurement touches it. Tape its distance to A, B and C")

	f = faultOf(t, net("ABCD", map[string]float64{"AB": 300, "AC": 400, "BC": 500, "AD": 200}))
	require.Equal(t, Unfixed, f.Rule)
	require.Contains(t, f.Text, "the mark D: only one measurement touches it. Tape its distance to B and C")

	f = faultOf(t, net("ABC", map[string]float64{"AB": 300, "AC": 100, "BC": 150}))
	require.Equal(t, Unclosed, f.Rule)
	require.Contains(t, f.Text, "cannot close")
	require.Contains(t, f.Text, "50 mm")
	require.ElementsMatch(t, []int{0, 1, 2}, f.Marks)

	// A hinged square: four sides and no diagonal.
	f = faultOf(t, net("ABCD", map[string]float64{"AB": 300, "BC": 300, "CD": 300, "AD": 300}))
	require.Equal(t, Unfixed, f.Rule)
	require.Contains(t, f.Text, "Tape")

	// D lies on either side of A–C, both likely.
	f = faultOf(t, net("ABCD", map[string]float64{"AB": 300, "AC": 400, "BC": 350, "AD": 250, "CD": 300}))
	require.Equal(t, Twofold, f.Rule)
	require.Contains(t, f.Text, "two places for")
	require.Contains(t, f.Text, "tape B–D too, or say about where")

	// C in line with A and B can move up and down.
	f = faultOf(t, net("ABC", map[string]float64{"AB": 300, "AC": 100, "BC": 200}))
	require.Equal(t, Unfixed, f.Rule)
}

// What lies above the line of the datum is assumed, and told; a word of where a mark is, a
// height or a slope decide otherwise.
func TestWhichSideOfTheLine(t *testing.T) {
	triangle := map[string]float64{"AB": 300, "AC": 400, "BC": 500}
	a, err := Adjust(net("ABC", triangle))
	require.NoError(t, err)
	require.InDelta(t, 400, a.Places[2].Y, 1e-9)
	require.Equal(t, 2, a.Assumed)

	n := net("ABC", triangle)
	n.Marks[2].Near = &r2.Point{X: 50, Y: -300}
	a, err = Adjust(n)
	require.NoError(t, err)
	require.InDelta(t, -400, a.Places[2].Y, 1e-9)
	require.Equal(t, -1, a.Assumed)

	n = net("ABC", triangle).With(Measurement{Sort: Slope, From: 1, To: 2, Value: -math.Atan2(400, 300), SD: 0.01})
	a, err = Adjust(n)
	require.NoError(t, err)
	require.InDelta(t, -400, a.Places[2].Y, 1e-6)
	require.Equal(t, -1, a.Assumed)

	// A slope leans either way; without more it rises to the front, and that is told.
	n = net("ABC", map[string]float64{"AB": 300, "AC": 561}).With(Measurement{Sort: Slope, From: 1, To: 2, Value: 64.5 * math.Pi / 180, SD: 0.003})
	a, err = Adjust(n)
	require.NoError(t, err)
	require.Greater(t, a.Places[2].X, 300.0)
	require.True(t, a.Forward)
	n.Marks[2].Near = &r2.Point{X: 100, Y: 500}
	a, err = Adjust(n)
	require.NoError(t, err)
	require.Less(t, a.Places[2].X, 300.0)
	require.False(t, a.Forward)

	n = net("ABC", triangle).With(Measurement{Sort: Height, From: 0, Value: 100, SD: 1}, Measurement{Sort: Height, From: 2, Value: 501, SD: 1})
	a, err = Adjust(n)
	require.NoError(t, err)
	require.Greater(t, a.Places[2].Y, 399.0)
	require.InDelta(t, -100, a.Level, 1)
}
