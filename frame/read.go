package frame

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame/strict"
	"rackwright/geom"
)

// Limits of a frame file. They are far above what a vehicle has, and keep every table
// and every picture of a manageable size. Those of every file are in package strict
// (MaxSize and MaxDepth of the file, MaxLength of coordinates, MaxName of names), those
// of packs in package pack.
const (
	MaxCorners  = 64 // of an outline
	MaxStations = 32
	MaxRails    = 64
	MaxPath     = 32 // points of a rail
	MaxKeepOuts = 64
	MaxMoving   = 12
	MaxParts    = 8   // of one that moves
	MaxPieces   = 128 // convex ones of all that move
	MaxMounts   = 64
	MaxGap      = 1000 // mm, required or tolerated, and of a trim
	MaxDiameter = 4000 // mm
	// MinLength in millimetres is the least size of a solid, distance of two points of
	// a path and of two stations: a hundredth of what anyone measures.
	MinLength = 0.01
)

// Read reads a frame file. name stands for the file in messages. Errors about the
// file's content are strict.Errors: all that is wrong, each with its place.
func Read(r io.Reader, name string) (*Frame, error) { return read(r, name, false) }

// ReadRough reads a frame file whose marks need not be fixed by what is taped yet, as long as
// the file says about where each is: to plan what to tape.
func ReadRough(r io.Reader, name string) (*Frame, error) { return read(r, name, true) }

func read(r io.Reader, name string, rough bool) (*Frame, error) {
	var file frameFile
	var f *Frame
	err := strict.Read(name, r, &file, func(d *strict.Decoder) {
		f = (&reader{Decoder: d, file: &file, marks: marks{rough: rough}}).frame()
		f.Hash = d.Hash
	})
	if err != nil {
		return nil, err
	}
	return f, nil
}

// reader checks a decoded file and builds the Frame.
type reader struct {
	*strict.Decoder
	file  *frameFile
	names map[string]string // what a name is used for
	marks marks
	told  map[any]bool // points that were told to be wrong
}

func (r *reader) frame() *Frame {
	r.names = map[string]string{}
	f := r.file
	if f.Format != 1 {
		r.At(&f.Format, strict.OutOfRange, "this program reads format 1")
	}
	if f.Units != "" {
		if _, err := geom.ParseUnit(f.Units); err != nil {
			r.At(&f.Units, strict.BadValue, "%s", err)
		}
	}
	r.between(&f.Accuracy, float64(f.Accuracy), 0, MaxGap, "an accuracy")
	r.readSurvey()
	return &Frame{
		Name: string(f.Frame), Unit: r.Unit, Accuracy: float64(f.Accuracy),
		Opening: r.opening(&f.Opening), Rails: r.rails(), KeepOuts: r.keepOuts(), Moving: r.moving(), Mounts: r.mounts(),
		Vehicle: r.vehicle(), Ground: r.ground(), Number: r.number(), Survey: r.marks.survey,
	}
}

// between checks that a number is within lo and hi.
func (r *reader) between(at any, v, lo, hi float64, what string) {
	if v < lo || v > hi {
		r.At(at, strict.OutOfRange, "%s is from %g to %g mm, not %g", what, lo, hi, v)
	}
}

func (r *reader) diameter(d *strict.Length) {
	r.between(d, float64(*d), MinLength, MaxDiameter, "a diameter")
}

func (r *reader) gap(g *strict.Length) *float64 {
	if g == nil {
		return nil
	}
	r.between(g, float64(*g), 0, MaxGap, "a gap")
	v := float64(*g)
	return &v
}

// limit checks how many there are of something.
func (r *reader) limit(at any, n, most int, what string) bool {
	if n > most {
		r.At(at, strict.TooLarge, "%d %s are more than the %d that are allowed", n, what, most)
	}
	return n <= most
}

// claim reserves the names of a thing: no two rails, keep-outs or mounts share one. A
// side of the opening may be called as the rail that stands there.
func (r *reader) claim(at any, use string, names ...string) {
	for _, name := range names {
		if other, taken := r.names[name]; taken {
			r.At(at, strict.BadName, "the name %q is used already, for %s; give it another", name, other)
			return
		}
	}
	if !r.Sound(at) {
		return
	}
	for _, name := range names {
		r.names[name] = use
	}
}

func (r *reader) opening(o *openingFile) Opening {
	out := Opening{Metal: o.Metal == nil || *o.Metal, Stations: r.stations(o)}
	polygon, ok := r.outline(&o.Outline, o.Outline)
	if !ok {
		return out
	}
	out.Outline = polygon
	given := r.sideNames(o, len(polygon.Corners))
	out.Sides = given
	if given == nil {
		out.Sides = madeNames(polygon)
	}
	marks, accuracies := r.ofOutline(o)
	if second, _ := r.place2(&o.Outline[1]); polygon.Corners[1] != second {
		out.Clockwise = true
		slices.Reverse(out.Sides) // the first corner stays, so the first side becomes the last
		slices.Reverse(accuracies)
		slices.Reverse(marks[1:])
	}
	out.Accuracies = r.sideAccuracies(polygon.Corners, marks, accuracies)
	out.Open = make([]bool, len(out.Sides))
	if given != nil || !r.Given(&o.Sides) {
		r.open(o, out)
	}
	return out
}

// open marks the sides that are open.
func (r *reader) open(o *openingFile, out Opening) {
	for i := range o.Open {
		k := slices.Index(out.Sides, string(o.Open[i]))
		switch {
		case k < 0:
			r.At(&o.Open[i], strict.BadValue, "no side has this name; sides are %s", strings.Join(out.Sides, ", "))
		case out.Open[k]:
			r.At(&o.Open[i], strict.BadName, "this side stands here already")
		default:
			out.Open[k] = true
		}
	}
}

// outline makes a polygon of corners.
func (r *reader) outline(at any, corners []strict.Place2) (geom.Polygon, bool) {
	if !r.Sound(at) || !r.limit(at, len(corners), MaxCorners, "corners") {
		return geom.Polygon{}, false
	}
	points := make([]r2.Point, len(corners))
	known := true
	for i := range corners {
		var ok bool
		points[i], ok = r.place2(&corners[i])
		known = known && ok
	}
	if !known {
		return geom.Polygon{}, false
	}
	return r.polygon(at, points, func(i int) any { return &corners[i] })
}

// polygon makes a polygon of corners, of which corner says where each is in the file.
func (r *reader) polygon(at any, points []r2.Point, corner func(i int) any) (geom.Polygon, bool) {
	if !r.Sound(at) || !r.limit(at, len(points), MaxCorners, "corners") {
		return geom.Polygon{}, false
	}
	p, err := geom.PolygonFromCorners(points)
	if err == nil {
		return p, true
	}
	var bad *geom.PolygonError
	if errors.As(err, &bad) && bad.Corner >= 0 && bad.Corner < len(points) {
		r.At(corner(bad.Corner), strict.BadValue, "%s", err)
	} else {
		r.At(at, strict.BadValue, "%s", err)
	}
	return geom.Polygon{}, false
}

func (r *reader) sideNames(o *openingFile, sides int) []string {
	if !r.Given(&o.Sides) || !r.Sound(&o.Sides) {
		return nil
	}
	if len(o.Sides) != sides {
		r.At(&o.Sides, strict.BadValue, "the outline has %d sides, but here are %d names", sides, len(o.Sides))
		return nil
	}
	names := make([]string, sides)
	for i, s := range o.Sides {
		names[i] = string(s.Of.Name)
		if slices.Contains(names[:i], names[i]) {
			r.At(&o.Sides[i], strict.BadName, "another side has this name")
		}
	}
	return names
}

// ofOutline are the marks that corners stand on, and the accuracies that sides are given.
func (r *reader) ofOutline(o *openingFile) (marks []int, accuracies []*float64) {
	accuracies = make([]*float64, len(o.Outline))
	for i := range o.Outline {
		marks = append(marks, r.markOf(o.Outline[i].Mark))
		if i < len(o.Sides) {
			accuracies[i] = r.accuracy(o.Sides[i].Of.Accuracy)
		}
	}
	return marks, accuracies
}

// madeNames numbers the sides of an outline without names, in the order of a walk
// round it with the free space to the left.
func madeNames(p geom.Polygon) []string {
	names := make([]string, len(p.Corners))
	for i := range names {
		names[i] = fmt.Sprintf("side %d", i+1)
	}
	return names
}

func (r *reader) stations(o *openingFile) []Station {
	across, stations := r.Given(&o.Across), r.Given(&o.Stations)
	switch {
	case !across && !stations:
		r.At(o, strict.MissingKey, "the opening needs its width: across, or stations")
		return nil
	case across && stations:
		r.At(&o.Across, strict.BadValue, "give either across or stations, not both")
		return nil
	case across && o.Across != nil:
		return []Station{{Across: interval(*o.Across)}}
	case len(o.Stations) == 0:
		r.At(&o.Stations, strict.BadValue, "there has to be at least one station")
	}
	r.limit(&o.Stations, len(o.Stations), MaxStations, "stations")
	var all []Station
	for i := range o.Stations {
		s := &o.Stations[i]
		if i > 0 && s.Z-o.Stations[i-1].Z < MinLength && r.Sound(&o.Stations[i-1].Z) {
			r.At(&s.Z, strict.BadValue, "stations go upwards: this one is not above the one before")
		}
		all = append(all, Station{Z: float64(s.Z), Across: interval(s.Across)})
	}
	return all
}

func interval(a strict.Across) r1.Interval { return r1.Interval{Lo: a.Right, Hi: a.Left} }

func vector(p strict.Point3) r3.Vector { return r3.Vector{X: p[0], Y: p[1], Z: p[2]} }

func (r *reader) rails() []Rail {
	rails := r.file.Rails
	r.limit(&r.file.Rails, len(rails), MaxRails, "rails")
	var all []Rail
	for i := range rails {
		all = append(all, r.rail(&rails[i]))
	}
	return all
}

func (r *reader) rail(f *railFile) Rail {
	r.diameter(&f.Diameter)
	if len(f.Path) < 2 {
		r.At(&f.Path, strict.BadValue, "a rail needs at least two points")
	}
	r.limit(&f.Path, len(f.Path), MaxPath, "points")
	out := Rail{
		Name: string(f.Name), Diameter: float64(f.Diameter), Mirror: f.Mirror,
		Removable: f.Removable, Gap: r.gap(f.Gap), Clamps: f.Clamps,
	}
	for i := range f.Path {
		if i > 0 && r.near(&f.Path[i], &f.Path[i-1]) && r.Sound(&f.Path[i-1]) {
			r.At(&f.Path[i], strict.BadValue, "this point is the same as the one before: the rail has no length here")
		}
		out.Path = append(out.Path, r.at3(&f.Path[i]))
	}
	var on OnMarks
	out.Accuracy, on = r.ownOrMarks(r.accuracy(f.Accuracy), r.pathOnMarks(f.Path, out.Path))
	if s := r.marks.survey; s != nil {
		s.Rails = append(s.Rails, on)
	}
	r.claim(&f.Name, "a rail", out.names()...)
	return out
}

// names are what the rail is called: its own name and, where it has a mirror image,
// those of the two.
func (r Rail) names() []string {
	names := []string{r.Name}
	if len(r.sides()) > 1 {
		names = append(names, r.nameOf(false), r.nameOf(true))
	}
	return names
}

// near tells whether two points of known place are closer than MinLength.
func (r *reader) near(a, b *strict.Place3) bool {
	p, known := r.place3(a)
	q, also := r.place3(b)
	return known && also && p.Distance(q) < MinLength
}

func (r *reader) keepOuts() []KeepOut {
	files := r.file.KeepOuts
	r.limit(&r.file.KeepOuts, len(files), MaxKeepOuts, "keep-outs")
	var all []KeepOut
	for i := range files {
		all = append(all, r.mirrorOf(&files[i], r.keepOut(&files[i]))...)
	}
	if len(files) <= MaxKeepOuts { // else it has been said
		r.limit(&r.file.KeepOuts, len(all), MaxKeepOuts, "keep-outs, with their mirror images")
	}
	return all
}

func (r *reader) keepOut(f *keepOutFile) KeepOut {
	r.claim(&f.Name, "a keep-out", string(f.Name))
	out := KeepOut{
		Name: string(f.Name), Metal: f.Metal == nil || *f.Metal, LiftsOff: f.LiftsOff,
		Trim: float64(f.Trim), Gap: r.gap(f.Gap), Mass: float64(f.Mass), Hangs: r.hangs(f),
	}
	r.between(&f.Trim, float64(f.Trim), 0, MaxGap, "a trim")
	if shape := r.keepOutShape(f); shape != nil {
		out = out.withShape(shape)
	}
	var on OnMarks
	out.Accuracy, on = r.ownOrMarks(r.accuracy(f.Accuracy), r.shapeOnMarks(&f.shapeFile))
	if s := r.marks.survey; s != nil {
		s.KeepOuts = append(s.KeepOuts, on)
	}
	r.trim(f, out)
	return out
}

func (r *reader) keepOutShape(f *keepOutFile) Shape {
	if r.Given(&f.Section) || r.Given(&f.Along) {
		return r.section(f)
	}
	return r.shape(f, &f.shapeFile, "a keep-out")
}

// trim refuses a notch that would cut through.
func (r *reader) trim(f *keepOutFile, k KeepOut) {
	if !(k.Trim > 0 && k.Trim <= MaxGap) || !r.Sound(f) || k.Shape() == nil {
		return
	}
	if k.Section != nil {
		r.At(&f.Trim, strict.BadValue, "a keep-out with a section is not notched: write the part that may be cut as a keep-out of its own, with outline and across, box or round")
		return
	}
	if t := k.Thickness(); k.Trim >= t/2 {
		r.At(&f.Trim, strict.OutOfRange, "a notch %g mm deep would cut through, for the keep-out is only %g mm thick; a trim here has to be less than %g", k.Trim, t, t/2)
	}
}
