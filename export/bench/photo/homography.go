// Package photo straightens a photograph of the side of a vehicle by marks of known place, so
// that an outline can be traced over it: a homography from the picture's pixels to millimetres
// of the side view. What lies off the plane of the marks, nearer to the camera or further from
// it, is not straightened: parallax.
//
// The method is the normalized direct linear transformation and then Gauss and Newton's on the
// distances in the picture (R. Hartley and A. Zisserman, Multiple View Geometry in Computer
// Vision, 2nd edition, algorithms 4.2 and 4.3).
package photo

import (
	"errors"
	"fmt"
	"math"

	"github.com/golang/geo/r2"
	"gonum.org/v1/gonum/mat"
)

// Mark is one place that is known twice.
type Mark struct {
	Pixel r2.Point // in the picture: right and down from its upper left corner
	At    r2.Point // in the side view: x and z in mm
}

// LeastMarks is how many marks a picture needs. With more than these, they check each other.
const LeastMarks = 4

// MaxMarks is how many marks a picture may have.
const MaxMarks = 200

// Errors about marks, wrapped with what to do.
var (
	ErrFewMarks = errors.New("too few marks")
	ErrManyMark = errors.New("too many marks")
	ErrMarks    = errors.New("these marks do not say how the picture lies")
)

// Homography takes points of one plane to another: row by row, up to a factor.
type Homography [9]float64

// Apply takes a point through the homography. What lies on its horizon or behind the camera
// has no picture: ok is false there. The side of the horizon that has a picture is the
// one with a positive last coordinate, on which FromMarks puts all its marks.
func (h Homography) Apply(p r2.Point) (q r2.Point, ok bool) {
	x, y, w := h.lifted(p)
	if !(w > 0) {
		return r2.Point{}, false
	}
	return r2.Point{X: x / w, Y: y / w}, true
}

func (h Homography) lifted(p r2.Point) (x, y, w float64) {
	return h[0]*p.X + h[1]*p.Y + h[2], h[3]*p.X + h[4]*p.Y + h[5], h[6]*p.X + h[7]*p.Y + h[8]
}

// Straightened is how a picture lies in the side view.
type Straightened struct {
	ToPixel Homography // from mm to the picture
	ToPlace Homography // from the picture to mm
	// Off is how many pixels each mark lies from where all marks together put it: nothing
	// with four marks, wherever they are, for these do not check each other.
	Off []float64
}

// FromMarks straightens a picture. The marks must be at least four, no three of the four in one
// line; ErrFewMarks, ErrManyMark or ErrMarks are wrapped otherwise.
func FromMarks(marks []Mark) (Straightened, error) {
	if len(marks) < LeastMarks {
		return Straightened{}, fmt.Errorf("%w: %d, of at least %d: set more, far apart and not in one line", ErrFewMarks, len(marks), LeastMarks)
	}
	if len(marks) > MaxMarks {
		return Straightened{}, fmt.Errorf("%w: %d, of at most %d", ErrManyMark, len(marks), MaxMarks)
	}
	from, ok := scaled(marks, func(m Mark) r2.Point { return m.At })
	to, other := scaled(marks, func(m Mark) r2.Point { return m.Pixel })
	if !ok || !other {
		return Straightened{}, inOneLine()
	}
	h, ok := linear(from.points, to.points)
	if !ok {
		return Straightened{}, inOneLine()
	}
	h = refined(h, from.points, to.points)
	return straightened(to.back.times(h).times(from.there), marks)
}

func inOneLine() error {
	return fmt.Errorf("%w: three of four lie in one line or two in one place; set them at the corners of what is seen", ErrMarks)
}

// straightened checks a homography by its marks: all of them have to lie before the camera.
func straightened(h Homography, marks []Mark) (Straightened, error) {
	if _, _, w := h.lifted(marks[0].At); w < 0 {
		for i := range h {
			h[i] = -h[i]
		}
	}
	back, ok := h.inverse()
	s := Straightened{ToPixel: h, ToPlace: back}
	for _, m := range marks {
		at, before := h.Apply(m.At)
		if !ok || !before {
			return Straightened{}, fmt.Errorf("%w: they are not in the same order in the picture and in the side view, or one is at a wrong place", ErrMarks)
		}
		s.Off = append(s.Off, at.Sub(m.Pixel).Norm())
	}
	if _, _, w := back.lifted(marks[0].Pixel); w < 0 {
		for i := range back {
			s.ToPlace[i] = -back[i]
		}
	}
	return s, nil
}

// norm is points moved and scaled so that they lie around the origin, √2 from it on average
// (Hartley's normalization), and the ways there and back.
type norm struct {
	points      []r2.Point
	there, back Homography
}

func scaled(marks []Mark, of func(Mark) r2.Point) (norm, bool) {
	var middle r2.Point
	for _, m := range marks {
		middle = middle.Add(of(m).Mul(1 / float64(len(marks))))
	}
	far := 0.0
	for _, m := range marks {
		far += of(m).Sub(middle).Norm() / float64(len(marks))
	}
	if !(far > 0) || math.IsInf(far, 0) {
		return norm{}, false
	}
	s := math.Sqrt2 / far
	n := norm{
		there: Homography{s, 0, -s * middle.X, 0, s, -s * middle.Y, 0, 0, 1},
		back:  Homography{1 / s, 0, middle.X, 0, 1 / s, middle.Y, 0, 0, 1},
	}
	for _, m := range marks {
		n.points = append(n.points, of(m).Sub(middle).Mul(s))
	}
	return n, true
}

// flat is how small the least but one singular value of the equations has to be, beside the
// greatest, for the marks to say nothing: coordinates are about 1 here, and a mark is set to
// no better than a thousandth of the picture.
const flat = 1e-4

// linear solves the two equations of each mark for the nine numbers, in least squares.
func linear(from, to []r2.Point) (Homography, bool) {
	rows := max(2*len(from), 9) // with a row of zeros for four marks, so that all directions are there
	a := mat.NewDense(rows, 9, nil)
	for i, p := range from {
		q := to[i]
		a.SetRow(2*i, []float64{p.X, p.Y, 1, 0, 0, 0, -q.X * p.X, -q.X * p.Y, -q.X})
		a.SetRow(2*i+1, []float64{0, 0, 0, p.X, p.Y, 1, -q.Y * p.X, -q.Y * p.Y, -q.Y})
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDFullV) {
		return Homography{}, false
	}
	if s := svd.Values(nil); s[7] < flat*s[0] {
		return Homography{}, false
	}
	var v mat.Dense
	svd.VTo(&v)
	var h Homography
	for i := range h {
		h[i] = v.At(i, 8)
	}
	return h, math.Abs(h.determinant()) > flat*flat*flat
}

// steps is how often refined improves at most; it settles within a few.
const steps = 20

// refined makes the squares of the distances in the picture least, which linear makes only
// nearly so.
func refined(h Homography, from, to []r2.Point) Homography {
	best := squares(h, from, to)
	for range steps {
		next, ok := h.step(from, to)
		if !ok {
			return h
		}
		sum := squares(next, from, to)
		if !(sum < best) {
			return h
		}
		h, best = next, sum
	}
	return h
}

// step is one step of Gauss and Newton's method, with the numbers kept at length 1.
func (h Homography) step(from, to []r2.Point) (Homography, bool) {
	rows := 2*len(from) + 1
	j, left := mat.NewDense(rows, 9, nil), mat.NewVecDense(rows, nil)
	for i, p := range from {
		x, y, w := h.lifted(p)
		u, v := x/w, y/w
		j.SetRow(2*i, []float64{p.X / w, p.Y / w, 1 / w, 0, 0, 0, -u * p.X / w, -u * p.Y / w, -u / w})
		j.SetRow(2*i+1, []float64{0, 0, 0, p.X / w, p.Y / w, 1 / w, -v * p.X / w, -v * p.Y / w, -v / w})
		left.SetVec(2*i, to[i].X-u)
		left.SetVec(2*i+1, to[i].Y-v)
	}
	j.SetRow(rows-1, h[:])
	var by mat.VecDense
	if by.SolveVec(j, left) != nil {
		return h, false
	}
	length := 0.0
	for i := range h {
		h[i] += by.AtVec(i)
		length = math.Hypot(length, h[i])
	}
	for i := range h {
		h[i] /= length
	}
	return h, true
}

func squares(h Homography, from, to []r2.Point) float64 {
	sum := 0.0
	for i, p := range from {
		x, y, w := h.lifted(p)
		d := r2.Point{X: x / w, Y: y / w}.Sub(to[i])
		sum += d.Dot(d)
	}
	return sum
}

// times is g first, then h.
func (h Homography) times(g Homography) Homography {
	var product Homography
	for r := range 3 {
		for c := range 3 {
			product[3*r+c] = h[3*r]*g[c] + h[3*r+1]*g[3+c] + h[3*r+2]*g[6+c]
		}
	}
	return product
}

func (h Homography) determinant() float64 {
	return h[0]*(h[4]*h[8]-h[5]*h[7]) - h[1]*(h[3]*h[8]-h[5]*h[6]) + h[2]*(h[3]*h[7]-h[4]*h[6])
}

// inverse goes back, up to a factor: the adjugate over the determinant.
func (h Homography) inverse() (Homography, bool) {
	d := h.determinant()
	adjugate := Homography{
		h[4]*h[8] - h[5]*h[7], h[2]*h[7] - h[1]*h[8], h[1]*h[5] - h[2]*h[4],
		h[5]*h[6] - h[3]*h[8], h[0]*h[8] - h[2]*h[6], h[2]*h[3] - h[0]*h[5],
		h[3]*h[7] - h[4]*h[6], h[1]*h[6] - h[0]*h[7], h[0]*h[4] - h[1]*h[3],
	}
	for i := range adjugate {
		adjugate[i] /= d
	}
	return adjugate, d != 0
}
