package answer

import (
	"fmt"
	"strings"

	"rackwright/pack"
)

// NumberWords says what is in the way of who reads the frame number; empty where nothing is.
func NumberWords(problem pack.Problem, covering []string) string {
	if problem.Frame.Number == nil || len(covering) == 0 {
		return ""
	}
	return fmt.Sprintf("The frame number cannot be read from the %s: %s in the way.", problem.Frame.Number.SeenFrom, isOrAre(covering))
}

func isOrAre(names []string) string {
	if len(names) == 1 {
		return names[0] + " is"
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1] + " are"
}

// numberCovered is NumberWords of the boxes of a layout.
func numberCovered(problem pack.Problem, l pack.Layout) string {
	var names []string
	for _, part := range problem.NumberCovered(l) {
		names = append(names, part.String())
	}
	return NumberWords(problem, names)
}

// covered tells in which layouts of a result the frame number cannot be read, and what to do.
func covered(in Input) []Part {
	var lines []string
	for i, l := range in.Result.Layouts {
		if words := numberCovered(in.Problem, l.Layout); words != "" {
			lines = append(lines, fmt.Sprintf("Layout %d: %s", i+1, words))
		}
	}
	if len(lines) == 0 {
		return nil
	}
	return []Part{part("Frame number", append(lines, "Inspectors want to read it: a keepout before it keeps boxes away from there.")...)}
}
