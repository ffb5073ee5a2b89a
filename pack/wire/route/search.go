package route

import (
	"container/heap"
	"errors"
	"math"

	"github.com/golang/geo/r3"
)

// ErrNoWay tells that no way was found.
var ErrNoWay = errors.New("no way was found")

// exits is in how many directions a cable may leave a post, found by trying.
const exits = 24

// Route finds a way for a cable from one end to another, clear of the scene's obstacles and
// of more. It returns ErrNoWay where it finds none; a way that has to be bent more sharply than
// the cable allows is returned, and Path.Bend tells how sharply.
func (s *Scene) Route(from, to End, more []Obstacle) (Path, error) {
	extra := make([]bounded, len(more))
	for i, o := range more {
		extra[i] = bound(o)
	}
	t := &task{Scene: s, extra: extra, from: from, to: to}
	if t.direct() {
		return t.pathOf([]r3.Vector{from.At, to.At}), nil
	}
	points, ok := t.search()
	if !ok {
		return Path{}, ErrNoWay
	}
	return t.tightened(points), nil
}

// task is one way that is looked for.
type task struct {
	*Scene
	extra    []bounded
	from, to End
}

func (t *task) free(a, b r3.Vector) bool {
	return t.clear(a, b, t.static) && t.clear(a, b, t.extra)
}

// slope is the sine of the angle by which a lug may be off the right angle to its post: 8°
// (practice: lugs bend a little).
const slope = 0.139

// direct tells whether the cable can lie straight between the ends.
func (t *task) direct() bool {
	way := t.to.At.Sub(t.from.At)
	length := way.Norm()
	return length > 0 && math.Abs(way.Dot(t.from.Normal)) <= slope*length && math.Abs(way.Dot(t.to.Normal)) <= slope*length && t.free(t.from.At, t.to.At)
}

// exitsOf are the points up to which a cable is straight behind its lug, in each direction
// that is free.
func (t *task) exitsOf(e End) []r3.Vector {
	if e.loose() {
		return []r3.Vector{e.At}
	}
	u := e.Normal.Ortho()
	v := e.Normal.Cross(u)
	var list []r3.Vector
	for i := range exits {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / exits)
		p := e.At.Add(u.Mul(cos * e.Straight)).Add(v.Mul(sin * e.Straight))
		if t.free(e.At, p) {
			list = append(list, p)
		}
	}
	return list
}

// search is A* over the nodes and the exits of both ends.
func (t *task) search() ([]r3.Vector, bool) {
	starts, goals := t.exitsOf(t.from), t.exitsOf(t.to)
	points := append(append(append([]r3.Vector{}, t.nodes...), starts...), goals...)
	firstStart, firstGoal := len(t.nodes), len(t.nodes)+len(starts)
	cost, via, done := make([]float64, len(points)), make([]int, len(points)), make([]bool, len(points))
	for i := range cost {
		cost[i], via[i] = math.Inf(1), -1
	}
	var open queue
	reach := func(i, from int, c float64) {
		cost[i], via[i] = c, from
		heap.Push(&open, entry{i, c + points[i].Distance(t.to.At)})
	}
	for i := range starts {
		reach(firstStart+i, -1, t.from.Straight)
	}
	for open.Len() > 0 {
		i := heap.Pop(&open).(entry).node
		if done[i] {
			continue
		}
		done[i] = true
		if i >= firstGoal {
			return t.trace(points, via, i), true
		}
		for j := range points {
			c := cost[i] + points[i].Distance(points[j])
			if done[j] || c >= cost[j]-hair || j >= firstStart && j < firstGoal || !t.see(points, i, j) {
				continue
			}
			reach(j, i, c)
		}
	}
	return nil, false
}

// see tells whether two points see each other; what the scene's own nodes see is remembered.
func (t *task) see(points []r3.Vector, i, j int) bool {
	if i >= len(t.nodes) || j >= len(t.nodes) {
		return t.free(points[i], points[j])
	}
	key := [2]int{min(i, j), max(i, j)}
	sees, known := t.seen[key]
	if !known {
		sees = t.clear(points[i], points[j], t.static)
		t.seen[key] = sees
	}
	return sees && t.clear(points[i], points[j], t.extra)
}

func (t *task) trace(points []r3.Vector, via []int, i int) []r3.Vector {
	var way []r3.Vector
	if !t.to.loose() {
		way = append(way, t.to.At)
	}
	for ; i >= 0; i = via[i] {
		way = append(way, points[i])
	}
	if !t.from.loose() {
		way = append(way, t.from.At)
	}
	for a, b := 0, len(way)-1; a < b; a, b = a+1, b-1 {
		way[a], way[b] = way[b], way[a]
	}
	return way
}

// entry is a point to go on from, with the least that a way through it takes.
type entry struct {
	node  int
	least float64
}

type queue []entry

func (q queue) Len() int           { return len(q) }
func (q queue) Less(i, j int) bool { return q[i].least < q[j].least }
func (q queue) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)        { *q = append(*q, x.(entry)) }
func (q *queue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}
