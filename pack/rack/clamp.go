package rack

import (
	"errors"
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
)

// Clamp is a two-piece pipe clamp of steel on a rail, without rubber, with a nut welded on one half:
// two bands closed by a bolt on either side. The rack is bolted into its nut, as into a mount.
type Clamp struct {
	Name     string
	Rail     string    // with its side, such as cradle left
	At       r3.Vector // on the rail's middle line
	Along    r3.Vector // unit vector along the rail
	Faces    r3.Vector // unit vector from the rail to the face of the nut, square to the rail
	Diameter float64   // of the rail, mm
	Bolt     string    // of its nut, such as M8
}

// Sizes of clamps in mm, and the torque that closes them: our own choices, about those of two-piece
// pipe clamps with a welded nut that are sold for 20 to 60 mm.
const (
	ClampWide   = 25 // along the rail
	ClampBand   = 3  // thickness of the bands
	ClampEar    = 18 // how far ears reach beyond the bands
	ClampHigh   = 12 // how far heads and nuts of the closing bolts reach to either side of the joint
	ClampCloses = "M6"
	// ClampTorque is what closes each of the two bolts, N·m; by T = 0.20 D F that is ClampForce.
	ClampTorque = 6.0
	// ClampForce is what each of the two closing bolts pulls by, N.
	ClampForce = ClampTorque / (0.20 * 0.006)
	// ClampWall is the wall in mm that a rail of steel has at least for that: two bolts press it by
	// ClampForce / (ClampWide · ClampWall) = 133 MPa around, a little more than half of S235's yield.
	ClampWall = 1.5
	// Friction of steel on steel as it is, paint and all: the slip factor of surfaces of class D in
	// EN 1993-1-8 Table 3.7 (second-hand).
	Friction = 0.2
	// slipFactor is γM3 of EN 1993-1-8 3.9.1 (second-hand).
	slipFactor = 1.25
)

// Nut is how far the nut reaches out of the bands, and with that how deep its thread is, mm.
func (c Clamp) Nut() float64 {
	t, _ := ThreadOf(c.Bolt)
	return math.Ceil(1.4 * t.D)
}

// Face is the middle of the nut's face, against which the rack lies.
func (c Clamp) Face() r3.Vector {
	return c.At.Add(c.Faces.Mul(c.Diameter/2 + ClampBand + c.Nut()))
}

// Mount is the clamp as what a rack is bolted to.
func (c Clamp) Mount() frame.Mount {
	return frame.Mount{Name: c.Name, At: c.Face(), Bolt: c.Bolt, Faces: c.Faces, Holds: frame.Thread, Thick: c.Nut()}
}

// across is square to the rail and to where the clamp faces: the ears lie there.
func (c Clamp) across() r3.Vector { return c.Faces.Cross(c.Along) }

// slab is a block of the clamp by its extents: along, across, and out to where it faces.
func (c Clamp) slab(across, from, to float64) geom.Solid {
	return geom.Box{
		Centre: c.At.Add(c.Faces.Mul((from + to) / 2)), Axes: [3]r3.Vector{c.Along, c.across(), c.Faces},
		Half: r3.Vector{X: ClampWide / 2.0, Y: across, Z: (to - from) / 2},
	}
}

// Solids are the clamp as blocks, the rail within them: ears with their bolts, the bands, the nut.
func (c Clamp) Solids() []geom.Solid {
	t, _ := ThreadOf(c.Bolt)
	out, nut := c.Diameter/2+ClampBand, t.Corners()/2
	block := c.slab(nut, out, out+c.Nut()).(geom.Box)
	block.Half.X = nut
	return []geom.Solid{c.slab(out+ClampEar, -ClampHigh, ClampHigh), c.slab(out, -out, out), block}
}

// Half is what of the clamp comes onto the rail from the side that it faces, or from the other.
func (c Clamp) Half(facing bool) []geom.Solid {
	out := c.Diameter/2 + ClampBand
	if facing {
		return []geom.Solid{c.slab(out+ClampEar, 0, ClampHigh), c.slab(out, 0, out+c.Nut())}
	}
	return []geom.Solid{c.slab(out+ClampEar, -ClampHigh, 0), c.slab(out, -out, 0)}
}

// Slip is the force in N by which the clamp slips along its rail or around it, where pull takes it
// off the rail: both halves press by the two bolts' force, one of them by the pull less
// (Fs = n μ Fp / γM3, EN 1993-1-8 3.9.1).
func (c Clamp) Slip(pull float64) float64 {
	return math.Max(0, Friction*(4*ClampForce-pull)/slipFactor)
}

// Tilts is the moment in N mm about an axis square to the rail under which one edge of its bands lifts:
// the two bolts' force at a sixth of its width (the middle third, statics).
func (c Clamp) Tilts() float64 { return 2 * ClampForce * ClampWide / 6 }

// Clamp returns the clamp of a name.
func (r *Rack) Clamp(name string) (Clamp, bool) {
	for _, c := range r.Clamps {
		if c.Name == name {
			return c, true
		}
	}
	return Clamp{}, false
}

// Tube is a straight length of a rail that clamps may hold on to.
type Tube struct {
	Rail     string // with its side
	From, To r3.Vector
	Diameter float64
}

// Along is the direction from From to To.
func (t Tube) Along() r3.Vector { return t.To.Sub(t.From).Normalize() }

// Tubes are the straight lengths of a frame's rails that say clamps, mirror images too. Rails that come
// off carry no clamps.
func Tubes(f *frame.Frame) []Tube {
	var all []Tube
	for _, o := range f.StillObstacles(0) {
		if o.Kind != frame.RailTube || !f.Rails[o.Source].Clamps || o.Removable {
			continue
		}
		if s, ok := o.Solid.(geom.Tube); ok {
			all = append(all, Tube{o.Name, s.From, s.To, 2 * s.Radius})
		}
	}
	return all
}

// errNoMounts is that there is nothing to tie a rack to.
var errNoMounts = errors.New("the frame has no mounts to tie a rack to: add those that are there to the frame file (mounts: name, at, bolt, faces, holds), or say clamps: true of a rail that two-piece clamps may hold on to")

// String says where a clamp sits, for people.
func (c Clamp) String() string {
	return fmt.Sprintf("two-piece pipe clamp of steel for %g mm, no rubber, with a welded nut %s", c.Diameter, c.Bolt)
}
