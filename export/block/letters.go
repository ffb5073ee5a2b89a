package block

import (
	"slices"
	"strings"
	"sync"

	"github.com/golang/geo/r2"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"rackwright/geom"
	"rackwright/pack"
)

// face is the face that marks are cut in.
var face = sync.OnceValue(func() *sfnt.Font {
	f, err := sfnt.Parse(gobold.TTF)
	if err != nil {
		panic(err) // the face is part of the program
	}
	return f
})

// em is how many units letters are read in.
const em = 2048

// word is a line of text as shapes, from the origin, and how wide it is.
type word struct {
	shapes []feature // counter-clockwise rings and what is level in them; no height yet
	width  float64
}

// wordOf draws a line of text of a size. Letters that the face lacks are left out.
func wordOf(text string, size float64) word {
	var w word
	var b sfnt.Buffer
	f := face()
	for _, r := range text {
		i, err := f.GlyphIndex(&b, r)
		if err != nil || i == 0 {
			continue
		}
		segments, err := f.LoadGlyph(&b, i, fixed.I(em), nil)
		if err != nil {
			continue
		}
		w.shapes = append(w.shapes, nested(contours(segments, size/em, w.width))...)
		if a, err := f.GlyphAdvance(&b, i, fixed.I(em), font.HintingNone); err == nil {
			w.width += float64(a) / 64 * size / em
		}
	}
	return w
}

// curve is into how many straight pieces a curve of a letter is cut.
const curve = 3

// contours are the closed lines of a letter, y upwards.
func contours(segments sfnt.Segments, scale, x float64) [][]r2.Point {
	at := func(p fixed.Point26_6) r2.Point {
		return r2.Point{X: x + float64(p.X)/64*scale, Y: -float64(p.Y) / 64 * scale}
	}
	var all [][]r2.Point
	var line []r2.Point
	for _, s := range segments {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			all = append(all, tidy(line))
			line = []r2.Point{at(s.Args[0])}
		case sfnt.SegmentOpLineTo:
			line = append(line, at(s.Args[0]))
		case sfnt.SegmentOpQuadTo: // Bézier curve of the second degree, as in TrueType
			a, b, c := line[len(line)-1], at(s.Args[0]), at(s.Args[1])
			for i := 1; i <= curve; i++ {
				t := float64(i) / curve
				line = append(line, a.Mul((1-t)*(1-t)).Add(b.Mul(2*t*(1-t))).Add(c.Mul(t*t)))
			}
		}
	}
	return append(all, tidy(line))
}

// tidy leaves out points that repeat the one before, and the end that repeats the start.
func tidy(line []r2.Point) []r2.Point {
	const same = 1e-3
	var kept []r2.Point
	for _, p := range line {
		if len(kept) == 0 || p.Sub(kept[len(kept)-1]).Norm() > same {
			kept = append(kept, p)
		}
	}
	for len(kept) > 1 && kept[0].Sub(kept[len(kept)-1]).Norm() <= same {
		kept = kept[:len(kept)-1]
	}
	return kept
}

// nested puts the inner lines of a letter into the outer ones. TrueType draws outer
// lines clockwise and inner ones the other way.
func nested(lines [][]r2.Point) []feature {
	var outer []feature
	var inner [][]r2.Point
	for _, l := range lines {
		switch {
		case len(l) <= 2:
		case area(l) < 0:
			slices.Reverse(l)
			outer = append(outer, feature{ring: l})
		default:
			inner = append(inner, l)
		}
	}
	for _, l := range inner {
		for i := range outer {
			if (geom.Polygon{Corners: outer[i].ring}).Contains(l[0]) {
				outer[i].level = append(outer[i].level, l)
				break
			}
		}
	}
	return outer
}

// area is that within a closed line, negative where it runs clockwise.
func area(l []r2.Point) float64 { return geom.Polygon{Corners: l}.Area() }

// Sizes of letters in millimetres: none that a printer would not show.
const (
	largest  = 12.0
	smallest = 4.0
	markEdge = 2.0 // free room around a mark
)

// signs cuts + and − beside the posts of a face that have a polarity, upright as words are: at
// the nearest side of each that has room.
func (b *brick) signs(face pack.Face, posts []pack.Post, deep float64) {
	f, size, turned := b.picture(face)
	for _, t := range posts {
		w := wordOf(signOf(t), signHigh)
		if t.Face != face || len(w.shapes) == 0 {
			continue
		}
		q := inPicture(f.own(t.At), turned, f.size)
		need := r2.Point{X: w.width + 1, Y: signHigh}
		away := t.Diameter/2 + 0.5 + need.X/2
		for _, d := range []r2.Point{{X: away}, {X: -away}, {Y: -away}, {Y: away}} {
			low := q.Add(d).Sub(need.Mul(0.5))
			area := r2.RectFromPoints(low, low.Add(need))
			if !r2.RectFromPoints(r2.Point{}, size).Contains(area) || b.meets(face, area, turned, f.size) {
				continue
			}
			b.write(face, w, low.Add(r2.Point{X: 0.5, Y: 0.15 * signHigh}), deep)
			break
		}
	}
}

// signHigh is the size in millimetres of the letters of signs.
const signHigh = 7.0

// signOf is the sign of a post, with the minus of typesetters, which is as wide as the plus.
func signOf(t pack.Post) string { return strings.ReplaceAll(t.Polarity, "-", "−") }

// picture is a face with the size of the picture that text on it is set in, and whether that is
// turned: then up, or the box's own W, is along u.
func (b *brick) picture(face pack.Face) (f faceFrame, size r2.Point, turned bool) {
	f = faceOf(b.size, face)
	size = f.size
	if f.swap {
		size.X, size.Y = size.Y, size.X
	}
	return f, size, f.swap
}

// inPicture undoes onFace.
func inPicture(p r2.Point, turned bool, size r2.Point) r2.Point {
	if turned {
		return r2.Point{X: size.Y - p.Y, Y: p.X}
	}
	return p
}

// write cuts a line of text into a face from a point of its picture.
func (b *brick) write(face pack.Face, w word, start r2.Point, deep float64) {
	f, _, turned := b.picture(face)
	for _, s := range w.shapes {
		b.features[face] = append(b.features[face], s.placed(start, turned, f.size, -deep))
	}
}

// label cuts what the box is called into a face, and below it a word.
func (b *brick) label(face pack.Face, name, word string, deep float64) {
	b.mark(face, name, deep, 0.75, 0.5, 0.9, 0.25, 0.1, 0, 1)
	b.mark(face, word, deep, 0.25, 0.5, 0.1, 0.75, 0.9, 0, 1)
}

// mark cuts a line of text into a face, where it meets no other feature; upright on the box's
// own sides, at the first of some shares of the room's height that is free. It is left out where
// there is no room.
func (b *brick) mark(face pack.Face, text string, deep float64, heights ...float64) {
	f, size, turned := b.picture(face)
	for high := largest; high >= smallest; high *= 0.8 {
		w := wordOf(text, high)
		need := r2.Point{X: w.width + 2*markEdge, Y: high + 2*markEdge}
		if len(w.shapes) == 0 || need.X > size.X || need.Y > size.Y {
			continue
		}
		for _, fy := range heights {
			for _, fx := range []float64{0.5, 0.2, 0.8, 0, 1} {
				low := r2.Point{X: fx * (size.X - need.X), Y: fy * (size.Y - need.Y)}
				area := r2.RectFromPoints(low, low.Add(need))
				if b.meets(face, area, turned, f.size) {
					continue
				}
				start := low.Add(r2.Point{X: markEdge, Y: markEdge + 0.25*high})
				b.write(face, w, start, deep)
				return
			}
		}
	}
}

// onFace turns a point of the picture that text is set in into the face's axes.
func onFace(p r2.Point, turned bool, size r2.Point) r2.Point {
	if turned {
		return r2.Point{X: p.Y, Y: size.Y - p.X}
	}
	return p
}

func (x feature) placed(by r2.Point, turned bool, size r2.Point, height float64) feature {
	move := func(l []r2.Point) []r2.Point {
		out := make([]r2.Point, len(l))
		for i, p := range l {
			out[i] = onFace(p.Add(by), turned, size)
		}
		return out
	}
	out := feature{ring: move(x.ring), height: height}
	for _, l := range x.level {
		out.level = append(out.level, move(l))
	}
	return out
}

// meets tells whether an area of the picture meets a feature of a face.
func (b *brick) meets(face pack.Face, area r2.Rect, turned bool, size r2.Point) bool {
	here := r2.RectFromPoints(onFace(area.Lo(), turned, size), onFace(area.Hi(), turned, size))
	for _, x := range b.features[face] {
		if here.Intersects(r2.RectFromPoints(x.ring...)) {
			return true
		}
	}
	return false
}
