package loads

import (
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack/rack"
)

// Moduli by the table of EN 10056-1 (second-hand), without roundings: 0.280, 0.452, 0.829 cm³; and
// b t²/6 of a flat.
func TestModulus(t *testing.T) {
	for text, want := range map[string]float64{"angle 20x20x3": 280, "angle 25x25x3": 452, "angle 30x30x4": 829, "flat 25x3": 37.5} {
		s, err := rack.ParseSection(text)
		require.NoError(t, err)
		require.InEpsilon(t, want, modulus(s), 0.07, text)
	}
}

// What would do is the next that is strong enough, and no other.
func TestWouldDo(t *testing.T) {
	plate := rack.Section{Form: rack.Plate, Width: 60, Thick: 4}
	flat, angle := rack.Section{Form: rack.Flat, Width: 25, Thick: 3}, rack.Section{Form: rack.Angle, Width: 25, Thick: 3}
	r := &rack.Rack{
		Bars: []rack.Bar{{Name: "flat", Section: flat}, {Name: "angle", Section: angle}, {Name: "plate", Section: plate}},
		Fasteners: []rack.Fastener{
			{Name: "rod", Size: "M6", Class: "4.6", Rod: true}, {Name: "bolt", Size: "M6", Class: "8.8"},
		},
	}
	for _, c := range []struct {
		part  string
		times float64
		want  string
	}{
		{"flat", 1.1, "flat 30x4 would do"}, // 80 mm³ for 37.5
		{"flat", 2.2, "flat 30x5 would do"},
		{"flat", 99, "no flat that is sold would do alone: one more bar beside it"},
		{"angle", 1.2, "angle 25x25x4 would do"},
		{"angle", 1.4, "angle 30x30x3 would do"},
		{"plate", 1.5, "plate 60x5 would do"},  // as its thickness squared
		{"rod", 2, "M6 of class 8.8 would do"}, // 640 for 240 MPa
		{"rod", 3, "M10 of class 4.6 would do"},
		{"bolt", 1.5, "M8 of class 8.8 would do"},
		{"bolt", 9, "one more beside it"},
		{"weld of both", 2, "longer or more welds would do"},
	} {
		require.Equal(t, c.want, WouldDo(r, c.part, c.times), "%s × %g", c.part, c.times)
	}
}
