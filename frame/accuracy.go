package frame

import (
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame/strict"
)

// How far a thing of the frame may be off: by the accuracy that the file gives it, else by
// what was taped makes of the marks that it stands on, else by the frame's one number. Every
// face of it may be nearer by that much.

// SideAccuracy is that of the side from corner i, in mm.
func (f *Frame) SideAccuracy(i int) float64 {
	if i < len(f.Opening.Accuracies) {
		return f.Opening.Accuracies[i]
	}
	return f.Accuracy
}

// RailAccuracy is that of rail i.
func (f *Frame) RailAccuracy(i int) float64 { return f.own(f.Rails[i].Accuracy) }

// KeepOutAccuracy is that of keep-out i.
func (f *Frame) KeepOutAccuracy(i int) float64 { return f.own(f.KeepOuts[i].Accuracy) }

// MovingAccuracy is that of part i that moves: of its faces as drawn, and of its pivot.
func (f *Frame) MovingAccuracy(i int) float64 { return f.own(f.Moving[i].Accuracy) }

// MountAccuracy is that of mount i.
func (f *Frame) MountAccuracy(i int) float64 { return f.own(f.Mounts[i].Accuracy) }

func (f *Frame) own(accuracy *float64) float64 {
	if accuracy != nil {
		return *accuracy
	}
	return f.Accuracy
}

// accuracies are those of everything that boxes keep away from: the width, which has the
// frame's, sides, rails, keep-outs and parts that move.
func (f *Frame) accuracies() []float64 {
	all := []float64{f.Accuracy}
	for i := range f.Opening.Outline.Corners {
		all = append(all, f.SideAccuracy(i))
	}
	for i := range f.Rails {
		all = append(all, f.RailAccuracy(i))
	}
	for i := range f.KeepOuts {
		all = append(all, f.KeepOutAccuracy(i))
	}
	for i := range f.Moving {
		all = append(all, f.MovingAccuracy(i))
	}
	return all
}

// LeastAccuracy and GreatestAccuracy are the least and the greatest of all.
func (f *Frame) LeastAccuracy() float64 { return slices.Min(f.accuracies()) }

// GreatestAccuracy is the greatest of all.
func (f *Frame) GreatestAccuracy() float64 { return slices.Max(f.accuracies()) }

// WithAccuracy returns the frame with everything of it off by as much.
func (f *Frame) WithAccuracy(mm float64) *Frame {
	out := *f
	out.Accuracy, out.Opening.Accuracies = mm, nil
	out.Rails, out.KeepOuts, out.Moving = slices.Clone(f.Rails), slices.Clone(f.KeepOuts), slices.Clone(f.Moving)
	for i := range out.Rails {
		out.Rails[i].Accuracy = nil
	}
	for i := range out.KeepOuts {
		out.KeepOuts[i].Accuracy = nil
	}
	for i := range out.Moving {
		out.Moving[i].Accuracy = nil
	}
	return &out
}

// OnMarks is what a thing of the frame stands on where its accuracy follows from marks: that
// of its points that may be off most, and along which direction. The zero value stands for a
// thing whose accuracy does not.
type OnMarks struct {
	Mark  int
	Along r2.Point // a unit vector; zero where there is no such mark
	Off   float64  // how far it may be off so, in mm
}

// Reading.

// accuracy checks an accuracy that a thing of the file has of its own.
func (r *reader) accuracy(given *strict.Length) *float64 {
	if given == nil {
		return nil
	}
	r.between(given, float64(*given), 0, MaxGap, "an accuracy")
	v := float64(*given)
	return &v
}

// ownOrMarks is the accuracy that a thing is given, else that of the marks it stands on, and
// what these are; nil where neither says anything.
func (r *reader) ownOrMarks(own *float64, on *OnMarks) (*float64, OnMarks) {
	if own != nil || on == nil {
		return own, OnMarks{}
	}
	off := on.Off
	return &off, *on
}

// sideAccuracies are those of the sides of an outline whose corners stand, in the outline's
// order, on marks or not; nil where all are the frame's.
func (r *reader) sideAccuracies(outline []r2.Point, marks []int, given []*float64) []float64 {
	all, own := slices.Repeat([]float64{float64(r.file.Accuracy)}, len(outline)), false
	for i := range outline {
		k := (i + 1) % len(outline)
		accuracy, on := r.ownOrMarks(given[i], r.onMarks([]int{marks[i], marks[k]}, r2.Point{X: outline[i].Y - outline[k].Y, Y: outline[k].X - outline[i].X}))
		if accuracy != nil {
			all[i], own = *accuracy, true
		}
		if s := r.marks.survey; s != nil {
			s.Sides = append(s.Sides, on)
		}
	}
	if !own {
		return nil
	}
	return all
}

// notAMark stands for a point that is given in numbers: it is off by the file's accuracy.
const notAMark = -1

// onMarks is what of some points may be off most along a direction, in its worst one where
// that is zero. It is nil where none is a mark.
func (r *reader) onMarks(points []int, direction r2.Point) *OnMarks {
	s := r.marks.survey
	if s == nil || s.Adjusted == nil {
		return nil
	}
	var most *OnMarks
	for _, p := range points {
		if p == notAMark {
			continue
		}
		along := direction
		if along == (r2.Point{}) {
			along = s.Adjusted.WorstWay(p)
		}
		most = worse(most, &OnMarks{Mark: p, Along: along.Normalize(), Off: s.Adjusted.Worst(p, along)})
	}
	if most != nil && slices.Contains(points, notAMark) {
		most.Off = max(most.Off, float64(r.file.Accuracy))
	}
	return most
}

func worse(a, b *OnMarks) *OnMarks {
	if a == nil || b != nil && b.Off > a.Off {
		return b
	}
	return a
}

// markOf is the number of the mark that a name stands for; notAMark for none.
func (r *reader) markOf(name string) int {
	if i, ok := r.marks.at[name]; ok && name != "" {
		return i
	}
	return notAMark
}

// pathOnMarks is what a tube along points stands on, across each of its stretches.
func (r *reader) pathOnMarks(path []strict.Place3, at []r3.Vector) *OnMarks {
	var most *OnMarks
	for i := 1; i < len(path); i++ {
		d := at[i].Sub(at[i-1])
		most = worse(most, r.onMarks([]int{r.markOf(path[i-1].Mark), r.markOf(path[i].Mark)}, r2.Point{X: -d.Z, Y: d.X}))
	}
	return most
}

// shapeOnMarks is what a keep-out of a form stands on: each face of an outline along its
// normal, a box forward and up, a round one whichever way is worst.
func (r *reader) shapeOnMarks(f *shapeFile) *OnMarks {
	switch {
	case f.Box != nil:
		points := []int{r.markOf(f.Box.Low.Mark), r.markOf(f.Box.High.Mark)}
		return worse(r.onMarks(points, r2.Point{X: 1}), r.onMarks(points, r2.Point{Y: 1}))
	case f.Round != nil:
		return r.onMarks([]int{r.markOf(f.Round.From.Mark), r.markOf(f.Round.To.Mark)}, r2.Point{})
	}
	var most *OnMarks
	for i := range f.Outline {
		k := (i + 1) % len(f.Outline)
		a, _ := r.place2(&f.Outline[i])
		b, _ := r.place2(&f.Outline[k])
		most = worse(most, r.onMarks([]int{r.markOf(f.Outline[i].Mark), r.markOf(f.Outline[k].Mark)}, r2.Point{X: a.Y - b.Y, Y: b.X - a.X}))
	}
	return most
}

// movingOnMarks is what a part that moves stands on: its pivot, whichever way is worst, and its
// solids; a chain its sprockets.
func (r *reader) movingOnMarks(f *movingFile) *OnMarks {
	var most *OnMarks
	if f.Turn != nil {
		most = r.onMarks([]int{r.markOf(f.Turn.About.At.Mark)}, r2.Point{})
	}
	if f.Chain != nil {
		for _, s := range f.Chain.Sprockets {
			most = worse(most, r.onMarks([]int{r.markOf(s.At.Mark)}, r2.Point{}))
		}
		return most
	}
	most = worse(most, r.shapeOnMarks((*shapeFile)(&f.partFile)))
	for i := range f.Parts {
		most = worse(most, r.shapeOnMarks((*shapeFile)(&f.Parts[i])))
	}
	return most
}
