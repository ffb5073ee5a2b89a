package block

import (
	"errors"
	"fmt"
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// Print says how blocks are printed. Lengths are millimetres. The zero value prints
// whole solid blocks at true size.
type Print struct {
	Scale float64   // of everything, 0 for true size
	Shell float64   // thickness of the walls of open shells, 0 for solids
	Bed   r3.Vector // what the printer takes, zero for any size
	Play  float64   // how much wider and deeper a pair of sockets is than its peg
	// Stand is how the box stands, nil for upright: a shell is open at the bottom then.
	Stand *pack.Orientation
}

// Piece is a part to be printed, lying on the bed: its lowest corner is at the origin.
type Piece struct {
	Name   string
	Mesh   Mesh
	Copies int
	Pose   Pose // how it lies, from where it belongs in the block
	Peg    bool
	Open   *pack.Face // of a shell, the face that is left out
	Parts  int        // 1, and one more for each post that is a body of its own
}

// Goes tells whether the piece goes onto a bed as it lies, or turned by a quarter. Any
// piece goes onto a zero bed.
func (p Piece) Goes(bed r3.Vector) bool {
	_, high := p.Mesh.bounds()
	return bed == (r3.Vector{}) ||
		min(high.X, high.Y) <= min(bed.X, bed.Y) && max(high.X, high.Y) <= max(bed.X, bed.Y) && high.Z <= bed.Z
}

// Pose puts a piece from its place in the block onto the bed: the axes go along x, y
// and z, then all is moved.
type Pose struct {
	Axes [3]r3.Vector
	By   r3.Vector
}

// Apply returns where a point of the block lies on the bed.
func (p Pose) Apply(v r3.Vector) r3.Vector {
	return r3.Vector{X: p.Axes[0].Dot(v), Y: p.Axes[1].Dot(v), Z: p.Axes[2].Dot(v)}.Add(p.By)
}

// Undo returns where a point on the bed belongs in the block.
func (p Pose) Undo(v r3.Vector) r3.Vector {
	v = v.Sub(p.By)
	return p.Axes[0].Mul(v.X).Add(p.Axes[1].Mul(v.Y)).Add(p.Axes[2].Mul(v.Z))
}

// ErrPrint is wrapped by the errors for blocks that cannot be printed as asked.
var ErrPrint = errors.New("cannot be printed")

// maxPieces is how many pieces a block is cut into at most.
const maxPieces = 200

// Pieces returns the parts to print a kind of box from, with the names of the faces cut
// into them. Each lies on its largest face that has no posts. A block larger than the
// bed is cut into pieces of about the same size, past the posts, with sockets for pegs
// where two meet; pieces too small to hold any have none and are glued.
func Pieces(k pack.Kind, p Print) ([]Piece, error) {
	k = scaled(k, p.Scale)
	g, err := gridOf(k, p)
	if err != nil {
		return nil, err
	}
	var all []Piece
	for _, c := range g.planes.cells() {
		piece, err := g.piece(c)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", k.Name, err)
		}
		all = append(all, piece)
	}
	if pegs := g.pegs(); pegs > 0 {
		peg, err := g.peg()
		if err != nil {
			return nil, err
		}
		peg.Copies = pegs
		all = append(all, peg)
	}
	return all, nil
}

func scaled(k pack.Kind, s float64) pack.Kind {
	if s == 0 {
		return k
	}
	k.Size = k.Size.Mul(s)
	posts := make([]pack.Post, len(k.Posts))
	for i, t := range k.Posts {
		t.At, t.Diameter, t.Height = t.At.Mul(s), t.Diameter*s, t.Height*s
		posts[i] = t
	}
	k.Posts = posts
	return k
}

// grid is how a block is cut up: planes along each axis, those of both ends included.
type grid struct {
	Print
	kind   pack.Kind
	planes cuts
	radius float64 // of a peg, 0 for none
	depth  float64 // of a socket
}

// cell is a piece of the grid by its number along each axis.
type cell [3]int

// gridOf finds the fewest cuts with which every piece goes onto the bed.
func gridOf(k pack.Kind, p Print) (*grid, error) {
	g := &grid{Print: p, kind: k}
	if busy(k.Posts) == [6]bool{true, true, true, true, true, true} {
		g.Shell = 0 // no face to leave out
	}
	if p.Bed == (r3.Vector{}) {
		g.cut([3]int{1, 1, 1})
		return g, nil
	}
	for total := 3; total < 3+3*maxPieces; total++ {
		for nx := 1; nx <= total-2; nx++ {
			for ny := 1; nx+ny < total; ny++ {
				n := [3]int{nx, ny, total - nx - ny}
				if n[0]*n[1]*n[2] <= maxPieces && g.cut(n) && g.fits() {
					g.socket()
					return g, nil
				}
			}
		}
		if total > 12 && !g.possible() {
			break
		}
	}
	return nil, fmt.Errorf("%w: %s does not go onto a bed of %g × %g × %g mm in up to %d pieces; its posts are not cut. Take a larger bed or a smaller scale",
		ErrPrint, k.Name, p.Bed.X, p.Bed.Y, p.Bed.Z, maxPieces)
}

// possible tells whether more cuts can help: pieces of a fifth of the bed would be
// within the limit, and no post is larger than the bed.
func (g *grid) possible() bool {
	s, b := g.kind.Size, g.Bed
	least := min(b.X, b.Y, b.Z)
	for _, t := range g.kind.Posts {
		if min(t.Diameter, t.Height) > least || t.Diameter > max(b.X, b.Y) {
			return false
		}
	}
	return s.X*s.Y*s.Z < b.X*b.Y*b.Z*maxPieces
}

func component(v r3.Vector, axis int) float64 { return [3]float64{v.X, v.Y, v.Z}[axis] }

// cut sets planes for a number of pieces along each axis, moved off posts that they would
// cut, and tells whether that went well.
func (g *grid) cut(n [3]int) bool {
	for axis := range 3 {
		size := component(g.kind.Size, axis)
		planes := []float64{0}
		for i := 1; i < n[axis]; i++ {
			x, ok := g.past(axis, size*float64(i)/float64(n[axis]))
			if !ok || x <= planes[len(planes)-1] {
				return false
			}
			planes = append(planes, x)
		}
		g.planes[axis] = append(planes, size)
	}
	return true
}

// past moves a plane to the nearest place beside the posts that it would cut.
func (g *grid) past(axis int, x float64) (float64, bool) {
	const air = 1.0
	size := component(g.kind.Size, axis)
	best, found := 0.0, false
	try := func(y float64) {
		if y <= 0 || y >= size || found && math.Abs(y-x) >= math.Abs(best-x) {
			return
		}
		for _, in := range g.posts(axis) {
			if in.InteriorContains(y) {
				return
			}
		}
		best, found = y, true
	}
	try(x)
	for _, in := range g.posts(axis) {
		try(in.Lo - air)
		try(in.Hi + air)
	}
	return best, found
}

// posts are the stretches along an axis that posts take up on faces that a plane across
// it cuts.
func (g *grid) posts(axis int) []r1.Interval {
	var all []r1.Interval
	for _, t := range g.kind.Posts {
		if t.Face.Axis() == axis {
			continue
		}
		c := component(g.centre(t), axis)
		all = append(all, r1.Interval{Lo: c - t.Diameter/2, Hi: c + t.Diameter/2})
	}
	return all
}

// centre is the middle of a post's foot.
func (g *grid) centre(t pack.Post) r3.Vector {
	f := faceOf(g.kind.Size, t.Face)
	return f.at(f.own(t.At), 0)
}

// box is the place of a cell in the block.
func (g *grid) box(c cell) (low, size r3.Vector) {
	low = r3.Vector{X: g.planes[0][c[0]], Y: g.planes[1][c[1]], Z: g.planes[2][c[2]]}
	high := r3.Vector{X: g.planes[0][c[0]+1], Y: g.planes[1][c[1]+1], Z: g.planes[2][c[2]+1]}
	return low, high.Sub(low)
}

// inner tells whether a face of a cell meets another cell.
func (g *grid) inner(c cell, f pack.Face) bool {
	axis := f.Axis()
	if component(f.Normal(), axis) < 0 {
		return c[axis] > 0
	}
	return c[axis] < len(g.planes[axis])-2
}

// own are the posts that stand on a cell, in the coordinates of its faces.
func (g *grid) own(c cell) []pack.Post {
	low, size := g.box(c)
	var all []pack.Post
	for _, t := range g.kind.Posts {
		at := g.centre(t)
		here := !g.inner(c, t.Face)
		for axis := range 3 {
			x, lo := component(at, axis), component(low, axis)
			last := c[axis] == len(g.planes[axis])-2
			here = here && x >= lo && (x < lo+component(size, axis) || last)
		}
		if !here {
			continue
		}
		shift := [3]r2.Point{{X: low.Y, Y: low.Z}, {X: low.X, Y: low.Z}, {X: low.X, Y: low.Y}}[t.Face.Axis()]
		t.At = t.At.Sub(shift)
		all = append(all, t)
	}
	return all
}

// fits tells whether every cell goes onto the bed with its posts.
func (g *grid) fits() bool {
	for _, c := range g.planes.cells() {
		if _, ok := g.lying(c); !ok {
			return false
		}
	}
	return true
}
