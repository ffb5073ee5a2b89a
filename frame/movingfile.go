package frame

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/frame/strict"
	"rackwright/geom"
)

// MaxTurn in degrees either way is more than any part of a vehicle turns that boxes stay clear
// of.
const MaxTurn = 90

type movingFile struct {
	Name  strict.Name `yaml:"name" jsonschema:"example=swingarm" jsonschema_description:"Name of the part."`
	Turn  *turnFile   `yaml:"turn,omitempty" jsonschema:"oneof_required=turn" jsonschema_description:"It turns about an axis."`
	Slide *slideFile  `yaml:"slide,omitempty" jsonschema:"oneof_required=slide" jsonschema_description:"It slides along a direction."`
	Chain *chainFile  `yaml:"chain,omitempty" jsonschema:"oneof_required=chain" jsonschema_description:"It is a chain around two sprockets."`
	partFile
	Parts    []partFile     `yaml:"parts,omitempty" jsonschema:"minItems=1,maxItems=8" jsonschema_description:"Its solids, where it has several. Each has one of: outline and across, box, round."`
	AtRest   *float64       `yaml:"at_rest,omitempty" jsonschema_description:"Where it stands while boxes go in, in degrees, or in the file's units of a slide. Default as drawn."`
	Metal    *bool          `yaml:"metal,omitempty" jsonschema_description:"Whether it is metal. Default true."`
	LiftsOff bool           `yaml:"lifts_off,omitempty" jsonschema_description:"true: it comes off, and is off while boxes go in."`
	Gap      *strict.Length `yaml:"gap,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"Required gap to it instead of gaps.keepout of the pack file."`
	Accuracy *strict.Length `yaml:"accuracy,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"How much nearer each face of it may be as drawn, and how far its pivot may be off, instead of the file's accuracy."`
}

// partFile is how a solid of a part that moves is written, where it is drawn.
type partFile struct {
	Outline []strict.Place2 `yaml:"outline,omitempty" jsonschema:"minItems=3,maxItems=64" jsonschema_description:"Corners [x, z], or marks, of its side view as it is drawn."`
	Across  *strict.Across  `yaml:"across,omitempty" jsonschema:"exclusiveMinimum=0" jsonschema_description:"Width across of the outline: the whole, or [right, left]."`
	Box     *cornersFile    `yaml:"box,omitempty" jsonschema_description:"An upright box by its low and high corner."`
	Round   *roundFile      `yaml:"round,omitempty" jsonschema_description:"A round bar with flat ends, such as a wheel or a fork leg."`
}

type turnFile struct {
	About strict.Pivot   `yaml:"about" jsonschema_description:"A point of the axis: [x, z] of an axis straight across, [x, y, z] of another, or a mark."`
	Along *strict.Point3 `yaml:"along,omitempty" jsonschema_description:"Direction of the axis [x, y, z], of any length; it turns right-handed about it. Straight across without."`
	From  float64        `yaml:"from" jsonschema:"minimum=-90,maximum=90" jsonschema_description:"Degrees from its place as drawn at one end, nose down counting as more than 0 where the axis lies across."`
	To    float64        `yaml:"to" jsonschema:"minimum=-90,maximum=90" jsonschema_description:"Degrees at the other end."`
}

type slideFile struct {
	Along strict.Point3 `yaml:"along" jsonschema_description:"Direction [x, y, z], of any length."`
	From  strict.Length `yaml:"from" jsonschema_description:"How far it is along that from its place as drawn at one end."`
	To    strict.Length `yaml:"to" jsonschema_description:"How far at the other end."`
}

type chainFile struct {
	Sprockets []sprocketFile `yaml:"sprockets" jsonschema:"minItems=2,maxItems=2" jsonschema_description:"The two sprockets: first the one that stays, then the one that moves with the part that it follows."`
	Width     strict.Length  `yaml:"width" jsonschema:"exclusiveMinimum=0,maximum=4000" jsonschema_description:"Width across of the chain, pins included."`
	Slack     strict.Length  `yaml:"slack,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"How far up and down the middle of a run can be pushed. All of it is kept clear to either side. Default 0."`
	With      *strict.Name   `yaml:"with,omitempty" jsonschema:"example=swingarm" jsonschema_description:"Name of the part that turns, before this one, that the second sprocket moves with."`
}

type sprocketFile struct {
	At       strict.Place3 `yaml:"at" jsonschema_description:"Its middle [x, y, z], or a mark."`
	Diameter strict.Length `yaml:"diameter" jsonschema:"exclusiveMinimum=0,maximum=4000" jsonschema_description:"Its diameter over the chain."`
}

func (r *reader) moving() []Moving {
	files := r.file.Moving
	r.limit(&r.file.Moving, len(files), MaxMoving, "parts that move")
	var all []Moving
	for i := range files {
		all = append(all, r.movingPart(&files[i], all))
	}
	solids := r.pieces(files, all)
	for i := range all {
		all[i].solids = solids
	}
	return all
}

// pieces counts the convex pieces of all parts that move, and holds them against their limit:
// each is covered by itself.
func (r *reader) pieces(files []movingFile, all []Moving) int {
	sum := 0
	for i, m := range all {
		if !r.Sound(&files[i]) {
			continue
		}
		before := sum
		for _, p := range m.Parts {
			sum += len(p.Solids(0))
		}
		if before <= MaxPieces && sum > MaxPieces {
			r.At(&files[i], strict.OutOfRange, "the parts that move are cut into more convex pieces than the %d that there may be: "+
				"each corner of an outline that points inward makes one more; draw them simpler, a little larger", MaxPieces)
		}
	}
	return sum
}

// movingPart reads one; before are those above it in the file.
func (r *reader) movingPart(f *movingFile, before []Moving) Moving {
	r.claim(&f.Name, "a part that moves", string(f.Name))
	m := Moving{
		Name: string(f.Name), Metal: f.Metal == nil || *f.Metal, LiftsOff: f.LiftsOff, Gap: r.gap(f.Gap), covers: &covers{},
	}
	ways := 0
	for _, given := range []bool{f.Turn != nil, f.Slide != nil, f.Chain != nil} {
		if given {
			ways++
		}
	}
	switch {
	case ways != 1:
		r.At(f, strict.BadValue, "a part that moves has exactly one of: turn, slide, chain")
		return m
	case f.Turn != nil:
		m.Motion = r.turn(f.Turn)
	case f.Slide != nil:
		m.Motion = r.slide(f.Slide)
	default:
		m.Chain, m.Motion = r.chain(f.Chain, before)
	}
	m.Parts = r.parts(f)
	m.AtRest = r.atRest(f, m.Motion)
	m.Accuracy, _ = r.ownOrMarks(r.accuracy(f.Accuracy), r.movingOnMarks(f))
	for _, b := range before {
		if m.Chain != nil && f.Chain.With != nil && b.Name == string(*f.Chain.With) {
			m.AtRest = b.AtRest
		}
	}
	return m
}

// parts reads the solids of a part.
func (r *reader) parts(f *movingFile) []Shape {
	own := r.Given(&f.Outline) || r.Given(&f.Across) || f.Box != nil || f.Round != nil
	switch {
	case f.Chain != nil:
		if own || r.Given(&f.Parts) {
			r.At(f, strict.BadValue, "a chain needs no other solids: its sprockets and its width say what it is like")
		}
		return nil
	case own && r.Given(&f.Parts):
		r.At(&f.Parts, strict.BadValue, "give either parts, or one solid beside the name")
		return nil
	case !r.Given(&f.Parts):
		return r.part(f, &f.partFile, "a part that moves")
	}
	r.limit(&f.Parts, len(f.Parts), MaxParts, "solids")
	if len(f.Parts) == 0 {
		r.At(&f.Parts, strict.BadValue, "there has to be at least one solid")
	}
	var all []Shape
	for i := range f.Parts {
		all = append(all, r.part(&f.Parts[i], &f.Parts[i], "a solid")...)
	}
	return all
}

// part reads one solid, none where it has errors.
func (r *reader) part(at any, f *partFile, what string) []Shape {
	if s := r.shape(at, (*shapeFile)(f), what); s != nil {
		return []Shape{s}
	}
	return nil
}

// turn reads an axis and how far to turn.
func (r *reader) turn(f *turnFile) geom.Motion {
	m := geom.Motion{Turns: true, Along: crossAxis, Range: r.ends(f, f.From, f.To, &f.To)}
	m.About = r.pivot(f)
	if f.Along != nil {
		m.Along = r.along(f.Along)
	}
	for _, v := range []*float64{&f.From, &f.To} {
		if math.Abs(*v) > MaxTurn {
			r.At(v, strict.OutOfRange, "a turn is from %d to %d degrees, not %g", -MaxTurn, MaxTurn, *v)
		}
	}
	m.Range = r1.Interval{Lo: m.Range.Lo * math.Pi / 180, Hi: m.Range.Hi * math.Pi / 180}
	return m
}

// pivot is a point of an axis.
func (r *reader) pivot(f *turnFile) r3.Vector {
	if f.About.At.Mark != "" {
		at, _ := r.place(&f.About, f.About.At.Mark)
		return at
	}
	if f.About.InSideView && f.Along != nil && (f.Along[0] != 0 || f.Along[2] != 0) {
		r.At(&f.About, strict.BadValue, "an axis that does not lie straight across needs a point with its y: [x, y, z]")
	}
	return vector(f.About.At.Point)
}

// along is a direction.
func (r *reader) along(p *strict.Point3) r3.Vector {
	v := vector(*p)
	if v.Norm() < 1e-6 {
		r.At(p, strict.BadValue, "a direction needs a length: at least one of its numbers is not 0")
		return r3.Vector{Y: 1}
	}
	for axis, x := range p {
		if others := v.Norm2() - x*x; others == 0 { // along an axis of the vehicle, exactly
			var unit strict.Point3
			unit[axis] = math.Copysign(1, x)
			return vector(unit)
		}
	}
	return v.Normalize()
}

// ends is a range from low to high.
func (r *reader) ends(at any, from, to float64, high any) r1.Interval {
	if from > to && r.Sound(at) {
		r.At(high, strict.BadValue, "from is more than to: the range goes from the lower to the higher number")
	}
	return r1.Interval{Lo: min(from, to), Hi: max(from, to)}
}

func (r *reader) slide(f *slideFile) geom.Motion {
	return geom.Motion{Along: r.along(&f.Along), Range: r.ends(f, float64(f.From), float64(f.To), &f.To)}
}

// atRest reads where a part stands while boxes go in: as drawn where it comes by there.
func (r *reader) atRest(f *movingFile, m geom.Motion) float64 {
	if f.AtRest == nil {
		return max(m.Range.Lo, min(m.Range.Hi, 0))
	}
	at := *f.AtRest
	switch {
	case f.Chain != nil:
		r.At(f.AtRest, strict.BadValue, "a chain stands as the part that it moves with does: give at_rest there")
		return 0
	case m.Turns:
		at = (s1.Angle(at) * s1.Degree).Radians()
	default:
		at = r.Unit.Length(at)
	}
	if !m.Range.Expanded(1e-9).Contains(at) {
		r.At(f.AtRest, strict.OutOfRange, "at_rest is not between from and to")
	}
	return at
}

// chain reads a chain, and what it moves with.
func (r *reader) chain(f *chainFile, before []Moving) (*Chain, geom.Motion) {
	c := &Chain{Width: float64(f.Width), Slack: float64(f.Slack)}
	r.between(&f.Width, c.Width, MinLength, MaxDiameter, "a width")
	r.between(&f.Slack, c.Slack, 0, MaxGap, "a slack")
	m := r.follows(f, before)
	if len(f.Sprockets) != 2 {
		r.At(&f.Sprockets, strict.BadValue, "a chain runs around two sprockets; %d are given", len(f.Sprockets))
		return nil, m
	}
	for i := range f.Sprockets {
		r.diameter(&f.Sprockets[i].Diameter)
		c.Sprockets[i] = Sprocket{At: r.at3(&f.Sprockets[i].At), Diameter: float64(f.Sprockets[i].Diameter)}
	}
	if !r.Sound(&f.Sprockets) || !r.known(&f.Sprockets[0].At, &f.Sprockets[1].At) {
		return nil, m
	}
	if c.Sprockets[0].At.Y != c.Sprockets[1].At.Y {
		r.At(&f.Sprockets[1].At, strict.BadValue, "a chain runs straight: both sprockets have the same y")
	}
	moving := Moving{Motion: m, Chain: c}
	for _, at := range []float64{m.Range.Lo, m.Range.Center(), m.Range.Hi, 0} {
		if s := moving.sprockets(at); s[0].Sub(s[1]).Norm() <= (c.Sprockets[0].Diameter+c.Sprockets[1].Diameter)/2 {
			r.At(&f.Sprockets[1], strict.BadValue, "the two sprockets overlap: they are as near as their radii together, or nearer")
			return nil, m
		}
	}
	return c, m
}

// follows is the movement of the part that a chain moves with; it stays where none is named.
func (r *reader) follows(f *chainFile, before []Moving) geom.Motion {
	stays := geom.Motion{Turns: true, Along: crossAxis}
	if f.With == nil {
		return stays
	}
	for _, m := range before {
		switch {
		case m.Name != string(*f.With):
		case m.Chain != nil || !m.Motion.Turns || !m.Motion.Flat():
			r.At(f.With, strict.BadValue, "a chain follows a part that turns about an axis straight across, and %s does not", m.Name)
			return stays
		default:
			return m.Motion
		}
	}
	r.At(f.With, strict.BadValue, "no part that moves before this one has this name")
	return stays
}
