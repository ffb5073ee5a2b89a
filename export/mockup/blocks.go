package mockup

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"rackwright/export"
	"rackwright/export/block"
	"rackwright/pack"
)

// Blocks makes the printable blocks, one set for all boxes that are printed alike, and says
// what they take.
func Blocks(p pack.Problem, s Settings) (Result, error) {
	var r Result
	if !s.has(STL) && !s.has(ThreeMF) {
		return r, nil
	}
	var bills []bill
	all := prints(p, s)
	var names []string
	for _, g := range all {
		names = append(names, g.kind.Name)
	}
	var solid []string
	var made []block.Piece
	for i, file := range export.FileNames(names) {
		g, as := all[i], s.Print
		as.Stand = g.stand
		pieces, err := block.Pieces(g.kind, as)
		if err != nil {
			return r, err
		}
		r.solids(s, "block-"+file, pieces)
		r.openElsewhere(g, pieces)
		if slices.ContainsFunc(pieces, func(p block.Piece) bool { return p.Parts > 1 }) {
			r.note("Posts of %s run into each other or over an edge: let the slicer join them.", g.kind.Name)
		}
		if slices.ContainsFunc(pieces, func(p block.Piece) bool { return p.Open == nil && !p.Peg }) {
			solid = append(solid, g.kind.Name)
		}
		bills = append(bills, billOf(pieces, len(g.numbers))...)
		made = append(made, pieces...)
	}
	if s.Print.Shell > 0 {
		r.shells(s.Layout, solid)
	}
	cage, err := r.cage(p, s)
	if err != nil {
		return r, err
	}
	r.supports(append(made, cage...))
	r.filament(append(bills, billOf(cage, 1)...), s)
	return r, nil
}

// shells says how shells come out, and which kinds are solid even so.
func (r *Result) shells(l *pack.Layout, solid []string) {
	r.note("Shells are open at the bottom as the boxes %s. Pieces too small to hold pegs have none: tape or glue them.", standing(l))
	if len(solid) > 0 {
		r.note("Solid, wholly or in parts, because too thin for a hollow or with posts on all faces: %s.", named(solid))
	}
}

func standing(l *pack.Layout) string {
	if l == nil {
		return "stand upright"
	}
	return "stand in the layout"
}

// printed are boxes that are printed alike, under the name of their kind, and the faces that
// are down as they stand.
type printed struct {
	group
	down []pack.Face
}

// prints are the boxes that are printed alike: all of a kind, or of shells in a layout those
// that are open on the same face, which then have numbers in their names.
func prints(p pack.Problem, s Settings) []printed {
	var all []printed
	if s.Print.Shell == 0 || s.Layout == nil {
		for _, g := range groups(p, nil) {
			all = append(all, printed{g, []pack.Face{pack.Bottom}})
		}
		return all
	}
	for _, k := range p.Pack.Kinds {
		first := len(all)
		for _, g := range groups(p, s.Layout) {
			if g.kind.Name != k.Name {
				continue
			}
			down := g.stand.Up.Opposite()
			alike := func(o printed) bool {
				a, _ := block.OpenFace(k, o.stand)
				b, _ := block.OpenFace(k, g.stand)
				return a == b
			}
			if i := slices.IndexFunc(all[first:], alike); i >= 0 {
				all[first+i].numbers = append(all[first+i].numbers, g.numbers...)
				all[first+i].down = append(all[first+i].down, down)
				continue
			}
			all = append(all, printed{g, []pack.Face{down}})
		}
		if len(all)-first > 1 {
			for i := first; i < len(all); i++ {
				all[i].kind.Name = all[i].name()
			}
		}
	}
	return all
}

// openElsewhere says which shells are not open at the bottom as their boxes stand.
func (r *Result) openElsewhere(g printed, pieces []block.Piece) {
	var open, down []string
	for _, p := range pieces {
		for _, d := range g.down {
			if p.Open != nil && *p.Open != d {
				open, down = append(open, p.Open.String()), append(down, d.String())
			}
		}
	}
	if len(open) > 0 {
		r.note("The shell of %s is open at its %s: a post is on its %s, which is down.", g.kind.Name, either(open), either(down))
	}
}

// either names words once each: "left or top".
func either(words []string) string {
	return strings.Join(slices.Compact(slices.Sorted(slices.Values(words))), " or ")
}

// cage adds the frame as a cage for the blocks to go into; only at a scale, for at true
// size there is the frame itself.
func (r *Result) cage(p pack.Problem, s Settings) ([]block.Piece, error) {
	if s.Print.Scale == 0 || s.Print.Scale >= 1 {
		return nil, nil
	}
	if s.Taken != nil {
		p.Frame = s.Taken.Frame
		r.note("The cage shows the frame as changed for this layout: %s.", strings.Join(s.Taken.Names(), ", "))
	}
	c, err := block.CageOf(p, s.Layout, s.Order, s.Print)
	if err != nil || len(c.Pieces) == 0 {
		return nil, err
	}
	r.solids(s, "frame", c.Pieces)
	r.tellCage(c, s)
	return c.Pieces, nil
}

// tellCage says what the cage is made of, and what is special about it.
func (r *Result) tellCage(c block.Cage, s Settings) {
	where := "left"
	if c.OnRight {
		where = "right"
	}
	r.note("The frame comes as a cage with its plate at the %s-hand side; what is off while boxes go in is apart. The sides of the opening that are not open are in it%s.", where, ledges(s.Layout))
	if len(c.Unset) > 0 {
		r.note("No ledge goes under %s past the other boxes and their way in: hold it, or put something under it.", parts(c.Unset))
	}
	if len(s.Order.Steps) > 0 {
		var order []pack.Part
		for _, step := range s.Order.Steps {
			order = append(order, step.Part())
		}
		r.note("The boxes go in in this order: %s. rackwright check tells the moves.", parts(order))
	}
	if c.Split {
		r.note("The cage is larger than the printer and comes in pieces, with sockets in its plate: put a peg into each and glue the pieces together.")
	}
	for _, name := range c.Overlaid {
		r.note("%s is made of surfaces that run into each other: let the slicer join them.", name)
	}
	for _, m := range c.Meeting {
		r.note("%s, which is printed apart, runs into %s where it belongs: as the numbers are, both cannot be there at once.", m[0], m[1])
	}
	if len(c.Unheld) > 0 {
		r.note("No strut can be put to %s past the boxes: printed apart, to be glued in after them.", named(c.Unheld))
	}
	if len(c.Crossed) > 0 {
		r.note("Struts to %s cross the opening: with a layout they go around its boxes.", named(c.Crossed))
	}
	if len(c.Solid) > 0 {
		r.note("Solid, wholly or in parts, because too thin for a hollow or with more of itself on top: %s.", named(c.Solid))
	}
}

func ledges(l *pack.Layout) string {
	if l == nil {
		return ""
	}
	return ", and a ledge for each box that does not stand on others: set the boxes against and on these"
}

// parts are boxes in words.
func parts(list []pack.Part) string {
	var words []string
	for _, p := range list {
		words = append(words, p.String())
	}
	return strings.Join(words, ", ")
}

// leastSupport is the area in mm² of overhangs that is worth saying.
const leastSupport = 10

// supports says which pieces a printer needs supports under.
func (r *Result) supports(pieces []block.Piece) {
	var words []string
	for _, p := range pieces {
		if over := p.Overhang(); over >= leastSupport {
			words = append(words, fmt.Sprintf("%s (%.1f cm²)", p.Name, over/100))
		}
	}
	if len(words) > 0 {
		r.note("Let the slicer put supports where faces hang over by more than 45°: %s.", strings.Join(words, ", "))
	}
}

// named lists names once each.
func named(names []string) string {
	return strings.Join(slices.Compact(slices.Sorted(slices.Values(names))), ", ")
}

// solids adds pieces: an STL file each, or one 3MF file.
func (r *Result) solids(s Settings, name string, pieces []block.Piece) {
	if s.has(STL) {
		var ends []string
		common := shared(pieces)
		for _, p := range pieces {
			ends = append(ends, strings.TrimPrefix(p.Name, common))
		}
		ends = export.FileNames(ends)
		for i, p := range pieces {
			file := name + ".stl"
			if len(pieces) > 1 {
				file = name + "-" + ends[i] + ".stl"
			}
			r.Files = append(r.Files, block.STLFile(file, p.Mesh))
		}
	}
	if s.has(ThreeMF) {
		r.Files = append(r.Files, export.File{Name: name + ".3mf", Write: func(w io.Writer) error { return block.Write3MF(w, pieces) }})
	}
}

// shared are the words that the names of all pieces begin with, with a space behind.
func shared(pieces []block.Piece) string {
	common := pieces[0].Name
	for _, p := range pieces {
		for !strings.HasPrefix(p.Name, common) {
			common = common[:len(common)-1]
		}
	}
	return common[:strings.LastIndex(common, " ")+1]
}

// bill is a line of the table of plastic.
type bill struct {
	name   string
	copies int
	each   float64 // cm³
}

func billOf(pieces []block.Piece, boxes int) []bill {
	var all []bill
	for _, p := range pieces {
		all = append(all, bill{p.Name, p.Copies * max(1, boxes), p.Mesh.Volume() / 1000})
	}
	return all
}

// density of PLA in g/cm³, the usual value of makers' data sheets (common practice).
const density = 1.24

// plenty is how many grams of solid plastic are worth a word.
const plenty = 1000

// filament adds the table of volume and mass.
func (r *Result) filament(list []bill, s Settings) {
	var b strings.Builder
	fmt.Fprintf(&b, "Plastic, if printed solid (a sparse infill takes less), at %.2f g/cm³ for PLA:\n", density)
	wide := 20
	for _, l := range list {
		wide = max(wide, utf8.RuneCountInString(l.name))
	}
	fmt.Fprintf(&b, "  %-*s %6s %12s %10s\n", wide, "part", "pieces", "volume each", "mass")
	total := 0.0
	for _, l := range list {
		g := float64(l.copies) * l.each * density
		total += g
		fmt.Fprintf(&b, "  %-*s %6d %8.1f cm³ %8.0f g\n", wide, l.name, l.copies, l.each, g)
	}
	fmt.Fprintf(&b, "  %-*s %6s %12s %8.0f g", wide, "all", "", "", total)
	r.note("%s", b.String())
	if s.Print.Shell == 0 && total > plenty {
		r.note("That is a lot of plastic: --shell 2 prints open shells, --scale 1:4 small ones.")
	}
	for _, l := range list {
		if strings.HasSuffix(l.name, " peg") {
			r.note("Pieces are named by a letter from the back to the front, a number from right to left, and a level from the bottom; what falls apart in being cut has numbers behind. A peg goes into each two sockets that meet.")
			return
		}
	}
}
