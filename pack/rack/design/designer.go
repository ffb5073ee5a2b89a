package design

import (
	"errors"
	"fmt"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/rack"
)

// ErrNotStanding is returned for layouts whose boxes do not stand on levels.
var ErrNotStanding = errors.New("boxes of this layout hang in the air")

// ErrManyLevels is returned for layouts on more levels than MostLevels.
var ErrManyLevels = errors.New("this layout has too many levels for a rack")

// MostLevels is how many levels a rack is designed for.
const MostLevels = 4

// designer holds what all tries share.
type designer struct {
	problem  pack.Problem
	settings Settings
	room     *room
	levels   []level
	mounts   []frame.Mount
	why      map[string]int
	failed   string // why the tray that came nearest could not be made
	lack     float64
	tries    int    // racks judged
	doing    string // the section that is not in the stock with which the best rack would hold
}

func newDesigner(p pack.Problem, l pack.Layout, s Settings) (*designer, error) {
	d := &designer{problem: p, settings: s, why: map[string]int{}}
	if len(d.settings.Stock.Angles) == 0 {
		d.settings.Stock = rack.DefaultStock()
	}
	if d.settings.Joints == "" {
		d.settings.Joints = rack.Bolted
	}
	d.room = &room{obstacles: p.Obstacles(), gaps: p.Pack.Gaps}
	for _, o := range d.room.obstacles {
		low, high := geom.Bounds(o.Solid)
		d.room.blocks = append(d.room.blocks, [2]r3.Vector{low, high})
	}
	for _, at := range l.Placements {
		if at.Tilt != 0 {
			return nil, fmt.Errorf("%v is tilted: racks are designed for boxes that stand level; fit again with tilt: [0]", at.Part())
		}
		bodies, err := p.Bodies(at)
		if err != nil {
			return nil, err
		}
		low, high := geom.Bounds(bodies.Case)
		d.room.boxes = append(d.room.boxes, newPlaced(at.Part(), low, high, bodies))
	}
	d.levels = levels(d.room.boxes)
	switch n := len(d.levels); {
	case n > 1 && !pack.StandingOf(p, l).Stands():
		return nil, fmt.Errorf("%w: %d boxes at %d heights; rackwright fit FRAME PACK --levels 2 looks for a layout in which they stand", ErrNotStanding, len(d.room.boxes), n)
	case n > MostLevels:
		return nil, fmt.Errorf("%w: its boxes stand on %d levels, and racks are designed for %d at most; rackwright fit FRAME PACK --rack --levels %d looks for a layout on fewer; undersides within %.3g mm of each other are one level", ErrManyLevels, n, MostLevels, MostLevels, float64(sameLevel))
	}
	if err := untied(p); err != nil {
		return nil, err
	}
	mounts, err := rack.Mounts(p, l)
	d.mounts, d.room.mounts = mounts, mounts
	return d, err
}

// ErrHangs is returned where something hangs on the rack: no tie for it is designed.
var ErrHangs = errors.New("ties for what hangs on the rack are not designed")

// untied names the first thing that hangs on the rack, and how a rack with a tie for it is made.
func untied(p pack.Problem) error {
	for _, k := range p.Frame.KeepOuts {
		if len(k.Hangs) == 0 {
			continue
		}
		h := k.Hangs[0]
		return fmt.Errorf("%w: %s hangs on it by %s at [%g, %g, %g]; take its hangs_on_rack out of a copy of the frame file and design the rack with that; put a bar at the point and a bolt through both into the rack file (joins: the bar and %q); then have it judged with the frame file as it is: rackwright check FRAME PACK LAYOUT --rack FILE", ErrHangs, k.Name, h.Bolt, h.At.X, h.At.Y, h.At.Z, k.Name)
	}
	return nil
}

func newPlaced(part pack.Part, low, high r3.Vector, bodies pack.Bodies) placed {
	b := placed{part: part, name: part.String(), low: low, high: high, posts: bodies.Posts, body: bodies.Case}
	for _, post := range bodies.Posts {
		low, high := geom.Bounds(post)
		b.blocks = append(b.blocks, [2]r3.Vector{low, high})
	}
	return b
}
