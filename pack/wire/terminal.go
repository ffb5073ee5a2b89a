package wire

import (
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/wire/route"
)

// terminal is a post that a cable may be joined to.
type terminal struct {
	part     pack.Part
	polarity string
	bolt     string
	bar      geom.Box  // the post's body
	normal   r3.Vector // away from the face that it stands on
}

// end is the post as the end of a cable that lies on its tip with a lug.
func (t terminal) end(c route.Cable) route.End {
	tip := t.bar.Centre.Add(t.normal.Mul(t.bar.Extent(t.normal).Length() / 2))
	return route.End{At: tip.Add(t.normal.Mul(c.Radius)), Normal: t.normal, Straight: straightLug(c)}
}

// straightLug is how far behind the middle of a post a cable is straight in mm: the lug, and
// as much again as the cable is thick (practice: none is bent directly behind its lug).
func straightLug(c route.Cable) float64 { return 14 + 3*c.Radius }

// battery is a box that is wired, with its posts.
type battery struct {
	part  pack.Part
	kind  pack.Kind
	posts []terminal
}

// with are the posts of a polarity that may be used.
func (b battery) with(polarity string) []terminal {
	var all []terminal
	for _, t := range b.posts {
		if t.polarity == polarity {
			all = append(all, t)
		}
	}
	return all
}

// terminalsOf are the posts in use of a placed box.
func terminalsOf(p pack.Problem, at pack.Placement) ([]terminal, error) {
	bodies, err := p.Bodies(at)
	if err != nil {
		return nil, err
	}
	kind, _ := p.Kind(at.Box)
	var all []terminal
	for i, post := range kind.Posts {
		if post.Unused {
			continue
		}
		part := at.Part()
		part.Post = post.Name
		all = append(all, terminal{part, post.Polarity, post.Bolt, bodies.Posts[i], along(bodies.Case, post.Face.Normal())})
	}
	return all, nil
}

// along is a direction of a box's own axes in those of the vehicle.
func along(b geom.Box, own r3.Vector) r3.Vector {
	return b.Axes[0].Mul(own.X).Add(b.Axes[1].Mul(own.Y)).Add(b.Axes[2].Mul(own.Z))
}

// batteriesOf are the boxes of a layout that are wired, in its order.
func batteriesOf(p pack.Problem, l pack.Layout) ([]battery, error) {
	wired := map[string]pack.Kind{}
	for _, k := range p.Pack.Batteries() {
		wired[k.Name] = k
	}
	var all []battery
	for _, at := range l.Placements {
		k, ok := wired[at.Box]
		if !ok {
			continue
		}
		posts, err := terminalsOf(p, at)
		if err != nil {
			return nil, err
		}
		all = append(all, battery{at.Part(), k, posts})
	}
	return all, nil
}

// Clearances of a cable's surface in mm: it may lie on cases, and keeps off edges that chafe
// and off other posts under their boots (practice).
const (
	offCases = 0
	offFrame = 3
)

// surroundings are what every cable goes round: cases, the frame and the rack. Posts are
// apart, for a cable ends at two of them.
func surroundings(p pack.Problem, l pack.Layout, rack []route.Obstacle) (fixed []route.Obstacle, posts map[pack.Part]route.Obstacle, err error) {
	posts = map[pack.Part]route.Obstacle{}
	for _, at := range l.Placements {
		bodies, err := p.Bodies(at)
		if err != nil {
			return nil, nil, err
		}
		kind, _ := p.Kind(at.Box)
		fixed = append(fixed, route.Obstacle{Name: at.Part().String(), Solid: bodies.Case, Gap: offCases})
		for i, post := range kind.Posts {
			part := at.Part()
			part.Post = post.Name
			posts[part] = route.Obstacle{Name: part.String(), Solid: bodies.Posts[i], Gap: p.Pack.Gaps.Boot}
		}
	}
	for _, o := range p.Obstacles() {
		gap := float64(offFrame)
		if o.Kind == frame.Width || o.Open {
			gap = 0 // the end of the room, no edge
		}
		fixed = append(fixed, route.Obstacle{Name: o.Name, Solid: o.Solid, Gap: gap})
	}
	return append(fixed, rack...), posts, nil
}
