package page

import (
	"math"
	"reflect"
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/export/view"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// extent is the low and the high corner of the opening.
func extent(o frame.Opening) (low, high r3.Vector) {
	b, across := o.Outline.Bounds(), o.Widest()
	return geom.SideView.Point(b.Lo(), across.Lo), geom.SideView.Point(b.Hi(), across.Hi)
}

// heights are where the width may change between two heights, from a to b.
func heights(o frame.Opening, a, b float64) []float64 {
	list := []float64{a}
	for i := range o.Stations {
		z := o.Stations[i].Z
		if b < a {
			z = o.Stations[len(o.Stations)-1-i].Z
		}
		if z > min(a, b) && z < max(a, b) {
			list = append(list, z)
		}
	}
	return append(list, b)
}

// rims draws each side of the opening at its right and left limit, and across at its
// first corner.
func rims(o frame.Opening) []sceneRim {
	var all []sceneRim
	for i, a := range o.Outline.Corners {
		b := o.Outline.Corners[(i+1)%len(o.Outline.Corners)]
		var right, left []point
		for _, q := range along(o, a, b) {
			in := o.AcrossAt(q.Y)
			right = append(right, pointOf(geom.SideView.Point(q, in.Lo)))
			left = append(left, pointOf(geom.SideView.Point(q, in.Hi)))
		}
		all = append(all, sceneRim{o.SideOpen(i), [][]point{right, left}}, sceneRim{false, [][]point{{right[0], left[0]}}})
	}
	return all
}

// along is the side from a to b with the points where the width changes.
func along(o frame.Opening, a, b r2.Point) []r2.Point {
	if a.Y == b.Y {
		return []r2.Point{a, b}
	}
	var all []r2.Point
	for _, z := range heights(o, a.Y, b.Y) {
		all = append(all, r2.Point{X: a.X + (b.X-a.X)*(z-a.Y)/(b.Y-a.Y), Y: z})
	}
	return all
}

// allSolids are the rails and keep-outs of the frame and of what concessions make of it,
// each once, with the layouts that it is in where it is not in all.
func allSolids(in Input) []sceneSolid {
	all := solids(in.Problem.Frame, in.Problem.Pack.Gaps)
	of := make([][]int, len(all))
	for n, l := range in.Layouts {
		for _, s := range solids(l.Framed(in.Problem).Frame, in.Problem.Pack.Gaps) {
			i := slices.IndexFunc(all, func(o sceneSolid) bool { return o.Name == s.Name && reflect.DeepEqual(o, s) })
			if i < 0 {
				i, all, of = len(all), append(all, s), append(of, nil)
			}
			of[i] = append(of[i], n)
		}
	}
	kept := []sceneSolid{}
	for i, s := range all {
		if len(in.Layouts) > 0 && len(of[i]) == 0 {
			continue
		}
		if len(of[i]) < len(in.Layouts) {
			s.Layouts = of[i]
		}
		kept = append(kept, s)
	}
	return kept
}

func solids(f *frame.Frame, gaps pack.Gaps) []sceneSolid {
	all := []sceneSolid{}
	profiles := map[int]bool{}
	edges := view.PieceEdges(f)
	for _, o := range f.Obstacles(0) {
		if o.Kind == frame.Moves || o.Kind == frame.Road {
			continue // below
		}
		s := sceneSolid{Name: o.Name, Rail: o.Kind == frame.RailTube, Gap: gaps.KeepOut}
		switch {
		case o.Gap != nil:
			s.Gap = *o.Gap
		case s.Rail:
			s.Gap = gaps.Rail
		}
		bar, isBar := geom.BarOf(o.Solid)
		switch {
		case isBar:
			s.bar(bar.From, bar.To, bar.Radius)
		case o.Kind != frame.KeptOut:
			continue // walls are drawn as rims
		case f.KeepOuts[o.Source].Box != nil:
			low, high := geom.Bounds(o.Solid)
			a, b := pointOf(low), pointOf(high)
			s.Low, s.High = &a, &b
		case f.KeepOuts[o.Source].Profile != nil:
			if profiles[o.Source] {
				continue
			}
			profiles[o.Source] = true // one outline, however many convex pieces it has
			s.profile(f.KeepOuts[o.Source].Profile)
		default:
			s.faces(o.Solid)
		}
		if list, pieces := edges[s.Name]; pieces && !s.Rail {
			s.Piece = true
			for _, e := range list {
				s.Edges = append(s.Edges, [2]point{pointOf(e[0]), pointOf(e[1])})
			}
			edges[s.Name] = nil // the other pieces have none
		}
		all = append(all, s)
	}
	return append(all, movingSolids(f, gaps)...)
}

func (s *sceneSolid) bar(from, to r3.Vector, radius float64) {
	a, b := pointOf(from), pointOf(to)
	s.From, s.To, s.Radius = &a, &b, rounded(radius)
}

// around is how many corners stand for a circle where the page does not draw it round.
const around = 24

// faces draws a solid by its faces, and one around it that is larger by the gap.
func (s *sceneSolid) faces(of geom.Solid) {
	s.Faces, s.Around = facesOf(of), facesOf(geom.PolyhedronOf(of, around).Grown(s.Gap))
}

func facesOf(s geom.Solid) [][]point {
	var faces [][]point
	for _, face := range geom.Surface(s, around) {
		var loop []point
		for _, c := range face.Corners {
			loop = append(loop, pointOf(c))
		}
		faces = append(faces, loop)
	}
	return faces
}

func (s *sceneSolid) profile(p *frame.Profile) {
	for _, c := range p.Outline.Corners {
		s.Outline = append(s.Outline, [2]float64{rounded(c.X), rounded(c.Y)})
	}
	s.Across = &[2]float64{rounded(p.Across.Lo), rounded(p.Across.Hi)}
	for _, piece := range p.Outline.ConvexPieces() {
		var hull [][2]float64
		for _, c := range grown(piece, s.Gap) {
			hull = append(hull, [2]float64{rounded(c.X), rounded(c.Y)})
		}
		s.Hull = append(s.Hull, hull)
	}
}

// grown are the corners of a convex polygon, counter-clockwise, with its sides moved out
// by a gap. A corner that turns by more than a right angle is cut off, at the gap from it.
func grown(p geom.Polygon, gap float64) []r2.Point {
	var all []r2.Point
	n := len(p.Corners)
	for i, c := range p.Corners {
		before, after := c.Sub(p.Corners[(i+n-1)%n]), p.Corners[(i+1)%n].Sub(c)
		turn := math.Atan2(before.Cross(after), before.Dot(after))
		parts := max(1, math.Ceil(turn/(math.Pi/2)-1e-9))
		out := math.Atan2(-before.X, before.Y) // of the side before
		for k := range int(parts) {
			sin, cos := math.Sincos(out + turn*(float64(k)+0.5)/parts)
			all = append(all, c.Add(r2.Point{X: cos, Y: sin}.Mul(gap/math.Cos(turn/parts/2))))
		}
	}
	return all
}
