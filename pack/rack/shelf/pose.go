package shelf

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
)

// pose is a way in which the boxes of a kind stand.
type pose struct {
	pack.Orientation
	size r3.Vector
	rank int // 0 where all posts are up; one more for each that is not
}

// mostPoses of a kind that are tried.
const mostPoses = 8

// posesOf are the level stands of a kind without a post below: for each size that it then has along
// the vehicle's axes the one with most posts up, and the one the other way round.
func posesOf(k pack.Kind, size r3.Vector) []pose {
	var list []pose
	for _, o := range k.Orientations() {
		if o.Tilt != 0 {
			continue
		}
		rank, ok := rankPosts(k, o)
		if !ok {
			continue
		}
		own := [3]float64{size.X, size.Y, size.Z}
		list = append(list, pose{o, r3.Vector{X: own[o.Front.Axis()], Y: own[3-o.Front.Axis()-o.Up.Axis()], Z: own[o.Up.Axis()]}, rank})
	}
	slices.SortStableFunc(list, func(a, b pose) int { return cmp.Compare(a.rank, b.rank) })
	var kept []pose
	for _, p := range list {
		same := 0
		for _, q := range kept {
			if q.size == p.size {
				same++
			}
		}
		if same == 0 || same == 1 && p.rank > 0 {
			kept = append(kept, p)
		}
	}
	return kept[:min(mostPoses, len(kept))]
}

// rankPosts counts the posts that are not up; a post below rules a stand out.
func rankPosts(k pack.Kind, o pack.Orientation) (rank int, ok bool) {
	for _, post := range k.Posts {
		switch post.Face {
		case o.Up:
		case o.Up.Opposite():
			return 0, false
		default:
			rank++
		}
	}
	return rank, true
}

// solid is something of the frame, with the block around it and what a box keeps from it.
type solid struct {
	geom.Solid
	name      string
	low, high r3.Vector
	need      float64
	post      float64
}

func newShelves(p pack.Problem, room Room) *shelves {
	s := &shelves{problem: p, judge: pack.NewJudge(p), room: room, known: map[string][]level{}}
	for _, o := range p.Obstacles() {
		low, high := geom.Bounds(o.Solid)
		gaps := p.Pack.Gaps
		s.frame = append(s.frame, solid{o.Solid, o.Name, low, high, gaps.ToObstacle(o, false).Required, gaps.ToObstacle(o, true).Required})
	}
	s.low, s.high = s.bounds()
	for _, k := range p.Pack.Kinds {
		s.kinds = append(s.kinds, k)
		s.poses = append(s.poses, posesOf(k, p.Size(k)))
	}
	return s
}

// clear tells whether a block keeps what a box has to keep from the frame.
func (s *shelves) clear(low, high r3.Vector) bool {
	body := geom.BoxFromCorners(low, high)
	for _, o := range s.frame {
		if o.low.X > high.X+o.need || o.high.X < low.X-o.need || o.low.Y > high.Y+o.need || o.high.Y < low.Y-o.need || o.low.Z > high.Z+o.need || o.high.Z < low.Z-o.need {
			continue
		}
		if gap, _ := geom.SheetGap(body, o.Solid); gap < o.need-geom.Tolerance {
			return false
		}
	}
	return true
}

// bounds are the lowest and highest corner of the opening.
func (s *shelves) bounds() (low, high r3.Vector) {
	low, high = r3.Vector{X: math.Inf(1), Z: math.Inf(1)}, r3.Vector{X: math.Inf(-1), Z: math.Inf(-1)}
	for _, c := range s.problem.Frame.Opening.Outline.Corners {
		low.X, low.Z = math.Min(low.X, c.X), math.Min(low.Z, c.Y)
		high.X, high.Z = math.Max(high.X, c.X), math.Max(high.Z, c.Y)
	}
	across := s.problem.Frame.Opening.Stations[0].Across
	low.Y, high.Y = across.Lo, across.Hi
	return low, high
}
