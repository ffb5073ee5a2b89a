// Package detour finds where a rail that comes off for good can be led instead: between the same
// two ends, around the boxes, with as few bends as can be and then as short as can be. It knows
// nothing of strength.
//
//	detour.go  the way, and what it has to stay clear of
//	search.go  looking for one bend, then for two
package detour

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// clear is how far in mm a way stays from what else is there: rails, keep-outs, the rack (our own
// choice).
const clear = 3.0

// Way is straight pieces of tube from one end of a rail to the other, by its middle line.
type Way struct {
	Rail     string
	Diameter float64
	Points   []r3.Vector
}

// Pieces are the lengths of the pieces in mm, along the middle line.
func (w Way) Pieces() []float64 {
	var all []float64
	for i, p := range w.Points[1:] {
		all = append(all, p.Sub(w.Points[i]).Norm())
	}
	return all
}

// Length is that of all pieces in mm.
func (w Way) Length() float64 {
	sum := 0.0
	for _, l := range w.Pieces() {
		sum += l
	}
	return sum
}

// Bends are by how much each piece turns against the one before, in degrees.
func (w Way) Bends() []float64 {
	var all []float64
	for i := 1; i+1 < len(w.Points); i++ {
		a, b := w.Points[i].Sub(w.Points[i-1]), w.Points[i+1].Sub(w.Points[i])
		all = append(all, a.Angle(b).Degrees())
	}
	return all
}

// Off is how far a point of the way is beside the straight line between the ends, and how far
// along that from the first one, both in mm.
func (w Way) Off(i int) (beside r3.Vector, along float64) {
	a, b := w.Points[0], w.Points[len(w.Points)-1]
	line := b.Sub(a).Normalize()
	from := w.Points[i].Sub(a)
	along = from.Dot(line)
	return from.Sub(line.Mul(along)), along
}

// need is a solid, with the corners of the block around it, and how far the tube's surface has to
// stay from it.
type need struct {
	solid     geom.Solid
	gap       float64
	low, high r3.Vector
}

func (s *search) add(solid geom.Solid, gap float64) {
	low, high := geom.Bounds(solid)
	s.needs = append(s.needs, need{solid, gap, low, high})
}

// apart tells whether the block around a stretch of tube is farther off than the gap.
func (n need) apart(a, b r3.Vector, radius float64) bool {
	return apart(a.X, b.X, n.low.X, n.high.X, radius+n.gap) || apart(a.Y, b.Y, n.low.Y, n.high.Y, radius+n.gap) || apart(a.Z, b.Z, n.low.Z, n.high.Z, radius+n.gap)
}

func apart(a, b, low, high, by float64) bool { return max(a, b)+by <= low || min(a, b)-by >= high }

// Around finds a way for a rail of the frame as it was. The problem has the frame without it, and
// others are solids that it has to go round besides, such as a rack. The error says that there is
// no way with two bends.
func Around(p pack.Problem, l pack.Layout, rail frame.Rail, others []geom.Solid) (Way, error) {
	s := search{from: rail.Path[0], to: rail.Path[len(rail.Path)-1], radius: rail.Diameter / 2}
	if s.to.Sub(s.from).Norm() < 10 {
		return Way{}, fmt.Errorf("%s is a loop: there are no two ends to join", rail.Name)
	}
	if err := s.boxes(p, l, rail); err != nil {
		return Way{}, err
	}
	s.frame(p, rail)
	for _, o := range others {
		s.add(o, clear)
	}
	points, ok := s.run()
	if !ok {
		return Way{}, fmt.Errorf("no way with two bends leads from one end of %s to the other past the boxes, within %.0f mm of where it was", rail.Name, farthest)
	}
	return Way{rail.Name, rail.Diameter, points}, nil
}

// boxes adds the boxes and their posts, with the gaps that a rail of metal has to them.
func (s *search) boxes(p pack.Problem, l pack.Layout, rail frame.Rail) error {
	as := frame.Obstacle{Kind: frame.RailTube, Metal: true, Gap: rail.Gap}
	for _, at := range l.Placements {
		box, err := p.Bodies(at)
		if err != nil {
			return err
		}
		s.add(box.Case, p.Pack.Gaps.ToObstacle(as, false).Required)
		for _, post := range box.Posts {
			s.add(post, p.Pack.Gaps.ToObstacle(as, true).Required)
		}
	}
	return nil
}

// frame adds what else is there: but for the sides of the opening, beyond which rails are, and for
// what the rail was joined to.
func (s *search) frame(p pack.Problem, rail frame.Rail) {
	for _, o := range p.Frame.Obstacles(0) {
		if o.Kind == frame.Side || o.Kind == frame.Width {
			continue
		}
		joined := false
		for i, end := range rail.Path[1:] {
			old := geom.Tube{From: rail.Path[i], To: end, Radius: s.radius}
			joined = joined || geom.Distance(old, o.Solid) < 1
		}
		if !joined {
			s.add(o.Solid, clear)
		}
	}
}

// free tells whether the pieces through points keep all gaps.
func (s *search) free(points ...r3.Vector) bool {
	for i, to := range points[1:] {
		if to.Sub(points[i]).Norm() < 1 {
			return false
		}
		tube := geom.Tube{From: points[i], To: to, Radius: s.radius}
		for _, n := range s.needs {
			if !n.apart(points[i], to, s.radius) && geom.Distance(tube, n.solid) < n.gap {
				return false
			}
		}
	}
	return true
}

// length is that of the pieces through points.
func length(points []r3.Vector) float64 {
	sum := 0.0
	for i, to := range points[1:] {
		sum += to.Sub(points[i]).Norm()
	}
	return sum
}

// round is how far beyond the corner of a bend a tube that is bent in a curve stays on its inner
// side: it passes nearer to what it goes round by so much.
func round(radius, degrees float64) float64 {
	return radius * (1/math.Cos(degrees*math.Pi/360) - 1)
}

// Nearer is by how much a tube bent in a curve of a radius passes nearer to the boxes at a bend
// than one cut and joined at its corner.
func (w Way) Nearer(bend int, radius float64) float64 { return round(radius, w.Bends()[bend]) }
