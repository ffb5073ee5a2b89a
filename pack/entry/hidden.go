package entry

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
)

// Hidden is a post that the tool reaches in no layout at all: posts of its own box that
// stand higher are in the way.
type Hidden struct {
	Kind string
	Post pack.Post
	By   []string // the names of these posts, in the order of the file
	// Widest is the diameter in millimetres of the widest tool of any length that reaches
	// the post past them; 0 where none does.
	Widest float64
}

// HiddenPosts returns the posts of a pack that the tool reaches in no layout, in the order
// of the file, with the boxes as measured. A problem is hopeless with such posts, unless
// layouts with posts out of reach are answers too. The error is that of Problem.Bodies.
func HiddenPosts(problem pack.Problem, settings Settings) ([]Hidden, error) {
	var list []Hidden
	for _, k := range problem.Pack.Kinds {
		bodies, err := problem.Bodies(pack.Placement{Box: k.Name, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}})
		if err != nil {
			return nil, err
		}
		for n := range k.Posts {
			if k.Posts[n].JoinedFirst {
				continue
			}
			if h := hidden(k, bodies.Posts, n, settings.tool()); len(h.By) > 0 {
				list = append(list, h)
			}
		}
	}
	return list, nil
}

// hidden tells what hides post n of a level box from a tool.
func hidden(k pack.Kind, posts []geom.Box, n int, tool Tool) Hidden {
	h := Hidden{Kind: k.Name, Post: k.Posts[n], Widest: math.Inf(1)}
	axis := h.Post.Face.Normal()
	tip := posts[n].Extent(axis).Hi
	for i, other := range posts {
		over := other.Extent(axis)
		if i == n || over.Hi <= tip+geom.Tolerance || over.Lo >= tip+tool.Length-geom.Tolerance {
			continue
		}
		if wide := 2 * aside(posts[n].Centre, other, axis); wide < tool.Diameter-geom.Tolerance {
			h.By, h.Widest = append(h.By, k.Posts[i].Name), min(h.Widest, wide)
		}
	}
	return h
}

// aside is how far a level box is from the line through a point along an axis.
func aside(p r3.Vector, b geom.Box, axis r3.Vector) float64 {
	d := p.Sub(b.Centre).Abs().Sub(b.Half)
	out := r3.Vector{X: max(0, d.X), Y: max(0, d.Y), Z: max(0, d.Z)}
	return out.Sub(axis.Mul(out.Dot(axis))).Norm()
}
