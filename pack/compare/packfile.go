package compare

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/golang/geo/s1"

	"rackwright/frame"
	"rackwright/pack"
)

// Fixed is what goes in beside the batteries, and the gaps: from a pack file.
type Fixed struct {
	Gaps  pack.Gaps
	Kinds []pack.Kind
	Left  []string // kinds of the file that were left out, for they store energy
	Hash  string   // of the file; empty with none
}

// FixedOf takes the gaps of a pack file, and its boxes that store no energy. A nil pack gives the
// gaps by default.
func FixedOf(p *pack.Pack) Fixed {
	if p == nil {
		return Fixed{Gaps: pack.DefaultGaps()}
	}
	f := Fixed{Gaps: p.Gaps, Hash: p.Hash}
	for _, k := range p.Kinds {
		if k.Volts > 0 && k.AmpHours > 0 {
			f.Left = append(f.Left, k.Name)
			continue
		}
		f.Kinds = append(f.Kinds, k)
	}
	return f
}

// PackFile is the pack file of an entry: what is fitted is what stands in it, so that fit, check and
// all else can be asked about it.
func (f Fixed) PackFile(e Entry) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# One row of a comparison of batteries, as written by rackwright compare. For rackwright wire add\n# wiring: {series: %d, parallel: %d}\nformat: 1\npack: %s\n", e.Joined.Series, e.Joined.Parallel, strconv.Quote(packName(e)))
	g := f.Gaps
	fmt.Fprintf(&b, "gaps: {beside: %s, above: %s, wall: %s, rail: %s, keepout: %s, post: %s, boot: %s, entry: %s, tray: %s, bar: %s}\nboxes:\n",
		num(g.Beside), num(g.Above), num(g.Wall), num(g.Rail), num(g.KeepOut), num(g.Post), num(g.Boot), num(g.Entry), num(g.Tray), num(g.Bar))
	battery := e.Battery.Kind
	battery.Count, battery.Name = e.Count, freeName(battery.Name, f.Kinds)
	for _, k := range append([]pack.Kind{battery}, f.Kinds...) {
		writeKind(&b, k)
	}
	return b.String()
}

// packName is the entry's name, as long as names may be.
func packName(e Entry) string {
	tail := fmt.Sprintf(" x %d", e.Count)
	name := []rune(e.Battery.Name)
	const most = 60 // of strict.MaxName
	return strings.TrimSpace(string(name[:min(len(name), most-len(tail))])) + tail
}

// freeName is a name that no fixed box has.
func freeName(name string, kinds []pack.Kind) string {
	for _, k := range kinds {
		if k.Name == name {
			return "battery to buy"
		}
	}
	return name
}

func num(v float64) string { return strconv.FormatFloat(v+0, 'f', -1, 64) }

func writeKind(b *strings.Builder, k pack.Kind) {
	fmt.Fprintf(b, "  - name: %s\n    count: %d\n    size: [%s, %s, %s]\n", strconv.Quote(k.Name), k.Count, num(k.Size.X), num(k.Size.Y), num(k.Size.Z))
	for _, f := range []struct {
		key   string
		value float64
	}{
		{"accuracy", k.Accuracy},
		{"swell", k.Swell},
		{"mass", k.Mass},
		{"carries", k.Carries},
		{"volts", k.Volts},
		{"amp_hours", k.AmpHours},
		{"charge_volts", k.ChargeVolts},
	} {
		if f.value != 0 {
			fmt.Fprintf(b, "    %s: %s\n", f.key, num(f.value))
		}
	}
	var stands, tilts []string
	for _, s := range k.Stands {
		stands = append(stands, s.String())
	}
	for _, t := range k.Tilts {
		tilts = append(tilts, num(degrees(t)))
	}
	fmt.Fprintf(b, "    stand: [%s]\n    tilt: [%s]\n", strings.Join(stands, ", "), strings.Join(tilts, ", "))
	if k.Flooded {
		b.WriteString("    flooded: true\n")
	}
	writeRange(b, k.Within)
	writePosts(b, k.Posts)
}

func writeRange(b *strings.Builder, in pack.Range) {
	if in.IsAny() {
		return
	}
	var list []string
	for i, axis := range []string{"x", "y", "z"} {
		if r := in[i]; r != nil {
			list = append(list, fmt.Sprintf("%s: [%s, %s]", axis, num(r.Lo), num(r.Hi)))
		}
	}
	fmt.Fprintf(b, "    within: {%s}\n", strings.Join(list, ", "))
}

func writePosts(b *strings.Builder, posts []pack.Post) {
	for i, p := range posts {
		if i == 0 {
			b.WriteString("    posts:\n")
		}
		fmt.Fprintf(b, "      - {name: %s, face: %s, at: [%s, %s], diameter: %s, height: %s", strconv.Quote(p.Name), p.Face, num(p.At.X), num(p.At.Y), num(p.Diameter), num(p.Height))
		if p.Polarity != "" {
			fmt.Fprintf(b, ", polarity: %q", p.Polarity)
		}
		if p.Unused {
			b.WriteString(", unused: true")
		}
		if p.JoinedFirst {
			b.WriteString(", joined_first: true")
		}
		if p.Bolt != "" {
			fmt.Fprintf(b, ", bolt: %s", strconv.Quote(p.Bolt))
		}
		b.WriteString("}\n")
	}
}

// Problem is the problem of an entry.
func (f Fixed) Problem(in *frame.Frame, e Entry) (pack.Problem, error) {
	p, err := pack.Read(strings.NewReader(f.PackFile(e)), e.Name())
	if err != nil {
		return pack.Problem{}, err
	}
	return pack.NewProblem(in, p)
}

// degrees is an angle as files have it, without the last digits that the conversion has put there.
func degrees(a s1.Angle) float64 {
	d, _ := strconv.ParseFloat(strconv.FormatFloat(a.Degrees(), 'g', 13, 64), 64)
	return d
}
