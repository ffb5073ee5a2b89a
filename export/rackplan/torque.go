package rackplan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rackwright/pack/rack"
)

// proof is the proof stress of a class of bolts in MPa (ISO 898-1, from two second-hand tables
// that agree).
var proof = map[string]float64{"4.6": 225, "4.8": 310, "8.8": 580, "10.9": 830}

// Factors of T = K D F: K of dry threads, and how much of the proof load F is (second-hand).
const (
	dryThread  = 0.20
	ofProof    = 0.75
	nmPerNmm   = 1e-3
	roundTo    = 0.5 // N·m
	tightFirst = "Bolts: a washer under each nut, nuts finger-tight until their tray is square"
)

// Torque is what a bolt with dry threads is tightened by in N·m, rounded down: T = K D F. It is 0
// where the class of the thread is not known.
func Torque(size, class string) float64 {
	t, err := rack.ThreadOf(size)
	if err != nil {
		return 0
	}
	return math.Floor(dryThread*t.D*ofProof*proof[class]*t.StressArea()*nmPerNmm/roundTo) * roundTo
}

// Tightening says by how much the bolts of a rack are tightened. Where a bolt goes into a thread
// of the vehicle nobody knows that thread's class, and for battery posts there is no figure.
func Tightening(a Answer) []string {
	into := map[string]bool{}
	for _, m := range a.Problem.Frame.Mounts {
		for _, side := range m.Sides() {
			into[side.Name] = m.Holds != "hole"
		}
	}
	known := map[string]float64{}
	var unknown []string
	for _, f := range a.Rack.Fasteners {
		i := slices.IndexFunc(f.Joins, func(n string) bool { return into[n] })
		inClamp := slices.ContainsFunc(f.Joins, func(n string) bool { _, ok := a.Rack.Clamp(n); return ok })
		switch t := Torque(f.Size, f.Class); {
		case inClamp:
		case i >= 0:
			unknown = append(unknown, f.Joins[i])
		case !f.Rod && t > 0:
			known[fmt.Sprintf("%s of class %s", f.Size, f.Class)] = t
		}
	}
	var words []string
	for what, t := range known {
		words = append(words, fmt.Sprintf("%s %g N·m", what, t))
	}
	slices.Sort(words)
	list := []string{tightFirst + ". Then, dry: " + strings.Join(words, ", ") + " (0.20 × diameter × 0.75 of the proof load of ISO 898-1), and what it takes to turn the locking nut on top of that."}
	if len(words) == 0 {
		list = []string{tightFirst + "."}
	}
	if len(unknown) > 0 {
		slices.Sort(unknown)
		list = append(list, fmt.Sprintf("No torque for %s: the class of the vehicle's own thread is not known. Take it from the vehicle's manual.", strings.Join(slices.Compact(unknown), ", ")))
	}
	list = append(list, clampWords(a.Rack)...)
	return append(list, "Rods of hold-downs press foam: nuts until it gives by 1 mm, no torque. Battery posts: their maker's figure, makers differ threefold.")
}
