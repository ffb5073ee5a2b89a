package answer

import (
	"fmt"
	"strings"

	"github.com/golang/geo/r2"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// Sizes in mm beyond which a box is questioned: one below the least each way is likely written in
// inches or cm, one above the most in tenths of a millimetre, or is a vehicle. Our own choice.
const (
	leastBox = 30
	mostBox  = 1000
)

// Doubts are what in the files is likely not meant as it reads, a sentence or two each: sizes in
// another unit, and sides that are named the other way round.
func Doubts(p pack.Problem) []string {
	var all []string
	if p.Pack.NoUnit && p.Frame.Unit == geom.Inch {
		all = append(all, fmt.Sprintf("LOOK AGAIN: the frame is in inches, but the pack file has no units, so its numbers are read as mm: %s. If they are inches, write units: in at its top.", sizeOf(p.Pack, p.Pack.Kinds[0])))
	}
	for _, k := range p.Pack.Kinds {
		switch high := max(k.Size.X, k.Size.Y, k.Size.Z); {
		case high < leastBox:
			all = append(all, fmt.Sprintf("LOOK AGAIN: %s. That is less than %s each way: is it in inches or cm? Write the unit: units: in, or 19 cm.", sizeOf(p.Pack, k), geom.FormatLength(leastBox, p.Pack.Unit)))
		case high > mostBox:
			all = append(all, fmt.Sprintf("LOOK AGAIN: %s. That is longer than any battery: is it in another unit?", sizeOf(p.Pack, k)))
		}
	}
	return append(all, turnedRound(p.Frame)...)
}

func sizeOf(p *pack.Pack, k pack.Kind) string {
	length := func(mm float64) string { return geom.FormatLength(mm, p.Unit) }
	return fmt.Sprintf("%s is %s × %s × %s", k.Name, length(k.Size.X), length(k.Size.Y), length(k.Size.Z))
}

// turnedRound says where the sides of an outline that runs clockwise are.
func turnedRound(f *frame.Frame) []string {
	o := f.Opening
	if !o.Clockwise {
		return nil
	}
	var open []string
	for i, name := range o.Sides {
		if o.SideOpen(i) {
			open = append(open, name)
		}
	}
	text := "LOOK AGAIN: the outline's corners run clockwise, seen from the right. Each name stays with the side from its corner to the next: "
	var sides []string
	for i := len(o.Sides) - 1; i >= 0; i-- {
		a, b := o.Outline.Corners[(i+1)%len(o.Sides)], o.Outline.Corners[i]
		sides = append(sides, fmt.Sprintf("%s from %s to %s", o.Sides[i], cornerWords(a, f.Unit), cornerWords(b, f.Unit)))
	}
	text += strings.Join(sides, ", ")
	if len(open) > 0 {
		text += "; open: " + strings.Join(open, ", ")
	}
	return []string{text + "."}
}

func cornerWords(c r2.Point, u geom.Unit) string {
	bare := func(mm float64) string { return strings.TrimSuffix(geom.FormatLength(mm, u), " "+u.String()) }
	return "[" + bare(c.X) + ", " + bare(c.Y) + "]"
}

// Crossing says which rails and keep-outs stand in the opening, in a line: boxes go around
// them, and where one does not stand there on the vehicle, its numbers are wrong.
func Crossing(f *frame.Frame) []string {
	names := InOpening(f)
	if len(names) == 0 {
		return nil
	}
	return []string{"Standing in the opening, and boxes go around: " + strings.Join(names, ", ") + ". If one does not on the vehicle, look at its numbers."}
}

// InOpening are the names of the rails and keep-outs that stand in the opening.
func InOpening(f *frame.Frame) []string {
	if len(f.Opening.Stations) == 0 {
		return nil
	}
	inside := f.Opening.Outline.ConvexPieces()
	var names []string
	for _, o := range f.Obstacles(0) {
		if o.Kind != frame.RailTube && o.Kind != frame.KeptOut || len(names) > 0 && names[len(names)-1] == o.Name {
			continue
		}
		for _, piece := range inside {
			room := geom.Prism{Profile: piece, View: geom.SideView, Depth: f.Opening.Widest()}
			if gap, _ := geom.SheetGap(room, o.Solid); gap < -deep {
				names = append(names, o.Name)
				break
			}
		}
	}
	return names
}

// deep is how far into the opening something has to reach to be said, in mm.
const deep = 10
