package block

import (
	"math"
	"strings"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// extent is the low and the high corner of a cell with its posts, from its own corner.
func (g *grid) extent(c cell) (low, high r3.Vector) {
	_, high = g.box(c)
	size := high
	for _, t := range g.own(c) {
		f := faceOf(size, t.Face)
		for _, p := range ring(f.own(t.At), t.Diameter/2, 4) {
			for _, h := range []float64{0, max(0, t.Height)} {
				q := f.at(p, h)
				low, high = lower(low, q), higher(high, q)
			}
		}
	}
	return low, high
}

// lying is the pose on the largest face without posts, of a shell with the opening up
// where that can be, in which the cell goes onto the bed.
func (g *grid) lying(c cell) (Pose, bool) {
	_, size := g.box(c)
	busy := g.standing(c)
	best, most := Pose{}, -1.0
	for down := pack.Front; down <= pack.Bottom; down++ {
		if busy[down] {
			continue
		}
		f := faceOf(size, down)
		rank := f.size.X * f.size.Y
		if g.hollowed(size) {
			switch open := g.opening(c); down {
			case open.Opposite():
				rank *= 1e6
			case open: // no more than a rim
				rank *= 1e-6
			}
		}
		for _, pose := range g.poses(c, down) {
			if rank > most && g.onBed(c, pose) {
				best, most = pose, rank
			}
		}
	}
	return best, most >= 0
}

// standing tells which faces of a cell have posts that stand out.
func (g *grid) standing(c cell) [6]bool {
	var busy [6]bool
	for _, t := range g.own(c) {
		if t.Height > 0 {
			busy[t.Face] = true
		}
	}
	return busy
}

// poses are the two ways to lie on a face that differ by a quarter turn.
func (g *grid) poses(c cell, down pack.Face) []Pose {
	up := down.Opposite().Normal()
	var all []Pose
	e := [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}
	u := e[(down.Axis()+1)%3]
	for _, x := range []r3.Vector{u, up.Cross(u)} {
		p := Pose{Axes: [3]r3.Vector{x, up.Cross(x), up}}
		low, high := g.extent(c)
		corner, _ := g.box(c)
		a, b := p.Apply(low.Add(corner)), p.Apply(high.Add(corner))
		p.By = lower(a, b).Mul(-1)
		all = append(all, p)
	}
	return all
}

func (g *grid) onBed(c cell, p Pose) bool {
	if g.Bed == (r3.Vector{}) {
		return true
	}
	low, high := g.extent(c)
	d := Pose{Axes: p.Axes}.Apply(high.Sub(low)).Abs()
	return d.X <= g.Bed.X && d.Y <= g.Bed.Y && d.Z <= g.Bed.Z
}

// hollowed tells whether a piece is thick enough to be a shell.
func (g *grid) hollowed(size r3.Vector) bool {
	return g.Shell > 0 && 2*g.Shell < min(size.X, size.Y, size.Z)
}

// OpenFace is the face that a shell of a box is open on: the one that is down as the box
// stands, nil for upright, or its own bottom where a post is on that one; false where posts
// are on both.
func OpenFace(k pack.Kind, stand *pack.Orientation) (pack.Face, bool) {
	posts := busy(k.Posts)
	if stand != nil && !posts[stand.Up.Opposite()] {
		return stand.Up.Opposite(), true
	}
	return pack.Bottom, !posts[pack.Bottom]
}

// busy tells which faces posts are on.
func busy(posts []pack.Post) [6]bool {
	var faces [6]bool
	for _, t := range posts {
		faces[t.Face] = true
	}
	return faces
}

// opening is the face that a shell leaves out: OpenFace, or of each piece one without posts,
// where two pieces meet, or the largest, and none across from it so that it can lie with the
// opening up.
func (g *grid) opening(c cell) pack.Face {
	if f, ok := OpenFace(g.kind, g.Stand); ok {
		return f
	}
	_, size := g.box(c)
	posts := busy(g.own(c))
	best, most := pack.Bottom, -1.0
	for f := pack.Bottom; f >= pack.Front; f-- {
		if posts[f] {
			continue
		}
		s := faceOf(size, f).size
		rank := s.X * s.Y
		if !posts[f.Opposite()] {
			rank *= 1e3
		}
		if g.inner(c, f) {
			rank *= 1e6
		}
		if rank > most {
			best, most = f, rank
		}
	}
	return best
}

// Pegs: 8 mm across and sockets as deep, less where a piece is small.
const (
	pegRadius = 4.0
	pegDepth  = 8.0
	leastPeg  = 2.0 // shallower sockets hold nothing
)

// socket sets the size of pegs so that sockets in three faces of the smallest piece
// never meet inside of it: they lie a quarter of its size from its edges at least, so
// depth and radius together have to be less than that.
func (g *grid) socket() {
	if len(g.planes.cells()) == 1 {
		return
	}
	if g.Shell > 0 {
		g.shellPegs()
		return
	}
	least := math.Inf(1)
	for _, c := range g.planes.cells() {
		_, size := g.box(c)
		least = min(least, size.X, size.Y, size.Z)
	}
	radius := min(pegRadius, least/10)
	depth := min(pegDepth, least/4-radius-g.Play-0.5)
	if depth >= leastPeg && radius > 2*g.Play {
		g.radius, g.depth = radius, depth
	}
}

// wide tells whether the face's first axis is the longer one. On a square face it is the
// one that comes first in the box, so that two faces that meet agree on it.
func (f faceFrame) wide() bool {
	return f.size.X > f.size.Y || f.size.X == f.size.Y && !f.swap
}

// sockets are the middles of the sockets in a face.
func (g *grid) sockets(f faceFrame) []r2.Point {
	if g.Shell > 0 {
		return g.shellSockets(f)
	}
	a, b := f.size.Mul(0.25), f.size.Mul(0.75)
	if f.wide() {
		return []r2.Point{{X: a.X, Y: f.size.Y / 2}, {X: b.X, Y: f.size.Y / 2}}
	}
	return []r2.Point{{X: f.size.X / 2, Y: a.Y}, {X: f.size.X / 2, Y: b.Y}}
}

// pegs is how many pegs the block takes: two for each pair of pieces that meet.
func (g *grid) pegs() int {
	if g.radius == 0 {
		return 0
	}
	count := 0
	for _, c := range g.planes.cells() {
		for f := pack.Front; f <= pack.Bottom; f += 2 { // each pair from one side
			if g.inner(c, f) {
				count += 2
			}
		}
	}
	return count
}

// peg is a peg, standing.
func (g *grid) peg() (Piece, error) { return pegOf(g.kind.Name, g.radius, 2*g.depth-g.Play) }

var level = Pose{Axes: [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}}

func letter(i int) string {
	text := ""
	for ; i >= 0; i = i/26 - 1 {
		text = string(rune('A'+i%26)) + text
	}
	return text
}

// piece is the cell with its posts, sockets and marks, lying on the bed.
func (g *grid) piece(c cell) (Piece, error) {
	low, size := g.box(c)
	deep := dent
	hollow := g.hollowed(size)
	var open *pack.Face
	if hollow {
		deep = min(dent, g.Shell/2)
	}
	b := brickOf(size, g.own(c), deep)
	if hollow {
		b.shell, b.open = g.Shell, g.opening(c)
		open = &b.open
		b.features[b.open] = nil
		if g.radius > 0 {
			b.columns = g.columns(c)
		}
	}
	g.bores(&b, c)
	g.marks(&b, c, min(deep, min(size.X, size.Y, size.Z)/4))
	m, err := b.mesh()
	if err != nil {
		return Piece{}, err
	}
	pose, ok := g.lying(c)
	if !ok { // posts on all faces: as it stands
		pose = g.poses(c, pack.Bottom)[0]
	}
	name := strings.TrimSpace(g.kind.Name + " " + g.planes.label(c))
	return Piece{Name: name, Copies: 1, Pose: pose, Open: open, Parts: 1 + len(b.loose), Mesh: m.moved(func(v r3.Vector) r3.Vector { return pose.Apply(v.Add(low)) })}, nil
}

// bores puts sockets into the faces of a piece that meet other pieces.
func (g *grid) bores(b *brick, c cell) {
	if g.radius == 0 {
		return
	}
	for f := pack.Front; f <= pack.Bottom; f++ {
		if !g.inner(c, f) {
			continue
		}
		for _, at := range g.sockets(faceOf(b.size, f)) {
			b.features[f] = append(b.features[f], feature{ring: ring(at, g.radius+g.Play/2, barCorners), height: -g.depth})
		}
	}
}

// marks cuts the names of faces into the outside of a piece, with the piece's label, then signs
// at the posts and below all that what the box is called, on every face that has room; into one
// without any outside its label alone.
func (g *grid) marks(b *brick, c cell, deep float64) {
	outside := false
	for f := pack.Front; f <= pack.Bottom; f++ {
		if g.inner(c, f) {
			continue
		}
		outside = true
		if b.shell > 0 && f == b.open {
			continue
		}
		b.signs(f, g.own(c), deep)
		b.label(f, g.kind.Name, strings.TrimSpace(g.planes.label(c)+" "+f.String()), deep)
	}
	if !outside {
		b.mark(pack.Top, g.planes.label(c), deep, 0.5) // a shell is open at the face across from it, or at another
	}
}
