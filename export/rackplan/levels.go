package rackplan

import (
	"fmt"
	"strings"
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

// aimed is how many of the levels racks aim at.
const aimed = 2

// Below says in plain words in which directions a rack holds less than published levels: of those
// that racks aim at one by one, with what would do, of others in one line each.
func Below(a Answer) []string {
	var list []string
	for _, d := range a.Report.Loads.Directions {
		for _, l := range Levels()[:aimed] {
			if ask := l.G[d.Name]; d.Holds < ask {
				list = append(list, fmt.Sprintf("Holds only %s times the boxes' weight %s (%s gives first; %s); %s asks %g (%s).", g(d.Holds), direction(d.Name), d.Weakest, d.WouldDo(a.Rack, ask/d.Holds), l.Rule, ask, l.About))
			}
		}
	}
	for _, l := range Levels()[aimed:] {
		var short []string
		for _, d := range a.Report.Loads.Directions {
			if ask := l.G[d.Name]; d.Holds < ask {
				short = append(short, fmt.Sprintf("%s %s of %g", direction(d.Name), g(d.Holds), ask))
			}
		}
		if len(short) > 0 {
			list = append(list, fmt.Sprintf("Less than %s (%s), in times the boxes' weight: %s. Racks are not designed to that unless --hold asks.", l.Rule, l.About, strings.Join(short, ", ")))
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
