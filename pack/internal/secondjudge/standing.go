package secondjudge

import (
	"fmt"
	"math"
	"reflect"
	"slices"

	"rackwright/pack"
)

// standingTolerance in millimetres is how near to no room at all a tray's room may be for
// the two judges to differ about whether it has any.
const standingTolerance = 2e-3

// CompareStanding returns where what the judge and the second judge say that boxes stand
// on differs.
func CompareStanding(first pack.Standing, second Answer) error {
	if second.Standing == nil {
		return nil // its faults are compared elsewhere
	}
	mine, theirs := standingOf(first), *second.Standing
	theirs.Room = nil
	if mine.PostBelow == nil {
		mine.PostBelow = []string{}
	}
	if !reflect.DeepEqual(mine, theirs) {
		return fmt.Errorf("boxes stand on %+v, and on %+v by the second judge", mine, theirs)
	}
	if second.Spare != nil && *second.Spare < 0 {
		return nil // boxes overlap something: whether a tray would as well is no question
	}
	for name, room := range second.Standing.Room {
		none := slices.ContainsFunc(first.Faults, func(f pack.Fault) bool {
			return f.Rule == pack.NoTrayRoom && f.Part.String() == name
		})
		if room != nil && math.Abs(*room) > standingTolerance && none != (*room < 0) {
			return fmt.Errorf("%s: the tray has room: %t, and %v mm to spare by the second judge", name, !none, *room)
		}
	}
	return nil
}

// standingOf puts a standing into the second judge's terms.
func standingOf(s pack.Standing) Standing {
	out := Standing{Levels: [][]string{}, On: map[string][]string{}, Down: map[string]string{}}
	for _, l := range s.Levels {
		out.Levels = append(out.Levels, names(l.Boxes))
	}
	slices.SortFunc(out.Levels, slices.Compare)
	for _, f := range s.Boxes {
		out.Down[f.Part.String()] = f.Down.String()
		if len(f.On) > 0 {
			out.On[f.Part.String()] = names(f.On)
		}
	}
	for _, f := range s.Faults {
		if name := f.Part.String(); f.Rule == pack.PostBelow && !slices.Contains(out.PostBelow, name) {
			out.PostBelow = append(out.PostBelow, name)
		}
	}
	slices.Sort(out.PostBelow)
	return out
}

func names(parts []pack.Part) []string {
	var list []string
	for _, p := range parts {
		list = append(list, p.String())
	}
	slices.Sort(list)
	return list
}
