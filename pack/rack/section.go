package rack

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"rackwright/pack/rack/beam"
)

// Form is the form of a bar's section.
type Form string

// Forms of section.
const (
	Angle Form = "angle" // equal legs
	Flat  Form = "flat"
	Plate Form = "plate" // as a flat, but cut from sheet to a card, of any width
)

// Widths of sections in mm.
const (
	leastWidth = 10
	mostWidth  = 100 // of bars that are sold
	mostPlate  = 300
)

// Section is a bar's section: legs or width, and thickness, in mm.
type Section struct {
	Form  Form
	Width float64 // of each leg, or of the flat
	Thick float64
}

// Density of steel in kg/m³ (from memory).
const Density = 7850

// Yield of S235 up to 16 mm thick in MPa (EN 10025-2, from second-hand tables).
const Yield = 235

var sectionForm = regexp.MustCompile(`^(angle|flat|plate) (\d+(?:\.\d+)?)(?:x(\d+(?:\.\d+)?))?x(\d+(?:\.\d+)?)$`)

// ParseSection reads "angle 25x25x3", "flat 30x4" or "plate 60x4".
func ParseSection(text string) (Section, error) {
	m := sectionForm.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil || (m[1] == string(Angle)) == (m[3] == "") {
		return Section{}, fmt.Errorf("%q is no section: write angle 25x25x3, flat 30x4 or plate 60x4", text)
	}
	wide, _ := strconv.ParseFloat(m[2], 64)
	other, _ := strconv.ParseFloat(m[3], 64)
	thick, _ := strconv.ParseFloat(m[4], 64)
	s := Section{Form(m[1]), wide, thick}
	switch {
	case s.Form == Angle && other != wide:
		return Section{}, fmt.Errorf("%q has unequal legs: racks are made of equal angle", text)
	case wide < leastWidth || wide > s.mostWide() || thick < leastThick || thick > mostThick || thick*3 > wide:
		return Section{}, fmt.Errorf("%q is not from %d to %g mm wide and from %g to %d mm thick, a third of the width at most", text, leastWidth, s.mostWide(), leastThick, mostThick)
	}
	return s, nil
}

// Thicknesses of metal in mm.
const (
	leastThick = 1.5
	mostThick  = 12
)

func (s Section) mostWide() float64 {
	if s.Form == Plate {
		return mostPlate
	}
	return mostWidth
}

// String is the section as ParseSection reads it.
func (s Section) String() string {
	if s.Form == Angle {
		return fmt.Sprintf("angle %gx%gx%g", s.Width, s.Width, s.Thick)
	}
	return fmt.Sprintf("%s %gx%g", s.Form, s.Width, s.Thick)
}

// Area in mm², without the roundings of rolled angle.
func (s Section) Area() float64 {
	if s.Form == Angle {
		return s.Thick * (2*s.Width - s.Thick)
	}
	return s.Width * s.Thick
}

// MassPerLength in kg/mm.
func (s Section) MassPerLength() float64 { return s.Area() * Density * 1e-9 }

// Centroid is how far from the heel, along each leg, the middle of an angle's area is; of a
// flat or plate along its width and its thickness.
func (s Section) Centroid() (a, b float64) {
	if s.Form != Angle {
		return s.Width / 2, s.Thick / 2
	}
	w, t := s.Width, s.Thick
	first := t*w*w/2 + (w-t)*t*t/2
	c := first / s.Area()
	return c, c
}

// Properties are those of bending: for an angle about the axis of symmetry (y, between the
// legs) and across it (z), of two rectangles without roundings; J is Σ b t³/3 of thin walls.
func (s Section) Properties() beam.Section {
	w, t := s.Width, s.Thick
	if s.Form != Angle {
		return beam.Section{Area: s.Area(), IY: w * t * t * t / 12, IZ: t * w * w * w / 12, J: w * t * t * t / 3}
	}
	leg, product := s.legMoments()
	// At 45° to the legs: I ± product of inertia.
	return beam.Section{Area: s.Area(), IY: leg - product, IZ: leg + product, J: (2*w - t) * t * t * t / 3}
}

// legMoments are an angle's second moment about an axis along a leg, and the product.
func (s Section) legMoments() (moment, product float64) {
	w, t := s.Width, s.Thick
	c, _ := s.Centroid()
	rectangles := [2][4]float64{{w / 2, t / 2, w, t}, {t / 2, t + (w-t)/2, t, w - t}} // middle a, b; size a, b
	for _, r := range rectangles {
		area, da, db := r[2]*r[3], r[0]-c, r[1]-c
		moment += area * (r[3]*r[3]/12 + db*db)
		product += area * da * db
	}
	return moment, product
}

// LegMoment is an angle's second moment about an axis along a leg, as tables give it.
func (s Section) LegMoment() float64 {
	if s.Form != Angle {
		return s.Width * math.Pow(s.Thick, 3) / 12
	}
	m, _ := s.legMoments()
	return m
}
