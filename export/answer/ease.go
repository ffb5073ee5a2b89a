package answer

import (
	"fmt"
	"slices"
	"strings"

	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/whatif"
)

// Cautions that go with one thing that would give an answer.
const (
	cautionJoined = "A cable joined to a battery is live at its free end: cover that until it is joined."
	cautionOff    = "A tube that is off while boxes go in may carry the vehicle: prop the vehicle first, and bolt the tube back before it is moved."
	cautionLifted = "Make sure that what is to lift off does, and how: a tank has to be empty and its lines shut."
)

// EasingCautions are the cautions that go with some easings, each once.
func EasingCautions(all []whatif.Easing) []string {
	var list []string
	for _, c := range []struct {
		by   whatif.EasedBy
		text string
	}{{whatif.JoinedFirst, cautionJoined}, {whatif.ComesOff, cautionOff}, {whatif.LiftsOff, cautionLifted}} {
		if slices.ContainsFunc(all, func(e whatif.Easing) bool { return e.By == c.by }) {
			list = append(list, c.text)
		}
	}
	return list
}

// eased is which one thing would give an answer.
func (p printer) eased(in Input) []Part {
	if in.Eased == nil {
		return nil
	}
	part := Part{Title: "One thing that would give it, all else as it is"}
	for i, one := range in.Eased.Gives {
		part.Lines = append(part.Lines, Line{Number: i + 1, Text: upper(p.easing(one))})
	}
	say := func(words string, names []string) {
		if len(names) > 0 {
			part.Lines = append(part.Lines, plain(fmt.Sprintf("%s: %s.", words, strings.Join(names, ", ")))...)
		}
	}
	say("Proven not to give it alone", in.Eased.Hopeless)
	say("Not found to give it alone, which is no proof", in.Eased.Open)
	for _, caution := range EasingCautions(in.Eased.Gives) {
		part.Lines = append(part.Lines, plain("Caution: "+caution)...)
	}
	return []Part{part}
}

// easing says one thing, and what a layout then has to spare.
func (p printer) easing(one whatif.Easing) string {
	return fmt.Sprintf("%s: it fits and goes in, %s.", p.change(one), SpareWords(one.Report.Spare, p.unit))
}

func (p printer) change(one whatif.Easing) string {
	switch one.By {
	case whatif.ShorterTool:
		text := fmt.Sprintf("a tool no longer than %s over the posts (--tool %s)", p.down(one.Tool.Length), toolWords(one.Tool))
		if one.Longest {
			return text + "; a longer one is proven not to do"
		}
		return text + ", the longest that was found to do"
	case whatif.JoinedFirst:
		return fmt.Sprintf("the cable of %s joined before its box goes in (joined_first: true in the pack file)%s", one.Name, neededAt(one.Posts))
	case whatif.OpenSide:
		return fmt.Sprintf("%s named under open in the frame file, if nothing is there when boxes go in", one.Name)
	}
	key := "removable: true"
	if one.By == whatif.LiftsOff {
		key = "lifts_off: true"
	}
	return fmt.Sprintf("%s off while boxes go in, and back on after (%s in the frame file)", one.Name, key)
}

// toolWords is a tool as the command line has it.
func toolWords(t entry.Tool) string { return fmt.Sprintf("%gx%g", t.Diameter, t.Length) }

// neededAt names the boxes whose cables have to be joined first.
func neededAt(posts []pack.Part) string {
	if len(posts) == 0 {
		return ""
	}
	var names []string
	for _, post := range posts {
		names = append(names, post.String())
	}
	return ", which it takes at " + strings.Join(names, ", ")
}
