package rack

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/frame/strict"
)

// Limits of a rack file.
const (
	MaxBars      = 256
	MaxFasteners = 512
	MaxPads      = 1024
	MaxWelds     = 512
	MaxClamps    = 32
	MaxRuns      = 16 // of a weld
	// MinBar is the least length of a bar in mm.
	MinBar = 5
	// MostTilt of trays in degrees: a box that is tilted by more stands on another face.
	MostTilt = 45
)

type rackFile struct {
	Format    int            `yaml:"format"`
	FrameHash string         `yaml:"frame_sha256,omitempty"`
	PackHash  string         `yaml:"pack_sha256,omitempty"`
	Joints    string         `yaml:"joints"`
	Give      strict.Length  `yaml:"give_mm"`
	Tilt      float64        `yaml:"tilt_deg,omitempty"`
	Bought    *boughtFile    `yaml:"bought,omitempty"`
	Bars      []barFile      `yaml:"bars"`
	Fasteners []fastenerFile `yaml:"fasteners"`
	Clamps    []clampFile    `yaml:"clamps,omitempty"`
	Welds     []weldFile     `yaml:"welds,omitempty"`
	Pads      []padFile      `yaml:"pads"`
}

type boughtFile struct {
	Bar   strict.Length   `yaml:"bar_mm"`
	Rod   strict.Length   `yaml:"rod_mm"`
	Kerf  strict.Length   `yaml:"kerf_mm"`
	Sheet []strict.Length `yaml:"sheet_mm,omitempty"`
}

type barFile struct {
	Name    strict.Name      `yaml:"name"`
	Section string           `yaml:"section"`
	From    strict.Point3    `yaml:"from_mm"`
	To      strict.Point3    `yaml:"to_mm"`
	A       strict.Direction `yaml:"leg_a"`
	B       strict.Direction `yaml:"leg_b"`
	Tray    string           `yaml:"tray,omitempty"`
	Late    bool             `yaml:"after_boxes,omitempty"`
}

type fastenerFile struct {
	Name   strict.Name   `yaml:"name"`
	Size   string        `yaml:"size"`
	Class  string        `yaml:"class"`
	Rod    bool          `yaml:"rod,omitempty"`
	From   strict.Point3 `yaml:"from_mm"`
	To     strict.Point3 `yaml:"to_mm"`
	Nuts   []nutFile     `yaml:"nuts,omitempty"`
	Joins  []strict.Name `yaml:"joins"`
	Sleeve *sleeveFile   `yaml:"sleeve,omitempty"`
	Late   bool          `yaml:"after_boxes,omitempty"`
}

type nutFile struct {
	At      strict.Length `yaml:"at_mm"`
	Beyond  bool          `yaml:"beyond,omitempty"`
	Locking bool          `yaml:"locking,omitempty"`
}

type sleeveFile struct {
	From  strict.Length `yaml:"from_mm"`
	To    strict.Length `yaml:"to_mm"`
	Outer strict.Length `yaml:"outer_mm"`
}

type clampFile struct {
	Name     strict.Name      `yaml:"name"`
	Rail     strict.Name      `yaml:"rail"`
	At       strict.Point3    `yaml:"at_mm"`
	Along    strict.Direction `yaml:"along"`
	Faces    strict.Direction `yaml:"faces"`
	Diameter strict.Length    `yaml:"rail_mm"`
	Bolt     string           `yaml:"bolt"`
}

type weldFile struct {
	Name   strict.Name   `yaml:"name"`
	Joins  []strict.Name `yaml:"joins"`
	Throat strict.Length `yaml:"throat_mm"`
	Runs   []runFile     `yaml:"runs"`
}

type runFile struct {
	Of   strict.Name   `yaml:"edge_of"`
	From strict.Point3 `yaml:"from_mm"`
	To   strict.Point3 `yaml:"to_mm"`
}

type padFile struct {
	Box    strict.Name      `yaml:"box"`
	Number int              `yaml:"number"`
	Face   strict.Direction `yaml:"face"`
	To     strict.Name      `yaml:"to"`
	Of     string           `yaml:"of"`
	Low    strict.Point3    `yaml:"low_mm"`
	High   strict.Point3    `yaml:"high_mm"`
}

// Write writes a rack file. All places in it are along the trays.
func Write(w io.Writer, r *Rack) error {
	tilt := r.Tilt
	r = r.Level()
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, "# A rack: bars by the ends of their heel (the outer corner of an angle), and where their legs\n# point; bolts and rods from the seat of the head, or end to end; pads. Change it by hand if you\n# like, then judge it: rackwright check FRAME PACK LAYOUT --rack this-file\n")
	fmt.Fprintf(b, "format: 1\nframe_sha256: %q\npack_sha256: %q\njoints: %s\ngive_mm: %s\n", r.FrameHash, r.PackHash, r.Joints, number(r.Give))
	if tilt != 0 {
		fmt.Fprintf(b, "# All places below are in axes that are turned nose down by this about the vehicle's cross axis.\ntilt_deg: %s\n", strconv.FormatFloat(tilt.Degrees(), 'g', 12, 64))
	}
	fmt.Fprintf(b, "bought: {bar_mm: %s, rod_mm: %s, kerf_mm: %s, sheet_mm: [%s, %s]}\n", number(r.Bought.Bar), number(r.Bought.Rod), number(r.Bought.Kerf), number(r.Bought.Sheet.X), number(r.Bought.Sheet.Y))
	list(b, "bars", len(r.Bars), func(i int) { writeBar(b, r.Bars[i]) })
	list(b, "fasteners", len(r.Fasteners), func(i int) { writeFastener(b, r.Fasteners[i]) })
	if len(r.Clamps) > 0 {
		list(b, "clamps", len(r.Clamps), func(i int) { writeClamp(b, r.Clamps[i]) })
	}
	if len(r.Welds) > 0 {
		list(b, "welds", len(r.Welds), func(i int) { writeWeld(b, r.Welds[i]) })
	}
	list(b, "pads", len(r.Pads), func(i int) { writePad(b, r.Pads[i]) })
	return b.Flush()
}

func list(b *bufio.Writer, key string, n int, one func(int)) {
	if n == 0 {
		fmt.Fprintf(b, "%s: []\n", key)
		return
	}
	fmt.Fprintf(b, "%s:\n", key)
	for i := range n {
		fmt.Fprint(b, "  - {")
		one(i)
		fmt.Fprint(b, "}\n")
	}
}

func writeBar(b *bufio.Writer, r Bar) {
	fmt.Fprintf(b, "name: %s, section: %s, from_mm: %s, to_mm: %s, leg_a: %s, leg_b: %s", strconv.Quote(r.Name), r.Section, point(r.From), point(r.To), direction(r.A), direction(r.B))
	if r.Tray != "" {
		fmt.Fprintf(b, ", tray: %s", strconv.Quote(r.Tray))
	}
	if r.Late {
		fmt.Fprint(b, ", after_boxes: true")
	}
}

func writeFastener(b *bufio.Writer, f Fastener) {
	fmt.Fprintf(b, "name: %s, size: %s, class: %q, from_mm: %s, to_mm: %s", strconv.Quote(f.Name), f.Size, f.Class, point(f.From), point(f.To))
	if f.Rod {
		fmt.Fprint(b, ", rod: true")
	}
	var nuts, joins []string
	for _, n := range f.Nuts {
		text := "{at_mm: " + number(n.At)
		if n.Beyond {
			text += ", beyond: true"
		}
		if n.Locking {
			text += ", locking: true"
		}
		nuts = append(nuts, text+"}")
	}
	for _, j := range f.Joins {
		joins = append(joins, strconv.Quote(j))
	}
	fmt.Fprintf(b, ", nuts: [%s], joins: [%s]", strings.Join(nuts, ", "), strings.Join(joins, ", "))
	if s := f.Sleeve; s != nil {
		fmt.Fprintf(b, ", sleeve: {from_mm: %s, to_mm: %s, outer_mm: %s}", number(s.From), number(s.To), number(s.Outer))
	}
	if f.Late {
		fmt.Fprint(b, ", after_boxes: true")
	}
}

func writeClamp(b *bufio.Writer, c Clamp) {
	fmt.Fprintf(b, "name: %s, rail: %s, at_mm: %s, along: %s, faces: %s, rail_mm: %s, bolt: %s", strconv.Quote(c.Name), strconv.Quote(c.Rail), point(c.At), direction(c.Along), direction(c.Faces), number(c.Diameter), c.Bolt)
}

func writeWeld(b *bufio.Writer, w Weld) {
	fmt.Fprintf(b, "name: %s, joins: [%s, %s], throat_mm: %s, runs: [", strconv.Quote(w.Name), strconv.Quote(w.Joins[0]), strconv.Quote(w.Joins[1]), number(w.Throat))
	for i, r := range w.Runs {
		if i > 0 {
			fmt.Fprint(b, ", ")
		}
		fmt.Fprintf(b, "{edge_of: %s, from_mm: %s, to_mm: %s}", strconv.Quote(r.Of), point(r.From), point(r.To))
	}
	fmt.Fprint(b, "]")
}

func writePad(b *bufio.Writer, p Pad) {
	fmt.Fprintf(b, "box: %s, number: %d, face: %s, to: %s, of: %s, low_mm: %s, high_mm: %s", strconv.Quote(p.Box), p.Number, direction(p.Face), strconv.Quote(p.To), p.Of, point(p.Low), point(p.High))
}

// number is a length to a thousandth of a millimetre, which no saw keeps.
func number(v float64) string {
	return strconv.FormatFloat(math.Round(v*1000)/1000+0, 'f', -1, 64)
}

func point(v r3.Vector) string {
	return "[" + number(v.X) + ", " + number(v.Y) + ", " + number(v.Z) + "]"
}

func direction(v r3.Vector) string {
	for word, d := range words {
		if v.Sub(d).Norm() < 1e-12 {
			return word
		}
	}
	exact := func(x float64) string { return strconv.FormatFloat(x+0, 'g', -1, 64) }
	return "[" + exact(v.X) + ", " + exact(v.Y) + ", " + exact(v.Z) + "]"
}

var words = map[string]r3.Vector{
	"front": {X: 1}, "back": {X: -1}, "left": {Y: 1}, "right": {Y: -1}, "up": {Z: 1}, "down": {Z: -1},
}

// Read reads a rack file. Errors about its content are strict.Errors.
func Read(r io.Reader, name string) (*Rack, error) {
	var file rackFile
	var out *Rack
	err := strict.Read(name, r, &file, func(d *strict.Decoder) { out = (&reader{d, map[string]bool{}}).rack(&file) })
	if err != nil {
		return nil, err
	}
	return out.Tilted(s1.Angle(file.Tilt) * s1.Degree), nil
}

type reader struct {
	*strict.Decoder
	names map[string]bool
}

func (r *reader) rack(f *rackFile) *Rack {
	if f.Format != 1 {
		r.At(&f.Format, strict.OutOfRange, "this program reads format 1")
	}
	out := &Rack{FrameHash: f.FrameHash, PackHash: f.PackHash, Joints: Joints(f.Joints), Give: float64(f.Give), Bought: DefaultLengths}
	if f.Bought != nil {
		r.lengths(f.Bought, &out.Bought)
	}
	if out.Joints != Bolted && out.Joints != Welded {
		r.At(&f.Joints, strict.BadValue, "joints are bolt or weld, not %q", f.Joints)
	}
	if out.Give < 0.5 || out.Give > 10 {
		r.At(&f.Give, strict.OutOfRange, "what foam gives is from 0.5 to 10 mm, not %g", out.Give)
	}
	if math.Abs(f.Tilt) > MostTilt {
		r.At(&f.Tilt, strict.OutOfRange, "trays are tilted by at most %d° either way, not %g°", MostTilt, f.Tilt)
	}
	r.most(&f.Bars, len(f.Bars), MaxBars, "bars")
	r.most(&f.Fasteners, len(f.Fasteners), MaxFasteners, "bolts and rods")
	r.most(&f.Pads, len(f.Pads), MaxPads, "pads")
	r.most(&f.Welds, len(f.Welds), MaxWelds, "welds")
	r.most(&f.Clamps, len(f.Clamps), MaxClamps, "clamps")
	for i := range f.Bars {
		out.Bars = append(out.Bars, r.bar(&f.Bars[i]))
	}
	for i := range f.Fasteners {
		out.Fasteners = append(out.Fasteners, r.fastener(&f.Fasteners[i]))
	}
	for i := range f.Clamps {
		out.Clamps = append(out.Clamps, r.clamp(&f.Clamps[i]))
	}
	for i := range f.Welds {
		out.Welds = append(out.Welds, r.weld(&f.Welds[i]))
	}
	for i := range f.Pads {
		out.Pads = append(out.Pads, r.pad(&f.Pads[i]))
	}
	return out
}

func (r *reader) lengths(f *boughtFile, to *Lengths) {
	*to = Lengths{Bar: float64(f.Bar), Rod: float64(f.Rod), Kerf: float64(f.Kerf), Sheet: DefaultLengths.Sheet}
	if len(f.Sheet) > 0 {
		to.Sheet = readSheet(r.Decoder, f.Sheet, &f.Sheet)
	}
	if to.Bar < 200 || to.Rod < 100 || to.Kerf < 0 || to.Kerf > 5 {
		r.At(f, strict.OutOfRange, "bars are bought in lengths from 200 mm on, rods from 100 mm on, and a saw takes from 0 to 5 mm")
	}
}

func (r *reader) most(at any, n, limit int, what string) {
	if n > limit {
		r.At(at, strict.TooLarge, "%d %s are more than the %d that are allowed", n, what, limit)
	}
}

func (r *reader) claim(at *strict.Name) string {
	if r.names[string(*at)] {
		r.At(at, strict.BadName, "another part of the rack has the name %q", string(*at))
	}
	r.names[string(*at)] = true
	return string(*at)
}

func vec(p [3]float64) r3.Vector { return r3.Vector{X: p[0], Y: p[1], Z: p[2]} }

func (r *reader) bar(f *barFile) Bar {
	section, err := ParseSection(f.Section)
	if err != nil {
		r.At(&f.Section, strict.BadValue, "%s", err)
	}
	b := Bar{
		Name: r.claim(&f.Name), Section: section, From: vec(f.From), To: vec(f.To),
		A: vec([3]float64(f.A)), B: vec([3]float64(f.B)), Tray: f.Tray, Late: f.Late,
	}
	if b.Length() < MinBar {
		r.At(&f.To, strict.OutOfRange, "this bar is %.3g mm long: a bar has at least %d mm from end to end", b.Length(), MinBar)
		return b
	}
	for _, d := range []struct {
		at  *strict.Direction
		dot float64
	}{{&f.A, b.A.Dot(b.Along())}, {&f.B, b.B.Dot(b.Along())}, {&f.B, b.A.Dot(b.B)}} {
		if math.Abs(d.dot) > 1e-6 {
			r.At(d.at, strict.BadValue, "the legs of a bar are square to it and to each other")
			break
		}
	}
	return b
}

func (r *reader) fastener(f *fastenerFile) Fastener {
	out := Fastener{
		Name: r.claim(&f.Name), Size: f.Size, Class: f.Class, Rod: f.Rod, From: vec(f.From), To: vec(f.To), Late: f.Late,
	}
	thread, err := ThreadOf(f.Size)
	if err != nil {
		r.At(&f.Size, strict.BadValue, "%s", err)
		return out
	}
	if _, _, err := thread.Resistance(f.Class); err != nil {
		r.At(&f.Class, strict.BadValue, "%s", err)
	}
	if out.Length() < thread.D {
		r.At(&f.To, strict.OutOfRange, "this is only %.3g mm long", out.Length())
	}
	for i := range f.Nuts {
		n := &f.Nuts[i]
		if float64(n.At) < 0 || float64(n.At) > out.Length() {
			r.At(&n.At, strict.OutOfRange, "a nut sits on the thread, from 0 to %.4g mm", out.Length())
		}
		out.Nuts = append(out.Nuts, Nut{float64(n.At), n.Beyond, n.Locking})
	}
	for _, j := range f.Joins {
		out.Joins = append(out.Joins, string(j))
	}
	if f.Sleeve != nil {
		out.Sleeve = &Sleeve{float64(f.Sleeve.From), float64(f.Sleeve.To), float64(f.Sleeve.Outer)}
	}
	return out
}

func (r *reader) clamp(f *clampFile) Clamp {
	c := Clamp{
		Name: r.claim(&f.Name), Rail: string(f.Rail), At: vec(f.At), Along: vec([3]float64(f.Along)), Faces: vec([3]float64(f.Faces)),
		Diameter: float64(f.Diameter), Bolt: f.Bolt,
	}
	if _, err := ThreadOf(f.Bolt); err != nil {
		r.At(&f.Bolt, strict.BadValue, "%s", err)
	}
	if c.Diameter < 10 || c.Diameter > 80 {
		r.At(&f.Diameter, strict.OutOfRange, "clamps are for rails from 10 to 80 mm, not %g", c.Diameter)
	}
	if math.Abs(c.Along.Dot(c.Faces)) > 1e-6 {
		r.At(&f.Faces, strict.BadValue, "a clamp faces a way that is square to its rail")
	}
	return c
}

func (r *reader) weld(f *weldFile) Weld {
	w := Weld{Name: r.claim(&f.Name), Throat: float64(f.Throat)}
	if len(f.Joins) != len(w.Joins) {
		r.At(&f.Joins, strict.BadValue, "a weld joins two bars, not %d", len(f.Joins))
		return w
	}
	w.Joins = [2]string{string(f.Joins[0]), string(f.Joins[1])}
	r.most(&f.Runs, len(f.Runs), MaxRuns, "runs of one weld")
	for i := range f.Runs {
		run := Run{string(f.Runs[i].Of), vec(f.Runs[i].From), vec(f.Runs[i].To)}
		if !slices.Contains(w.Joins[:], run.Of) {
			r.At(&f.Runs[i].Of, strict.BadValue, "this is neither of the two bars that the weld joins")
		}
		w.Runs = append(w.Runs, run)
	}
	return w
}

func (r *reader) pad(f *padFile) Pad {
	p := Pad{
		Box: string(f.Box), Number: f.Number, Face: vec([3]float64(f.Face)), To: string(f.To), Of: Material(f.Of), Low: vec(f.Low), High: vec(f.High),
	}
	if p.Of != Foam && p.Of != Block && p.Of != Hose {
		r.At(&f.Of, strict.BadValue, "a pad is of foam, block or hose, not %q", f.Of)
	}
	size := p.High.Sub(p.Low)
	if min(size.X, size.Y, size.Z) <= 0 {
		r.At(&f.High, strict.BadValue, "each number of high_mm has to be more than that of low_mm")
	}
	if a := p.Face.Abs(); a.X+a.Y+a.Z > 1+1e-9 {
		r.At(&f.Face, strict.BadValue, "a pad lies on a face that looks along an axis: up, down, left, right, front or back")
	}
	return p
}
