package pack

import (
	"io"
	"math"
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/frame"
	"rackwright/frame/strict"
	"rackwright/geom"
)

// Limits of a pack file. Those of every file are in package strict, those of frames in
// package frame; MaxRelations limits what both are together.
const (
	MaxBoxes = 64 // of all kinds together
	MaxKinds = MaxBoxes
	MaxPosts = 12   // of a kind
	MaxTilts = 10   // of a kind
	MaxSize  = 4000 // mm, of a box
	MaxGap   = 1000 // mm, required or tolerated
	MaxTilt  = 60   // degrees either way: beyond it another stand is meant
	MaxVolts = 2000 // and ampere hours
)

// Read reads a pack file. name stands for the file in messages. Errors about the
// file's content are strict.Errors: all that is wrong, each with its place.
func Read(r io.Reader, name string) (*Pack, error) {
	var file packFile
	var p *Pack
	err := strict.Read(name, r, &file, func(d *strict.Decoder) {
		p = (&reader{Decoder: d, file: &file}).pack()
		p.Hash = d.Hash
	})
	if err != nil {
		return nil, err
	}
	return p, nil
}

// reader checks a decoded file and builds the Pack.
type reader struct {
	*strict.Decoder
	file *packFile
}

func (r *reader) pack() *Pack {
	f := r.file
	if f.Format != 1 {
		r.At(&f.Format, strict.OutOfRange, "this program reads format 1")
	}
	if f.Units != "" {
		if _, err := geom.ParseUnit(f.Units); err != nil {
			r.At(&f.Units, strict.BadValue, "%s", err)
		}
	}
	p := &Pack{Name: string(f.Pack), Unit: r.Unit, NoUnit: f.Units == "", Gaps: r.gaps(&f.Gaps, DefaultGaps())}
	if f.GapsFloor != nil {
		floor := r.gaps(f.GapsFloor, p.Gaps)
		if r.Sound(f.GapsFloor) && (f.Gaps == gapsFile{} || r.Sound(&f.Gaps)) {
			r.floor(f.GapsFloor, floor, p.Gaps)
		}
		p.Floor = &floor
	}
	p.Kinds, p.Wiring = r.kinds(), r.wiring()
	r.wired(p)
	return p
}

// gapFields pairs every gap of the file with its place in Gaps.
func (f *gapsFile) fields(g *Gaps) map[*float64]*strict.Length {
	return map[*float64]*strict.Length{
		&g.Beside: f.Beside, &g.Above: f.Above, &g.Wall: f.Wall, &g.Rail: f.Rail,
		&g.KeepOut: f.KeepOut, &g.Post: f.Post, &g.Boot: f.Boot, &g.Entry: f.Entry, &g.Tray: f.Tray, &g.Bar: f.Bar,
	}
}

// gaps are those of the file, and of base where it gives none.
func (r *reader) gaps(f *gapsFile, base Gaps) Gaps {
	for to, from := range f.fields(&base) {
		if from == nil {
			continue
		}
		r.between(from, float64(*from), 0, MaxGap, "a gap in mm")
		*to = float64(*from)
	}
	return base
}

func (r *reader) floor(f *gapsFile, floor, gaps Gaps) {
	given := f.fields(&floor)
	for i, g := range gaps.list() {
		if at := floor.list()[i]; *at > *g {
			r.At(given[at], strict.OutOfRange, "the floor of a gap cannot be more than the gap, which is %g mm", *g)
		}
	}
}

func (g *Gaps) list() []*float64 {
	return []*float64{&g.Beside, &g.Above, &g.Wall, &g.Rail, &g.KeepOut, &g.Post, &g.Boot, &g.Entry, &g.Tray, &g.Bar}
}

// between checks that a number is within lo and hi.
func (r *reader) between(at any, v, lo, hi float64, what string) {
	if v < lo || v > hi {
		r.At(at, strict.OutOfRange, "%s is from %g to %g, not %g", what, lo, hi, v)
	}
}

func (r *reader) kinds() []Kind {
	f := r.file
	if len(f.Boxes) == 0 {
		r.At(&f.Boxes, strict.BadValue, "a pack needs at least one box")
	}
	if len(f.Boxes) > MaxKinds {
		r.At(&f.Boxes, strict.TooLarge, "%d kinds of boxes are more than the %d that are allowed", len(f.Boxes), MaxKinds)
		return nil
	}
	var kinds []Kind
	total := 0
	for i := range f.Boxes {
		k := r.kind(&f.Boxes[i])
		if slices.ContainsFunc(kinds, func(o Kind) bool { return o.Name == k.Name }) {
			r.At(&f.Boxes[i].Name, strict.BadName, "another kind of box has this name")
		}
		if k.Count <= MaxBoxes { // more has been refused already
			total += k.Count
		}
		kinds = append(kinds, k)
	}
	if total > MaxBoxes {
		r.At(&f.Boxes, strict.TooLarge, "%d boxes in all are more than the %d that are allowed", total, MaxBoxes)
	}
	return kinds
}

func (r *reader) kind(f *kindFile) Kind {
	k := Kind{
		Name: string(f.Name), Count: 1, Size: r3.Vector{X: f.Size[0], Y: f.Size[1], Z: f.Size[2]},
		Accuracy: float64(f.Accuracy), Swell: float64(f.Swell), Mass: float64(f.Mass),
		Volts: f.Volts, AmpHours: f.AmpHours, ChargeVolts: f.ChargeVolts,
	}
	if f.Count != nil {
		k.Count = *f.Count
		r.between(f.Count, float64(k.Count), 1, MaxBoxes, "a count")
	}
	for _, v := range f.Size {
		r.between(&f.Size, v, frame.MinLength, MaxSize, "a size in mm")
	}
	r.between(&f.Accuracy, k.Accuracy, 0, MaxGap, "an accuracy in mm")
	r.between(&f.Swell, k.Swell, 0, MaxGap, "a swell in mm")
	r.between(&f.Volts, k.Volts, 0, MaxVolts, "a voltage")
	r.between(&f.ChargeVolts, k.ChargeVolts, 0, MaxVolts, "a voltage")
	r.between(&f.AmpHours, k.AmpHours, 0, MaxVolts, "a capacity")
	k.Stands, k.Tilts = r.stands(f), r.tilts(f)
	k.Flooded = f.Flooded
	if k.Flooded && slices.ContainsFunc(k.Stands, func(s Stand) bool { return s != Upright }) {
		r.At(&f.Stand, strict.BadValue, "a flooded battery spills acid unless it stands upright: allow no other stand, or, for one that its maker says may lie, leave out flooded")
	}
	k.Posts = r.posts(f, k)
	if f.Carries != nil {
		k.Carries = float64(*f.Carries)
	}
	if f.Within != nil {
		k.Within = r.within(f.Within)
		r.holds(f, k)
	}
	return k
}

func (r *reader) stands(f *kindFile) []Stand {
	if !r.Given(&f.Stand) {
		return []Stand{Upright}
	}
	var all []Stand
	for _, word := range f.Stand {
		s, err := ParseStand(word)
		switch {
		case err != nil:
			r.At(&f.Stand, strict.BadValue, "%s", err)
		case slices.Contains(all, s):
			r.At(&f.Stand, strict.BadValue, "%s stands here twice", word)
		default:
			all = append(all, s)
		}
	}
	if len(f.Stand) == 0 {
		r.At(&f.Stand, strict.BadValue, "at least one stand has to be allowed")
	}
	return all
}

func (r *reader) tilts(f *kindFile) []s1.Angle {
	if !r.Given(&f.Tilt) {
		return []s1.Angle{0}
	}
	if len(f.Tilt) == 0 || len(f.Tilt) > MaxTilts {
		r.At(&f.Tilt, strict.BadValue, "there are 1 to %d tilts, not %d", MaxTilts, len(f.Tilt))
		return nil
	}
	var all []s1.Angle
	for _, degrees := range f.Tilt {
		a := s1.Angle(degrees) * s1.Degree
		switch {
		case math.Abs(degrees) > MaxTilt:
			r.At(&f.Tilt, strict.OutOfRange, "a tilt is within ±%d degrees, not %g: beyond it another stand is meant", MaxTilt, degrees)
		case slices.Contains(all, a):
			r.At(&f.Tilt, strict.BadValue, "%g stands here twice", degrees)
		default:
			all = append(all, a)
		}
	}
	return all
}

func (r *reader) posts(f *kindFile, k Kind) []Post {
	if len(f.Posts) > MaxPosts {
		r.At(&f.Posts, strict.TooLarge, "%d posts are more than the %d that are allowed", len(f.Posts), MaxPosts)
		return nil
	}
	var all []Post
	for i := range f.Posts {
		p := r.post(&f.Posts[i], k)
		if slices.ContainsFunc(all, func(o Post) bool { return o.Name == p.Name }) {
			r.At(&f.Posts[i].Name, strict.BadName, "another post of this box has this name")
		}
		all = append(all, p)
	}
	return all
}

func (r *reader) post(f *postFile, k Kind) Post {
	p := Post{
		Name: string(f.Name), At: r2.Point{X: f.At[0], Y: f.At[1]},
		Diameter: float64(f.Diameter), Height: float64(f.Height), Polarity: f.Polarity,
		Unused: f.Unused, JoinedFirst: f.JoinedFirst, Bolt: string(f.Bolt),
		Line: r.Line(f),
	}
	face, err := ParseFace(f.Face)
	if err != nil {
		r.At(&f.Face, strict.BadValue, "%s", err)
		return p
	}
	p.Face = face
	r.between(&f.Diameter, p.Diameter, frame.MinLength, MaxSize, "the diameter of a post in mm")
	r.between(&f.Height, p.Height, 0, MaxGap, "the height of a post in mm")
	if f.Polarity != "" && f.Polarity != "+" && f.Polarity != "-" {
		r.At(&f.Polarity, strict.BadValue, `a polarity is "+" or "-"`)
	}
	if !r.Sound(&f.Diameter) || !sized(k.Size) {
		return p // no telling where its edge and the face's are
	}
	if u, v := faceSize(k.Size, face); outside(p.At.X, p.Diameter, u) || outside(p.At.Y, p.Diameter, v) {
		r.At(&f.At, strict.OutOfRange, "the post is not within the %s face, which is %g by %g mm", face, u, v)
	}
	return p
}

// sized tells whether all sizes of a box could be read.
func sized(size r3.Vector) bool { return size.X > 0 && size.Y > 0 && size.Z > 0 }

// faceSize returns the two sizes of a face, in the order L, W, H.
func faceSize(size r3.Vector, f Face) (u, v float64) {
	switch f.Axis() {
	case 0:
		return size.Y, size.Z
	case 1:
		return size.X, size.Z
	default:
		return size.X, size.Y
	}
}

// outside tells whether a post reaches beyond 0 or size. A few billionths of a
// millimetre are what a conversion from inches may add.
func outside(at, diameter, size float64) bool {
	return at-diameter/2 < -geom.Tolerance || at+diameter/2 > size+geom.Tolerance
}
