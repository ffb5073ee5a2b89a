package card

import (
	"bufio"
	"fmt"
	"html"
	"io"
	"math"
	"unicode"
	"unicode/utf8"

	"github.com/golang/geo/r2"

	"rackwright/export"
	"rackwright/geom"
	"rackwright/pack"
)

// DefaultBoard is the thickness of common corrugated card with C flute and liners:
// 4.0 mm nominal (board calipers as published by makers).
const DefaultBoard = 4.0

// Files returns a net for every kind of box as SVG at true size.
func Files(p pack.Pack, board float64) ([]export.File, error) {
	var names []string
	for _, k := range p.Kinds {
		names = append(names, k.Name)
	}
	var files []export.File
	for i, name := range export.FileNames(names) {
		n, err := NetOf(p.Kinds[i], board)
		if err != nil {
			return nil, err
		}
		files = append(files, export.File{Name: "card-" + name + ".svg", Write: func(w io.Writer) error {
			return n.WriteSVG(w, p.Unit)
		}})
	}
	return files, nil
}

// WriteSVG writes the net at true size: solid lines are cut, dashed ones folded away
// from the reader. unit is that of the sizes in words.
func (n *Net) WriteSVG(w io.Writer, unit geom.Unit) error {
	b := bufio.NewWriter(w)
	s := sheet{b, n.Size.Y + footer}
	height := n.Size.Y + footer
	fmt.Fprintf(b, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %s %s\">\n",
		num(n.Size.X), num(height), num(n.Size.X), num(height))
	fmt.Fprintf(b, "<title>Card template: %s</title>\n", clean(n.Kind.Name))
	fmt.Fprint(b, "<style>.cut{fill:none;stroke:#000;stroke-width:0.5}.fold{fill:none;stroke:#000;stroke-width:0.35;stroke-dasharray:6 3}"+
		".mark{fill:none;stroke:#000;stroke-width:0.25}text{font-family:sans-serif;text-anchor:middle}</style>\n")
	for _, e := range n.cuts() {
		s.line("cut", e[0], e[1])
	}
	for _, f := range n.Folds {
		s.line("fold", f.From, f.To)
	}
	for i := range n.Panels {
		n.labels(s, n.Panels[i], unit)
	}
	for _, t := range n.Kind.Posts {
		n.post(s, t)
	}
	n.footer(s, unit)
	fmt.Fprint(b, "</svg>\n")
	return b.Flush()
}

// footer is the room in millimetres below the net for the check bar and how to fold.
const footer = 34.0

// sheet writes shapes; y runs up from the bottom of the sheet.
type sheet struct {
	w      io.Writer
	height float64
}

func (s sheet) y(y float64) string { return num(s.height - footer - y) }

func (s sheet) line(class string, a, b r2.Point) {
	fmt.Fprintf(s.w, "<path class=\"%s\" d=\"M%s %sL%s %s\"/>\n", class, num(a.X), s.y(a.Y), num(b.X), s.y(b.Y))
}

func (s sheet) circle(class string, c r2.Point, radius float64) {
	fmt.Fprintf(s.w, "<circle class=\"%s\" cx=\"%s\" cy=\"%s\" r=\"%s\"/>\n", class, num(c.X), s.y(c.Y), num(radius))
}

// wide is how wide a letter of a sans-serif face is taken to be, over its height.
const wide = 0.62

// text writes a line around a point, smaller where it is wider than room.
func (s sheet) text(at r2.Point, size, room float64, line string) {
	if n := float64(utf8.RuneCountInString(line)); n > 0 {
		size = min(size, room/(wide*n))
	}
	fmt.Fprintf(s.w, "<text x=\"%s\" y=\"%s\" font-size=\"%s\">%s</text>\n", num(at.X), s.y(at.Y), num(size), clean(line))
}

// clean makes a name fit for a drawing: no characters of control, none of markup.
func clean(text string) string {
	var out []rune
	for _, r := range text {
		if unicode.IsPrint(r) {
			out = append(out, r)
		}
	}
	return html.EscapeString(string(out))
}

// num rounds to a thousandth of a millimetre.
func num(v float64) string {
	return fmt.Sprintf("%g", math.Round(v*1000)/1000+0)
}

// cuts are the edges of all panels where nothing is folded.
func (n *Net) cuts() [][2]r2.Point {
	var list [][2]r2.Point
	for _, p := range n.Panels {
		v := p.Rect.Vertices()
		for i := range v {
			list = append(list, n.without(v[i], v[(i+1)%4])...)
		}
	}
	return list
}

// without is what the folds leave of an edge: nothing, one or two stretches.
func (n *Net) without(a, b r2.Point) [][2]r2.Point {
	for _, f := range n.Folds {
		d := b.Sub(a).Normalize()
		if math.Abs(d.Cross(f.From.Sub(a))) > 1e-9 || math.Abs(d.Cross(f.To.Sub(a))) > 1e-9 {
			continue
		}
		lo, hi := d.Dot(f.From.Sub(a)), d.Dot(f.To.Sub(a))
		lo, hi = min(lo, hi), max(lo, hi)
		length := b.Sub(a).Norm()
		if hi <= 0 || lo >= length {
			continue
		}
		var left [][2]r2.Point
		if lo > 1e-9 {
			left = append(left, [2]r2.Point{a, a.Add(d.Mul(lo))})
		}
		if hi < length-1e-9 {
			left = append(left, [2]r2.Point{a.Add(d.Mul(hi)), b})
		}
		return left
	}
	return [][2]r2.Point{{a, b}}
}

// labels writes what a face is, clear of its posts: the walls say which way is up, top
// and bottom what the real box weighs.
func (n *Net) labels(s sheet, p Panel, unit geom.Unit) {
	if p.Flap {
		s.text(p.Rect.Center(), 5, p.Rect.X.Length()-4, "glue inside")
		return
	}
	lines := []string{n.Kind.Name + ", " + p.Face.String()}
	if p.Face == pack.Top || p.Face == pack.Bottom {
		if n.Kind.Mass > 0 {
			lines = append(lines, "the real one weighs "+mass(n.Kind.Mass, unit))
		}
		lines = append(lines, "mock-up – weighs nothing")
	} else {
		lines = append([]string{"", "", "this way up"}, lines...)
	}
	at, h := n.room(p, lines)
	for i, line := range lines {
		y := at.Y + lead*h*(float64(len(lines)-1)/2-float64(i)) - h/3
		if line != "" {
			s.text(r2.Point{X: at.X, Y: y}, h, p.Rect.X.Length(), line)
		}
	}
	if lines[0] == "" {
		s.arrow(r2.Point{X: at.X, Y: at.Y + lead*h*float64(len(lines))/2}, h)
	}
}

// lead is the distance of lines of text over their height.
const lead = 1.3

// arrow points up; its tip is at a point.
func (s sheet) arrow(tip r2.Point, h float64) {
	s.line("mark", tip.Sub(r2.Point{Y: 2 * h}), tip)
	s.line("mark", tip.Sub(r2.Point{X: h / 2, Y: h / 2}), tip)
	s.line("mark", tip.Sub(r2.Point{X: -h / 2, Y: h / 2}), tip)
}

// room finds where on a panel lines of text go, as large as the posts let them.
func (n *Net) room(p Panel, lines []string) (at r2.Point, h float64) {
	longest := 0
	for _, line := range lines {
		longest = max(longest, utf8.RuneCountInString(line))
	}
	const air = 3.0
	for h = 9; h > 1; h *= 0.85 {
		size := r2.Point{X: wide*h*float64(longest) + 2*air, Y: lead*h*float64(len(lines)) + 2*air}
		free := r2.Rect{X: p.Rect.X.Expanded(-size.X / 2), Y: p.Rect.Y.Expanded(-size.Y / 2)}
		if free.X.IsEmpty() || free.Y.IsEmpty() {
			continue
		}
		for _, fy := range []float64{0.5, 0.25, 0.75, 0, 1} {
			for _, fx := range []float64{0.5, 0.25, 0.75, 0, 1} {
				at = r2.Point{X: free.X.Lo + fx*free.X.Length(), Y: free.Y.Lo + fy*free.Y.Length()}
				if !n.meetsPost(p.Face, r2.RectFromCenterSize(at, size)) {
					return at, h
				}
			}
		}
	}
	return p.Rect.Center(), h
}

func (n *Net) meetsPost(face pack.Face, area r2.Rect) bool {
	for _, t := range n.Kind.Posts {
		if t.Face != face {
			continue
		}
		c := n.At(face, t.At)
		if area.Intersects(r2.RectFromCenterSize(c, r2.Point{X: t.Diameter, Y: t.Diameter})) || area.Intersects(n.postText(t).area) {
			return true
		}
	}
	return false
}

func mass(kg float64, unit geom.Unit) string {
	if unit == geom.Inch {
		return fmt.Sprintf("%.1f lb", kg/geom.KilogramsPerPound)
	}
	return fmt.Sprintf("%.1f kg", kg)
}

// post draws a post at its true place, with its polarity and how far it stands out.
func (n *Net) post(s sheet, t pack.Post) {
	c, r := n.At(t.Face, t.At), t.Diameter/2
	s.circle("mark", c, r)
	s.line("mark", c.Sub(r2.Point{X: r}), c.Add(r2.Point{X: r}))
	if t.Polarity != "-" {
		s.line("mark", c.Sub(r2.Point{Y: r}), c.Add(r2.Point{Y: r}))
	}
	text := n.postText(t)
	s.text(text.area.Center().Sub(r2.Point{Y: text.size / 3}), text.size, math.Inf(1), text.line)
}

// note is a line of text and the room it takes.
type note struct {
	line string
	size float64
	area r2.Rect
}

// postText is what is written at a post: below it, or above where there is no room,
// and within the panel.
func (n *Net) postText(t pack.Post) note {
	var panel r2.Rect
	for _, p := range n.Panels {
		if p.Face == t.Face && !p.Flap {
			panel = p.Rect
		}
	}
	line := t.Name
	if t.Height > 0 {
		line += fmt.Sprintf(", %.3g mm high", t.Height)
	}
	letters := max(1, float64(utf8.RuneCountInString(line)))
	size := min(4, (panel.X.Length()-2)/(wide*letters))
	half := wide * size * letters / 2
	c, r := n.At(t.Face, t.At), t.Diameter/2
	at := r2.Point{X: min(max(c.X, panel.X.Lo+1+half), panel.X.Hi-1-half), Y: c.Y - r - size}
	if at.Y-size < panel.Y.Lo {
		at.Y = c.Y + r + size
	}
	return note{line, size, r2.RectFromCenterSize(at, r2.Point{X: 2 * half, Y: lead * size})}
}

func (n *Net) footer(s sheet, unit geom.Unit) {
	size := n.Kind.Size
	lines := []string{
		fmt.Sprintf("%s: measures %s × %s × %s outside when folded from card %g mm thick. Dashed: score and fold away from you. Tape the ends.",
			n.Kind.Name, geom.FormatLength(size.X, unit), geom.FormatLength(size.Y, unit), geom.FormatLength(size.Z, unit), n.Board),
		"Print at 100 %, never fitted to the page: the bar is 100 mm long. Check it with a ruler.",
	}
	for i, line := range lines {
		s.text(r2.Point{X: n.Size.X / 2, Y: -6 - 7*float64(i)}, 4.5, n.Size.X-2*margin, line)
	}
	bar := r2.Point{X: margin, Y: -24}
	end := bar.Add(r2.Point{X: 100})
	s.line("mark", bar, end)
	for _, p := range []r2.Point{bar, end} {
		s.line("mark", p.Sub(r2.Point{Y: 3}), p.Add(r2.Point{Y: 3}))
	}
}
