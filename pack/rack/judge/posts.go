package judge

import (
	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// over is how far in mm beyond the end of a post no bar lies across it.
const over = 30

// posts is rule 4: metal keeps gaps.bar from posts of boxes that are held, gaps.post from
// others; nothing lies over a post.
func (j *scene) posts() {
	gaps := j.problem.Pack.Gaps
	for i := range j.boxes {
		b := &j.boxes[i]
		need, word := gaps.Post, "gaps.post"
		if j.heldAll[b.name] {
			need, word = gaps.Bar, "gaps.bar"
		}
		for k, post := range b.posts {
			beyond := outOf(post, b.outward[k], over)
			for n := range j.parts {
				p := &j.parts[n]
				j.nearPost(p, post, b.postNames[k], need, word)
				if p.bar != nil && meets(p.solids, beyond) {
					j.say(Posts, 0, "", []string{p.name, b.postNames[k]}, "%s lies over the post %s: move it aside, or turn the box so that the post is elsewhere", p.name, b.postNames[k])
				}
			}
		}
	}
}

func (j *scene) nearPost(p *part, post solid, name string, need float64, word string) {
	for _, s := range p.solids {
		if d := distance(s, post, need); d < need-geom.Tolerance {
			j.say(Posts, need-d, "mm", []string{p.name, name}, "%s is %.1f mm from the post %s; %s asks for %g", p.name, d, name, word, need)
			return
		}
	}
}

func meets(solids []solid, room solid) bool {
	for _, s := range solids {
		if distance(s, room, 0) < -geom.Tolerance {
			return true
		}
	}
	return false
}

// outOf is a post's bar made longer out of its face.
func outOf(post solid, out r3.Vector, by float64) solid {
	b := post.Solid.(geom.Box)
	b.Centre = b.Centre.Add(out.Mul(by / 2))
	half := [3]float64{b.Half.X, b.Half.Y, b.Half.Z}
	for i, axis := range b.Axes {
		if d := axis.Dot(out); d > 0.9 || d < -0.9 {
			half[i] += by / 2
		}
	}
	b.Half = r3.Vector{X: half[0], Y: half[1], Z: half[2]}
	return solidOf(b)
}
