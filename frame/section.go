package frame

import (
	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"rackwright/frame/strict"
	"rackwright/geom"
)

// Section is a front-view outline, not always convex, swept along the vehicle: as far as Along,
// or, with a side-view outline, what both outlines have in common, such as a tank with a tunnel
// underneath.
type Section struct {
	Across geom.Polygon // corners [y, z]
	Along  r1.Interval  // x, where there is no Side
	Side   *geom.Polygon
}

// MaxSolids is how many convex solids a keep-out with a section may be cut into.
const MaxSolids = 64

// section reads a cross-section with what it goes with; nil where that has errors.
func (r *reader) section(f *keepOutFile) Shape {
	if !r.Given(&f.Section) {
		r.At(&f.Along, strict.MissingKey, "along goes with section")
		return nil
	}
	if r.Given(&f.Across) || f.Box != nil || f.Round != nil || r.Given(&f.Along) == r.Given(&f.Outline) {
		r.At(f, strict.BadValue, "a section goes with exactly one of: along (from where to where it is swept), outline (the same thing from the side)")
		return nil
	}
	points := make([]r2.Point, len(f.Section))
	for i, p := range f.Section {
		points[i] = r2.Point{X: p[0], Y: p[1]}
	}
	across, ok := r.polygon(&f.Section, points, func(i int) any { return &f.Section[i] })
	s := Section{Across: across}
	if f.Along != nil {
		s.Along = r1.Interval{Lo: f.Along[0], Hi: f.Along[1]}
		if ok && s.Along.Length() < MinLength {
			r.At(f.Along, strict.BadValue, "along is [rear, front]: front has to be more than rear, for x counts forward")
		}
		return s
	}
	side, also := r.outline(&f.Outline, f.Outline)
	s.Side = &side
	if !ok || !also {
		return nil
	}
	switch n := len(s.Solids(0)); {
	case n == 0:
		r.At(&f.Section, strict.BadValue, "the section and the outline have no height in common")
	case n > MaxSolids:
		r.At(&f.Section, strict.OutOfRange, "the section and the outline together take %d convex solids, of at most %d: draw them with fewer corners", n, MaxSolids)
	}
	return s
}

// Solids implements Shape: the convex pieces of the section swept along, or what each has in
// common with each of the side view.
func (s Section) Solids(nearer float64) []geom.Solid {
	var all []geom.Solid
	for _, piece := range s.Across.ConvexPieces() {
		if s.Side == nil {
			all = append(all, geom.Prism{Profile: grown(piece, nearer), View: geom.FrontView, Depth: s.Along.Expanded(nearer)})
			continue
		}
		for _, p := range s.common(piece) {
			all = append(all, p.Grown(nearer))
		}
	}
	return all
}

// common is what a convex piece of the section has in common with each of the side view.
func (s Section) common(piece geom.Polygon) []geom.Polyhedron {
	b, along := piece.Bounds(), s.Side.Bounds().X
	rod := geom.PolyhedronFromPrism(geom.Prism{Profile: piece, View: geom.FrontView, Depth: along})
	var all []geom.Polyhedron
	for _, flat := range s.Side.ConvexPieces() {
		slab := geom.PolyhedronFromPrism(geom.Prism{Profile: flat, View: geom.SideView, Depth: b.X})
		if p := rod.Clipped(slab.Planes()...); !p.IsSliver() {
			all = append(all, p)
		}
	}
	return all
}

// Surface implements Shape; it has none.
func (s Section) Surface() (Profile, bool) { return Profile{}, false }

// core implements Shape: it is not notched.
func (s Section) core(float64) []Shape { return nil }

func (s Section) in(k KeepOut) KeepOut {
	k.Section = &s
	return k
}

// mirrored is the mirror image, and whether that is something else.
func (s Section) mirrored() (Section, bool) {
	corners := s.Across.Corners
	n := len(corners)
	flipped := make([]r2.Point, n)
	for i, c := range corners {
		flipped[n-1-i] = r2.Point{X: 0 - c.X, Y: c.Y}
	}
	other := s
	other.Across = geom.Polygon{Corners: flipped}
	for from := range n {
		same := true
		for i := range n {
			same = same && flipped[(from+i)%n] == corners[i]
		}
		if same {
			return other, false
		}
	}
	return other, true
}
