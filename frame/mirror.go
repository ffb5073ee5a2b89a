package frame

import (
	"github.com/golang/geo/r1"

	"rackwright/frame/strict"
)

// mirrored returns a keep-out of a file and its mirror image at −y as two, named as the left and
// the right one; one alone that is its own image, or is not given by a form of the file.
func (k KeepOut) mirrored() []KeepOut {
	left, right := k, k
	switch {
	case k.Profile != nil:
		in := k.Profile.Across
		other := Profile{Outline: k.Profile.Outline, Across: r1.Interval{Lo: 0 - in.Hi, Hi: 0 - in.Lo}}
		if other.Across == in {
			return []KeepOut{k}
		}
		right = k.withShape(other)
		if in.Center() < 0 {
			left, right = right, left
		}
	case k.Section != nil:
		other, differs := k.Section.mirrored()
		if !differs {
			return []KeepOut{k}
		}
		right = k.withShape(other)
		if k.Section.Across.Bounds().X.Center() < 0 {
			left, right = right, left
		}
	case k.Box != nil:
		other := Corners{Low: k.Box.Low, High: k.Box.High}
		other.Low.Y, other.High.Y = 0-k.Box.High.Y, 0-k.Box.Low.Y
		if other == *k.Box {
			return []KeepOut{k}
		}
		right = k.withShape(other)
		if k.Box.Low.Y+k.Box.High.Y < 0 {
			left, right = right, left
		}
	case k.Round != nil:
		other := Round{From: mirror(k.Round.From, true), To: mirror(k.Round.To, true), Diameter: k.Round.Diameter}
		if other == *k.Round || other.From == k.Round.To && other.To == k.Round.From {
			return []KeepOut{k}
		}
		right = k.withShape(other)
		if sum := k.Round.From.Y + k.Round.To.Y; sum < 0 || sum == 0 && k.Round.From.Y < 0 {
			left, right = right, left
		}
	default:
		return []KeepOut{k}
	}
	left.Name, right.Name = k.Name+" left", k.Name+" right"
	return []KeepOut{left, right}
}

// mirrorOf reads whether a keep-out has a mirror image, and returns it with that.
func (r *reader) mirrorOf(f *keepOutFile, k KeepOut) []KeepOut {
	if !f.Mirror {
		return []KeepOut{k}
	}
	if len(k.Hangs) > 0 {
		r.At(&f.Mirror, strict.BadValue, "what hangs on the rack has no mirror image: write the two as keep-outs of their own")
	}
	all := k.mirrored()
	if len(all) > 1 {
		r.claim(&f.Name, "a keep-out", all[0].Name, all[1].Name)
		if s := r.marks.survey; s != nil {
			s.KeepOuts = append(s.KeepOuts, s.KeepOuts[len(s.KeepOuts)-1])
		}
	}
	return all
}
