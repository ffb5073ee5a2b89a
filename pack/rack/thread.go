package rack

import (
	"fmt"
	"math"
)

// Thread is a metric bolt's sizes in mm: pitch; across flats and heights of head, nut and
// locking nut; washer; clearance hole. Sizes of ISO 4014, 4032, 7040 and 7089 are from memory,
// holes are the medium ones of ISO 273 (second-hand).
type Thread struct {
	Size               string
	D, Pitch           float64
	Flats              float64
	Head, Nut, Locking float64
	Washer, WasherThk  float64
	Hole               float64
}

var threads = []Thread{
	{"M5", 5, 0.8, 8, 3.5, 4.7, 6.8, 10, 1, 5.5},
	{"M6", 6, 1, 10, 4, 5.2, 8, 12, 1.6, 6.6},
	{"M8", 8, 1.25, 13, 5.3, 6.8, 9.5, 16, 1.6, 9},
	{"M10", 10, 1.5, 16, 6.4, 8.4, 11.9, 20, 2, 11},
	{"M12", 12, 1.75, 18, 7.5, 10.8, 14.9, 24, 2.5, 13.5},
}

// ThreadOf returns the sizes of M5, M6, M8, M10 or M12.
func ThreadOf(size string) (Thread, error) {
	for _, t := range threads {
		if t.Size == size {
			return t, nil
		}
	}
	return Thread{}, fmt.Errorf("%q is no bolt that racks are made with: M5, M6, M8, M10 or M12", size)
}

// StressArea is π/4 (d − 0.9382 p)² in mm² (ISO 898-1).
func (t Thread) StressArea() float64 {
	d := t.D - 0.9382*t.Pitch
	return math.Pi / 4 * d * d
}

// Corners is the greatest width of a head or nut.
func (t Thread) Corners() float64 { return t.Flats * 2 / math.Sqrt(3) }

// Edge is the least distance from a hole's middle to an edge: 1.2 d0 (EN 1993-1-8 Table 3.3).
func (t Thread) Edge() float64 { return 1.2 * t.Hole }

// Spanner is the radius that a socket needs around the axis: half the corners and 1.5 mm for a thin socket
// (practice).
func (t Thread) Spanner() float64 { return t.Corners()/2 + 1.5 }

// gammaM2 is the partial factor of EN 1993-1-8 Table 2.1.
const gammaM2 = 1.25

// Strength of a class in MPa: tensile, and its factor for shear through the thread (EN
// 1993-1-8 Table 3.4).
func strength(class string) (tensile, shear float64, err error) {
	switch class {
	case "4.6":
		return 400, 0.6, nil
	case "4.8":
		return 400, 0.5, nil
	case "8.8":
		return 800, 0.6, nil
	case "10.9":
		return 1000, 0.5, nil
	}
	return 0, 0, fmt.Errorf("%q is no class of bolts: 4.6, 4.8, 8.8 or 10.9", class)
}

// Tensile strength of S235 in MPa (EN 10025-2, from second-hand tables).
const Tensile = 360

// mostK1 is the most that k1 of EN 1993-1-8 Table 3.4 is.
const mostK1 = 2.5

// Bearing is what metal of S235 carries in N around the bolt's hole: Fb,Rd = k1 αb fu d t / γM2 with αb
// = e1/(3 d0) ≤ 1 and k1 = 2.8 e2/d0 − 1.7 ≤ 2.5 (EN 1993-1-8 Table 3.4, end and edge bolts). It takes
// how thick the metal is, how far the hole's middle is from the edge that the force points to, and
// from the one beside it, in mm.
func (t Thread) Bearing(thick, ahead, beside float64) float64 {
	alpha := math.Min(ahead/(3*t.Hole), 1)
	k1 := math.Max(0, math.Min(2.8*beside/t.Hole-1.7, mostK1))
	return k1 * alpha * Tensile * t.D * thick / gammaM2
}

// Resistance is what a bolt of a class carries in N, in shear for each plane through the
// thread and in tension (EN 1993-1-8 Table 3.4 with γM2 1.25).
func (t Thread) Resistance(class string) (shear, tension float64, err error) {
	tensile, factor, err := strength(class)
	return factor * tensile * t.StressArea() / gammaM2, 0.9 * tensile * t.StressArea() / gammaM2, err
}
