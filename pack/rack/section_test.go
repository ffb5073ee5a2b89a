package rack

import (
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
)

// Equal angle by the table of EN 10056-1 (second-hand): kg/m, cm², cm⁴, cm³. Ours are without the
// rounding of the root and of the edges, which is within 4 %, of second moments within 7 %.
func TestSectionsByTheTable(t *testing.T) {
	for text, want := range map[string][3]float64{
		"angle 20x20x3": {0.885, 1.13, 0.396}, "angle 25x25x3": {1.12, 1.43, 0.797},
		"angle 30x30x3": {1.36, 1.74, 1.39}, "angle 30x30x4": {1.78, 2.27, 1.74},
	} {
		s, err := ParseSection(text)
		require.NoError(t, err)
		require.Equal(t, text, s.String())
		require.InEpsilon(t, want[0], s.MassPerLength()*1000, 0.04, text)
		require.InEpsilon(t, want[1], s.Area()/100, 0.04, text)
		require.InEpsilon(t, want[2], s.LegMoment()/1e4, 0.07, text)
		p := s.Properties()
		// The two principal moments add up to those about the legs, for both are of one area.
		require.InEpsilon(t, 2*s.LegMoment(), p.IY+p.IZ, 1e-9)
		require.Greater(t, p.IY, p.IZ, "about the axis of symmetry it is stiffer")
	}
}

// A flat 30 × 4: b t³/12, t b³/12 and 30 × 4 × 7850 kg/m³ (statics).
func TestFlat(t *testing.T) {
	s, err := ParseSection("flat 30x4")
	require.NoError(t, err)
	p := s.Properties()
	require.InDelta(t, 160, p.IY, 1e-9)
	require.InDelta(t, 9000, p.IZ, 1e-9)
	require.InDelta(t, 0.942, s.MassPerLength()*1000, 1e-9)
	for _, bad := range []string{"angle 25x30x3", "angle 25x3", "flat 30", "flat 30x4x3", "angle 8x8x2", "angle 25x25x9", "flat 120x6", "plate 310x4", "plate 60", "plate 60x60x4", "plate 5x2", "tube 30x2", ""} {
		_, err := ParseSection(bad)
		require.Error(t, err, bad)
	}
}

// A plate bends as a flat does: b t³/12 and t b³/12; it may be wider than a bar.
func TestPlateIsAWideFlat(t *testing.T) {
	s, err := ParseSection("plate 120x4")
	require.NoError(t, err)
	require.Equal(t, "plate 120x4", s.String())
	require.InDelta(t, 120.0*4*4*4/12, s.Properties().IY, 1e-9)
	require.InDelta(t, 4.0*120*120*120/12, s.Properties().IZ, 1e-6)
	require.Len(t, Bar{Section: s, To: r3.Vector{X: 50}, A: r3.Vector{Y: 1}, B: r3.Vector{Z: 1}}.Legs(), 1)
}

// Bearing around an M20 bolt in 8 mm, at the least distances to edges (1.2 d0 = 26.4 mm): a published
// sheet (Design Resistance for Individual Fasteners, 2017) has k1 1.66, αb 0.4 and 33.997 kN, with 400
// MPa where the table has the metal's own tensile strength.
func TestBearingByAPublishedSheet(t *testing.T) {
	m20 := Thread{D: 20, Hole: 22}
	require.InEpsilon(t, 33997, m20.Bearing(8, 26.4, 26.4)*400/Tensile, 1e-4)
	require.InEpsilon(t, 2.5*Tensile*20*8/1.25, m20.Bearing(8, 200, 200), 1e-12, "no more than k1 2.5 and αb 1")
	require.Zero(t, m20.Bearing(8, 26.4, 12), "an edge that the hole nearly breaks")
}

// Masses by hand: a tube of 24 mm around an M12 bolt's hole of 13.5 mm, 37 mm long, is π/4 (576 − 182.25)
// × 37 × 7.85 g/cm³ = 89.8 g. The stud of a mount is the vehicle's, its nut is the rack's.
func TestMassOfTubesAndStuds(t *testing.T) {
	bolt := Fastener{Name: "bolt", Size: "M12", Class: "8.8", To: r3.Vector{Z: 60}, Joins: []string{"mount"}}
	tubed := bolt
	tubed.Sleeve = &Sleeve{From: 5, To: 42, Outer: 24}
	require.InDelta(t, 0.0898, tubed.Mass()-bolt.Mass(), 1e-4)
	stud := bolt
	stud.Rod, stud.Nuts = true, []Nut{{At: 3, Beyond: true, Locking: true}}
	r := &Rack{Fasteners: []Fastener{stud}}
	require.InDelta(t, stud.Mass()-84.3*60*7.85e-6, r.Mass(), 1e-4)
	require.Positive(t, r.Mass())
}

// A stock has the sheet that its file names: its thickness and its size.
func TestStockOfPlates(t *testing.T) {
	const bars = "format: 1\nsections: [angle 25x25x3, flat 25x3]\n"
	s, err := ReadStock(strings.NewReader(bars+"plates: [3, 5]\nsheet: [400, 300]\n"), "stock")
	require.NoError(t, err)
	require.Equal(t, []float64{3, 5}, s.Plates)
	require.Equal(t, r2.Point{X: 400, Y: 300}, s.Bought.Sheet)
	s, err = ReadStock(strings.NewReader(bars), "stock")
	require.NoError(t, err)
	require.Empty(t, s.Plates)
	for bad, says := range map[string]string{
		"plates: [40]\n": "from 1.5 to 12 mm thick", "sheet: [400]\n": "a length and a width", "sheet: [400, 4]\n": "from 50 to 3000 mm",
	} {
		_, err := ReadStock(strings.NewReader(bars+bad), "stock")
		require.ErrorContains(t, err, says)
	}
}

// Stress areas, clearance holes and resistances: ISO 898-1 and ISO 273 (second-hand), EN 1993-1-8
// Table 3.4 (read in a copy): 0.6 and 0.9 of 800 MPa over 1.25 for class 8.8.
func TestThreadsByTheTables(t *testing.T) {
	for size, want := range map[string][2]float64{"M6": {20.1, 6.6}, "M8": {36.6, 9}, "M10": {58.0, 11}, "M12": {84.3, 13.5}} {
		th, err := ThreadOf(size)
		require.NoError(t, err)
		require.InDelta(t, want[0], th.StressArea(), 0.06, size)
		require.Equal(t, want[1], th.Hole, size)
		shear, tension, err := th.Resistance("8.8")
		require.NoError(t, err)
		require.InEpsilon(t, 0.6*800*want[0]/1.25, shear, 0.004)
		require.InEpsilon(t, 0.9*800*want[0]/1.25, tension, 0.004)
		shear, _, err = th.Resistance("4.8")
		require.NoError(t, err)
		require.InEpsilon(t, 0.5*400*want[0]/1.25, shear, 0.004)
	}
	_, err := ThreadOf("M7")
	require.ErrorContains(t, err, "M5, M6, M8, M10 or M12")
}
