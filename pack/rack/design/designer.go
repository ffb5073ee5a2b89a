package design

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

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
	problem  pack.Problem // along the trays, but for what room has
	tilt     s1.Angle     // of the trays
	settings Settings
	room     *room
	levels   []level
	mounts   []frame.Mount
	hung     []hung // what hangs on the rack, by its points
	why      map[string]int
	failed   string // why the tray that came nearest could not be made
	lack     float64
	tries    int    // racks judged
	budget   int    // that may be
	doing    string // the section that is not in the stock with which the best rack would hold
}

func newDesigner(p pack.Problem, l pack.Layout, s Settings) (*designer, error) {
	standing := pack.StandingOf(p, l)
	tilt, err := tiltOf(standing)
	if err != nil {
		return nil, err
	}
	along := rack.AlongTrays(p, l, tilt)
	d := &designer{problem: along.Problem, settings: s, why: map[string]int{}, tilt: tilt, budget: cmp.Or(s.Tries, mostTries)}
	if len(d.settings.Stock.Angles) == 0 {
		d.settings.Stock = rack.DefaultStock()
	}
	if d.settings.Joints == "" {
		d.settings.Joints = rack.Bolted
	}
	d.room = &room{obstacles: along.Obstacles, gaps: p.Pack.Gaps}
	for _, o := range d.room.obstacles {
		low, high := geom.Bounds(o.Solid)
		d.room.blocks = append(d.room.blocks, [2]r3.Vector{low, high})
	}
	for _, at := range along.Layout.Placements {
		bodies, err := p.Bodies(at)
		if err != nil {
			return nil, err
		}
		if !rack.Square(bodies.Case) {
			return nil, fmt.Errorf("%w: %v stands at another than the others", ErrTilts, at.Part())
		}
		low, high := geom.Bounds(bodies.Case)
		b := newPlaced(at.Part(), low, high, bodies)
		if f, ok := standing.Footing(at.Box, at.Number); ok {
			b.on = f.On
		}
		d.room.boxes = append(d.room.boxes, b)
	}
	if d.levels, err = carried(d.room.boxes); err != nil {
		return nil, err
	}
	switch n := len(d.levels); {
	case n > 1 && !standing.Stands():
		return nil, fmt.Errorf("%w: %d boxes at %d heights; rackwright fit FRAME PACK --levels 2 looks for a layout in which they stand", ErrNotStanding, len(d.room.boxes), n)
	case n > MostLevels:
		return nil, fmt.Errorf("%w: its boxes stand on %d levels, and racks are designed for %d at most; rackwright fit FRAME PACK --rack --levels %d looks for a layout on fewer; undersides within %.3g mm of each other are one level", ErrManyLevels, n, MostLevels, MostLevels, float64(sameLevel))
	}
	mounts, err := rack.Mounts(p, l)
	for i := range mounts {
		mounts[i] = along.Mount(mounts[i])
	}
	if err != nil {
		return nil, err
	}
	d.mounts = mounts
	d.hung, err = d.hangs(d.problem)
	d.ties()
	return d, err
}

// ErrTilts is returned for layouts whose boxes stand at more than one tilt.
var ErrTilts = errors.New("all trays of a rack have one tilt: give all boxes the same single tilt in the pack file, such as tilt: [0], and fit again")

// tiltOf is the tilt of all levels of a layout.
func tiltOf(s pack.Standing) (s1.Angle, error) {
	var tilt s1.Angle
	for i, l := range s.Levels {
		if i > 0 && (l.Tilt-tilt).Abs() > 1e-9 {
			return 0, fmt.Errorf("%w: boxes of this layout stand at %.3g° and %.3g° nose down", ErrTilts, tilt.Degrees(), l.Tilt.Degrees())
		}
		tilt = l.Tilt
	}
	if tilt.Abs() < 1e-9 {
		tilt = 0
	}
	return tilt, nil
}

// ties lets the room know all that bolts of the rack may go into.
func (d *designer) ties() {
	d.room.mounts = slices.Clone(d.mounts)
	for _, h := range d.hung {
		d.room.mounts = append(d.room.mounts, h.mount)
	}
}

func newPlaced(part pack.Part, low, high r3.Vector, bodies pack.Bodies) placed {
	b := placed{part: part, name: part.String(), low: low, high: high, posts: bodies.Posts, body: bodies.Case}
	for _, post := range bodies.Posts {
		low, high := geom.Bounds(post)
		b.blocks = append(b.blocks, [2]r3.Vector{low, high})
	}
	return b
}
