package rackplan

import (
	"fmt"

	"rackwright/pack/rack/loads"
)

// Level is what a published rule asks for, in g by direction; 0: nothing.
type Level struct {
	Rule  string
	About string
	G     map[string]float64
}

// Levels are published rules about things that are held, with what each is about. None is
// about a vehicle like the reader's: they stand beside what a rack holds for comparison.
func Levels() []Level {
	return []Level{
		{
			"33 CFR 183.420", "batteries in small craft: twice the weight, or 90 lbf if that is less",
			map[string]float64{"forward": 2, "rearward": 2, "left": 2, "right": 2, "up": 2},
		},
		{
			"49 CFR 393.102", "cargo on lorries, against breaking",
			map[string]float64{"forward": 0.8, "rearward": 0.5, "left": 0.5, "right": 0.5, "up": 0.2},
		},
		{
			"UN R100 Annex 9C", "battery systems of cars in a shock test, the least figures",
			map[string]float64{"forward": 20, "rearward": 20, "left": 8, "right": 8},
		},
	}
}

// Below says in plain words in which directions a rack holds less than the levels that racks
// aim at, the first two.
func Below(r loads.Report) []string {
	var list []string
	for _, d := range r.Directions {
		for _, l := range Levels()[:2] {
			if ask := l.G[d.Name]; d.Holds < ask {
				list = append(list, fmt.Sprintf("Holds only %s times the boxes' weight %s (%s gives first); %s asks %g (%s).", g(d.Holds), direction(d.Name), d.Weakest, l.Rule, ask, l.About))
			}
		}
	}
	return list
}

func direction(name string) string {
	switch name {
	case "left", "right":
		return "to the " + name
	case "up":
		return "upward"
	case "down":
		return "downward"
	}
	return name
}
