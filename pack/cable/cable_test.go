package cable

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// AWG 6 is 13.30 mm², AWG 2 33.63 (ASTM B258, second-hand).
func TestGauges(t *testing.T) {
	require.InDelta(t, 13.30, Gauge(6).Area, 0.005)
	require.InDelta(t, 33.63, Gauge(2).Area, 0.005)
	for text, want := range map[string]string{
		"AWG 2": "AWG 2", "1/0": "AWG 1/0", "awg 4/0": "AWG 4/0", "2 AWG": "AWG 2", "35": "35 mm²", "25 mm²": "25 mm²", "16 mm2": "16 mm²",
	} {
		s, err := Parse(text)
		require.NoError(t, err, text)
		require.Equal(t, want, s.String())
	}
	for _, text := range []string{"", "thick", "AWG 22", "2", "400", "5/0", "-35", "AWG -2"} {
		_, err := Parse(text)
		require.Error(t, err, text)
	}
}

// 33 CFR 183.425, Table 5, read: some of its cells, at each end of it and within.
func TestTable5(t *testing.T) {
	for _, c := range []struct {
		size       string
		insulation int
		amps       float64
	}{
		{"AWG 10", 60, 40},
		{"AWG 10", 200, 70},
		{"AWG 6", 75, 95},
		{"AWG 4", 105, 160},
		{"AWG 2", 90, 180},
		{"AWG 1", 125, 265},
		{"1/0", 105, 285},
		{"2/0", 80, 285},
		{"3/0", 105, 385},
		{"4/0", 60, 300},
		{"4/0", 200, 510},
		// Sizes in mm² carry what the next smaller gauge does: 35 mm² that of AWG 2 (33.6 mm²).
		{"35", 105, 210},
		{"25", 105, 160},
		{"16", 105, 120},
		{"50", 105, 245},
		{"70", 105, 330},
	} {
		s, err := Parse(c.size)
		require.NoError(t, err)
		got, err := s.Carries(Surroundings{Insulation: c.insulation})
		require.NoError(t, err)
		require.Equal(t, c.amps, got, "%s at %d °C", c.size, c.insulation)
	}
}

// The factors for heat and bundles (second-hand): 0.85; 0.70, 0.60, 0.50.
func TestSurroundings(t *testing.T) {
	for _, c := range []struct {
		in   Surroundings
		amps float64
	}{
		{Surroundings{Insulation: 105, Hot: true}, 0.85 * 210},
		{Surroundings{Insulation: 105, Bundle: 2}, 210},
		{Surroundings{Insulation: 105, Bundle: 3}, 0.7 * 210},
		{Surroundings{Insulation: 75, Bundle: 6}, 0.6 * 170},
		{Surroundings{Insulation: 105, Hot: true, Bundle: 7}, 0.85 * 0.5 * 210},
	} {
		got, err := Gauge(2).Carries(c.in)
		require.NoError(t, err)
		require.InDelta(t, c.amps, got, 1e-9)
	}
	_, err := Gauge(2).Carries(Surroundings{Insulation: 75, Hot: true})
	require.ErrorIs(t, err, ErrHot)
	_, err = Gauge(2).Carries(Surroundings{Insulation: 100})
	require.ErrorContains(t, err, "100 °C is not in the table")
}

// Resistance: IEC 60228 class 5 by mm² (second-hand); 10 m of 13.5 mm² with 0.017 at 103 A drop
// 1.297 V (second-hand), scaled to our resistivity; 15 ft one way at 100 A and 0.025 Ω per
// 100 ft drop 0.75 V (second-hand).
func TestResistanceAndDrop(t *testing.T) {
	for area, ohms := range map[float64]float64{16: 1.21, 25: 0.780, 35: 0.554, 50: 0.386, 70: 0.272} {
		require.InDelta(t, ohms, Metric(area).Resistance(1e6, 20), 1e-9)
	}
	require.InDelta(t, 1.297, 103*Metric(13.5).Resistance(10e3, 20)*0.017/Resistivity, 0.0005)
	ofTheBook := Size{Area: Resistivity * 30.48 / 0.025}
	require.InDelta(t, 0.75, 100*ofTheBook.Resistance(2*15*304.8, 20), 1e-9)
	require.InDelta(t, 1+0.00393*40, Metric(35).Resistance(1000, 60)/Metric(35).Resistance(1000, 20), 1e-12)
}

// Outside diameters of flexible cable (second-hand), and others in order.
func TestOutside(t *testing.T) {
	for area, d := range map[float64]float64{16: 9.7, 25: 11.2, 35: 12.4, 50: 14.3, 70: 16.3} {
		require.InDelta(t, d, Metric(area).Outside(), 1e-9)
	}
	last := 0.0
	for _, n := range []int{10, 8, 6, 4, 2, 1, 0, -1, -2, -3} {
		require.Greater(t, Gauge(n).Outside(), last)
		last = Gauge(n).Outside()
	}
}

// 33 CFR 183.455, read: at most 150 % of what the cable carries below 50 V; at 50 V and above
// its value, or the next size up if that is not more than 150 %.
func TestFuseRule(t *testing.T) {
	for _, c := range []struct{ carries, volts, most float64 }{
		{210, 48, 300},   // 315
		{210, 60, 225},   // no rating of 210: the next up, 107 %
		{200, 60, 200},   // there is one
		{160, 49.9, 225}, // 240
		{160, 50, 175},
		{30, 60, 40}, // 133 %
		{25, 60, 0},  // 40 would be 160 %
	} {
		require.Equal(t, c.most, MostFuse(c.carries, c.volts), "%v", c)
	}
	require.Equal(t, 200.0, Fuse(210, 73.5, 120, 250))
	require.Equal(t, 150.0, Fuse(210, 73.5, 120, 120))
	require.Equal(t, 225.0, Fuse(210, 73.5, 200, 400), "as much as the cable allows")
	require.Zero(t, Fuse(120, 73.5, 160, 200), "the cable is too thin")
}
