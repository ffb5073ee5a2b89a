package pack

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
)

// Problem is a frame and a pack that has to go into it. Search and judge read it and
// never change it.
type Problem struct {
	Frame *frame.Frame
	Pack  *Pack
	// Worst takes everything at its worst at once: every measured face of the frame
	// nearer by the frame's accuracy, every size of a box larger by its accuracy and
	// its swell, and heights, diameters and places of posts off by the box's accuracy.
	Worst bool
	// Pins are boxes that have their place already: every layout has them there.
	Pins []Placement
}

// ErrProblem is wrapped by the errors of NewProblem.
var ErrProblem = errors.New("frame and pack do not make a problem")

// Limits of a problem that neither file can hold alone.
const (
	// MaxCentre is how far from the origin the centre of a box may lie along each
	// axis, in millimetres.
	MaxCentre = 16000
	// MaxRelations is the greatest number of pairs of bodies (cases and posts with
	// each other and with the solids of the frame) that a layout may have. The judge
	// looks at about a million in a second.
	MaxRelations = 4_000_000
)

// NewProblem puts a frame and a pack together, as measured. It refuses what cannot be
// judged: no frame, no opening, no boxes, or more relations than MaxRelations. Boxes
// that are too many or too large for the opening are no error; that they do not fit
// is an answer.
func NewProblem(f *frame.Frame, p *Pack) (Problem, error) {
	problem := Problem{Frame: f, Pack: p}
	switch {
	case f == nil:
		return Problem{}, fmt.Errorf("%w: there is no frame", ErrProblem)
	case p == nil:
		return Problem{}, fmt.Errorf("%w: there is no pack", ErrProblem)
	case len(f.Opening.Outline.Corners) < 3 || len(f.Opening.Stations) == 0:
		return Problem{}, fmt.Errorf("%w: the frame has no opening; give it an outline and a width across", ErrProblem)
	case len(p.Kinds) == 0:
		return Problem{}, fmt.Errorf("%w: the pack has no boxes; give it at least one", ErrProblem)
	}
	bodies := 0
	for _, k := range p.Kinds {
		bodies += k.Count * (1 + len(k.Posts))
	}
	solids := len(problem.Obstacles())
	if pairs := bodies * (bodies + solids); pairs > MaxRelations {
		return Problem{}, fmt.Errorf("%w: %d boxes and posts and %d parts of the frame make %d pairs to check, of at most %d; leave out boxes, posts or keep-outs",
			ErrProblem, bodies, solids, pairs, MaxRelations)
	}
	return problem, nil
}

// AtWorst returns the problem with everything at its worst at once.
func (p Problem) AtWorst() Problem {
	p.Worst = true
	return p
}

// GivesAccuracy tells whether either file says that a measurement may be off. Where none
// does there is no worst case to speak of: nobody measures exactly.
func (p Problem) GivesAccuracy() bool {
	return p.Frame.GreatestAccuracy() > 0 || slices.ContainsFunc(p.Pack.Kinds, func(k Kind) bool { return k.Accuracy > 0 })
}

// LeastAccuracy returns by how much every measurement may be off at least, in mm: the
// least accuracy that the files give, 0 where something counts as exact.
func (p Problem) LeastAccuracy() float64 {
	least := p.Frame.LeastAccuracy()
	for _, k := range p.Pack.Kinds {
		least = min(least, k.Accuracy)
	}
	return least
}

// Obstacles returns the solids of the frame, at their worst with Worst.
func (p Problem) Obstacles() []frame.Obstacle {
	if p.Worst {
		return p.Frame.ObstaclesAtWorst(0)
	}
	return p.Frame.Obstacles(0)
}

// ObstaclesAtRest returns those that are there while boxes go in, see frame.ObstaclesAtRest.
func (p Problem) ObstaclesAtRest() []frame.Obstacle {
	if p.Worst {
		return p.Frame.ObstaclesAtRestAtWorst()
	}
	return p.Frame.ObstaclesAtRest()
}

// Kind returns the kind of box with the given name, and false when there is none.
func (p Problem) Kind(name string) (Kind, bool) {
	for _, k := range p.Pack.Kinds {
		if k.Name == name {
			return k, true
		}
	}
	return Kind{}, false
}

// Size returns the outside L, W, H of a kind's case in mm: with
// Worst larger by its accuracy and its swell.
func (p Problem) Size(kind Kind) r3.Vector {
	more := 0.0
	if p.Worst {
		more = kind.Accuracy + kind.Swell
	}
	return r3.Vector{
		X: kind.Size.X + more,
		Y: kind.Size.Y + more,
		Z: kind.Size.Z + more,
	}
}

// Bodies are the solids of a box in its place: its case and, in the order of the
// kind's posts, the square bar around each post.
type Bodies struct {
	Case  geom.Box
	Posts []geom.Box
}

// Bodies returns the solids of a placed box. With Worst the bar of a post contains the
// post wherever it may be, from the middle of the case. A flush post is flat as measured.
// It is an error when the pack has no such box, or the orientation or the centre is not
// usable; the stand and the tilt need not be allowed.
func (p Problem) Bodies(at Placement) (Bodies, error) {
	kind, ok := p.Kind(at.Box)
	switch {
	case !ok:
		return Bodies{}, fmt.Errorf("the pack has no box %q", at.Box)
	case !at.Valid():
		return Bodies{}, fmt.Errorf("%s %d: up %v and front %v, tilted by %s, is no orientation",
			at.Box, at.Number, at.Up, at.Front, degrees(at.Tilt))
	case !inRange(at.Centre):
		return Bodies{}, fmt.Errorf("%s %d: its centre %s is not within %d m of the origin",
			at.Box, at.Number, coordinates(at.Centre), MaxCentre/1000)
	}
	return p.solids(kind, at), nil
}

// solids returns the solids of a box of a kind that is soundly placed.
func (p Problem) solids(kind Kind, at Placement) Bodies {
	body := geom.Box{Centre: at.Centre, Axes: at.Axes(), Half: p.Size(kind).Mul(0.5)}
	bodies := Bodies{Case: body}
	for _, post := range kind.Posts {
		bodies.Posts = append(bodies.Posts, post.bar(kind, body, p.Worst))
	}
	return bodies
}

func coordinates(c r3.Vector) string { return fmt.Sprintf("[%.6g, %.6g, %.6g]", c.X, c.Y, c.Z) }

// inRange tells whether a centre is finite and not beyond MaxCentre.
func inRange(c r3.Vector) bool {
	return math.Abs(c.X) <= MaxCentre && math.Abs(c.Y) <= MaxCentre && math.Abs(c.Z) <= MaxCentre
}

// bar returns the square bar around a post of a kind whose case is body, at the worst
// wherever the post may be.
//
// Along its axis the bar then reaches from the face of the smallest case to the end of the
// highest post on body. Aside it has, beyond the post as measured, half of the accuracy for
// the diameter, all of it for the place, and for the corner that the place is measured from
// half of what the case may be larger: a case that swells to one side alone is moved by as
// much to stay within body.
func (t Post) bar(kind Kind, body geom.Box, worst bool) geom.Box {
	var off, swell float64
	if worst {
		off, swell = kind.Accuracy, kind.Swell
	}
	normal := t.Face.Normal()
	r, face := t.Diameter/2+2*off+swell/2, body.Half.Dot(normal.Abs())
	near := min(face, (kind.Size.Dot(normal.Abs())-off)/2)
	far := face + t.Height + off
	offset := t.FromMiddle(kind.Size).Add(normal.Mul((near + far) / 2))
	return geom.Box{
		Centre: body.Centre.Add(turned(offset, body.Axes)),
		Axes:   body.Axes,
		Half:   normal.Abs().Mul((far - near) / 2).Add(except(r3.Vector{X: r, Y: r, Z: r}, t.Face.Axis())),
	}
}

// FromMiddle returns where the post is in its face, from the face's middle, in the
// axes of a box of a size in millimetres.
func (t Post) FromMiddle(size r3.Vector) r3.Vector {
	var low r3.Vector
	switch t.Face.Axis() {
	case 0:
		low = r3.Vector{Y: t.At.X, Z: t.At.Y}
	case 1:
		low = r3.Vector{X: t.At.X, Z: t.At.Y}
	default:
		low = r3.Vector{X: t.At.X, Y: t.At.Y}
	}
	return low.Sub(except(size.Mul(0.5), t.Face.Axis()))
}

// except returns v with component i set to 0.
func except(v r3.Vector, i int) r3.Vector {
	switch i {
	case 0:
		v.X = 0
	case 1:
		v.Y = 0
	default:
		v.Z = 0
	}
	return v
}

// turned returns v, given in the box's own axes, in the vehicle's.
func turned(v r3.Vector, axes [3]r3.Vector) r3.Vector {
	return axes[0].Mul(v.X).Add(axes[1].Mul(v.Y)).Add(axes[2].Mul(v.Z))
}
