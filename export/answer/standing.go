package answer

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"

	"rackwright/export/layoutfile"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/outcome"
)

// This file tells of layouts that can be built: what stands on how many levels, what each box
// stands on, and what goes between.

// built is what there is to tell of layouts that stand, in parts.
func (p printer) built(in Input) []Part {
	if len(in.Result.Levels) == 0 {
		return nil
	}
	parts := []Part{p.levelTable(in)}
	n := in.Result.Easiest()
	if n < 0 {
		return parts
	}
	easiest := in.Result.Layouts[n]
	s := pack.StandingOf(in.Problem, easiest.Layout)
	parts = append(parts, Part{
		Title: fmt.Sprintf("Layout %d, easiest to build: %s to spare%s", n+1, p.spare(easiest.Report.Spare), p.gatheredTo(in, easiest)),
		Lines: p.levelLines(in.Problem, s),
	})
	return append(parts, p.packing(s)...)
}

// levelTable is what was found for each number of levels.
func (p printer) levelTable(in Input) Part {
	part := Part{Title: "Boxes that stand: the most to spare that was found, and how high the middle of their mass then can be"}
	floor := floorOf(in.Problem)
	for _, r := range in.Result.Levels {
		text := fmt.Sprintf("on %s: %s to spare; middle of mass %s above the floor", count(r.Levels, "level"), p.spare(r.Spare), p.length(r.Middle-floor))
		if !r.Keeps {
			text += ", without the reserve"
		}
		part.Lines = append(part.Lines, Line{Text: text})
	}
	if first := in.Result.Levels[0].Levels; first > 1 {
		part.Lines = append(part.Lines, Line{Text: fmt.Sprintf("on fewer than %d: nothing was found, which is no proof that there is nothing", first)})
	}
	return part
}

func floorOf(problem pack.Problem) float64 { return problem.Frame.Opening.Outline.Bounds().Y.Lo }

// count says how many of something there are.
func count(n int, what string) string {
	words := []string{"no", "one", "two", "three", "four", "five", "six"}
	number := fmt.Sprint(n)
	if n < len(words) {
		number = words[n]
	}
	if n == 1 {
		return number + " " + what
	}
	return number + " " + what + "s"
}

// gatheredTo says why the easiest layout has so little to spare.
func (p printer) gatheredTo(in Input, f outcome.Found) string {
	for _, r := range in.Result.Levels {
		if r.Keeps && r.Spare > f.Report.Spare+0.05 {
			return ", as much as it keeps everywhere; the rest of the air is gathered at the ends of rows and at the top (--keep asks for more)"
		}
	}
	return ""
}

// levelLines say what stands on which level, and where trays stay back.
func (p printer) levelLines(problem pack.Problem, s pack.Standing) []Line {
	var lines []Line
	for n, l := range s.Levels {
		line := Line{Text: fmt.Sprintf("level %d, %s: %s", n+1, p.levelHeight(problem, l), partNames(l.Boxes))}
		for _, b := range s.Back {
			if b.Level == n {
				line.Under = append(line.Under, fmt.Sprintf("its metal stays back from %v, %s away", b.Post, p.down(b.Distance)))
			}
		}
		lines = append(lines, line)
	}
	for _, f := range s.Boxes {
		if len(f.On) > 0 {
			lines = append(lines, Line{Text: fmt.Sprintf("%v stands on %s", f.Part, partNames(f.On))})
		}
	}
	for _, f := range s.Faults {
		lines = append(lines, Line{Text: "does not stand: " + f.Text})
	}
	return lines
}

func (p printer) levelHeight(problem pack.Problem, l pack.Level) string {
	if d := layoutfile.Degrees(l.Tilt); math.Abs(d) > 1e-9 {
		way := "down"
		if d < 0 {
			way, d = "up", -d
		}
		return fmt.Sprintf("nose %s by %g°, %s from the zero point square to it", way, d, p.length(l.Height))
	}
	return p.length(l.Height-floorOf(problem)) + " above the floor"
}

func partNames(parts []pack.Part) string {
	var list []string
	for _, part := range parts {
		list = append(list, part.String())
	}
	return strings.Join(list, ", ")
}

// packing is the list of what goes between.
func (p printer) packing(s pack.Standing) []Part {
	var lines []Line
	for _, f := range s.Fillings() {
		if f.Thickness < thinnest {
			continue
		}
		lines = append(lines, Line{Text: p.filling(f)})
	}
	if len(lines) == 0 {
		return nil
	}
	return []Part{{Title: fmt.Sprintf("Packing, at the narrowest place (up to %s foam, beyond that wood or plastic: common practice)", p.length(pack.FoamMost)), Lines: lines}}
}

// Packing is what goes between the boxes of a layout, and between them and what is around, in lengths
// of a unit: no part where nothing does.
func Packing(problem pack.Problem, l pack.Layout, u geom.Unit) []Part {
	return printer{unit: u}.packing(pack.StandingOf(problem, l))
}

// thinnest is the least gap in mm that anything goes into.
const thinnest = 0.5

func (p printer) filling(f pack.Filling) string {
	of := "wood or plastic"
	if f.OfFoam() {
		of = "foam"
	}
	if f.Side == pack.Below {
		return fmt.Sprintf("%s of %s under %v, on %v", p.down(f.Thickness), of, f.A, f.B)
	}
	return fmt.Sprintf("%s of %s between %v and %v", p.down(f.Thickness), of, f.A, f.B)
}

// WhyWords are the reasons for a layout, in words.
func WhyWords(why []outcome.Reason) string {
	var list []string
	for _, w := range why {
		list = append(list, w.String())
	}
	return strings.Join(list, ", ")
}

type jsonLevel struct {
	Z     float64  `json:"z_mm"`
	Tilt  float64  `json:"tilt_deg"`
	Boxes []string `json:"boxes"`
}

type jsonRow struct {
	Levels int     `json:"levels"`
	Spare  float64 `json:"spare_mm"`
	Middle float64 `json:"middle_mm"` // z of the middle of mass
	Keeps  bool    `json:"keeps_reserve"`
}

type jsonFilling struct {
	Between   [2]string `json:"between"`
	Thickness float64   `json:"thick_mm"`
	Of        string    `json:"of"`
}

func levelsJSON(s pack.Standing) []jsonLevel {
	list := []jsonLevel{}
	for _, l := range s.Levels {
		level := jsonLevel{Z: l.Height, Tilt: layoutfile.Degrees(l.Tilt), Boxes: []string{}}
		for _, b := range l.Boxes {
			level.Boxes = append(level.Boxes, b.String())
		}
		list = append(list, level)
	}
	return list
}

func rowsJSON(rows []outcome.LevelRow) []jsonRow {
	var list []jsonRow
	for _, r := range rows {
		list = append(list, jsonRow(r))
	}
	return list
}

func packingJSON(s pack.Standing) []jsonFilling {
	var list []jsonFilling
	for _, f := range s.Fillings() {
		of := "wood or plastic"
		if f.OfFoam() {
			of = "foam"
		}
		list = append(list, jsonFilling{[2]string{f.A.String(), f.B.String()}, f.Thickness, of})
	}
	return list
}

func whyJSON(why []outcome.Reason) []string {
	list := []string{}
	for _, w := range why {
		list = append(list, w.String())
	}
	return list
}

// WriteStanding writes what each box of a layout stands on, and what lies under and beside it.
func WriteStanding(w io.Writer, problem pack.Problem, l pack.Layout) error {
	out := bufio.NewWriter(w)
	p := printer{out, problem.Pack.Unit}
	s := pack.StandingOf(problem, l)
	part := Part{Title: "Levels, and what stands on them", Lines: p.levelLines(problem, s)}
	p.part(part)
	part = Part{Title: fmt.Sprintf("Under and beside each box, within %s (at the narrowest place; ahead is the vehicle's front)", p.length(pack.PackingReach))}
	for _, f := range s.Boxes {
		part.Lines = append(part.Lines, Line{Text: p.aroundLine(f)})
	}
	p.part(part)
	for _, part := range p.packing(s) {
		p.part(part)
	}
	return out.Flush()
}

func (p printer) aroundLine(f pack.Footing) string {
	var list []string
	if len(f.Under) > 0 {
		list = append(list, fmt.Sprintf("under %s %v", p.distance(f.Under[0].Distance), f.Under[0].Part))
	}
	seen := map[pack.Side]int{}
	for _, n := range f.Beside {
		if seen[n.Side]++; seen[n.Side] <= 2 {
			list = append(list, fmt.Sprintf("%v %s %v", n.Side, p.distance(n.Distance), n.Part))
		}
	}
	return fmt.Sprintf("%v: %s", f.Part, strings.Join(list, ", "))
}

// distance is a length that may be below nothing where things overlap.
func (p printer) distance(mm float64) string {
	if mm < 0 {
		return "overlap " + p.more(-mm)
	}
	return p.down(mm)
}
