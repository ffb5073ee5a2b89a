package search_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
)

// Random openings and packs, our own invention, as the two files say them. JSON is
// YAML, so that the same text goes to our readers and to an outside solver.

type frameJSON struct {
	Format   int           `json:"format"`
	Frame    string        `json:"frame"`
	Accuracy int           `json:"accuracy,omitempty"`
	Opening  openingJSON   `json:"opening"`
	Rails    []railJSON    `json:"rails,omitempty"`
	KeepOuts []keepOutJSON `json:"keepouts,omitempty"`
}

type openingJSON struct {
	Outline  [][2]int      `json:"outline"`
	Sides    []sideJSON    `json:"sides,omitempty"`
	Across   int           `json:"across,omitempty"`
	Stations []stationJSON `json:"stations,omitempty"`
	Metal    bool          `json:"metal"`
}

type sideJSON struct {
	Name     string `json:"name"`
	Accuracy int    `json:"accuracy"`
}

type stationJSON struct {
	Z      int    `json:"z"`
	Across [2]int `json:"across"`
}

type keepOutJSON struct {
	Name    string     `json:"name"`
	Outline [][2]int   `json:"outline,omitempty"`
	Across  *[2]int    `json:"across,omitempty"`
	Box     *cornJSON  `json:"box,omitempty"`
	Round   *roundJSON `json:"round,omitempty"`
	Metal   bool       `json:"metal"`
	Gap     *int       `json:"gap,omitempty"`
	// Accuracy of its own, beside the frame's.
	Accuracy *int `json:"accuracy,omitempty"`
}

type railJSON struct {
	Name     string   `json:"name"`
	Path     [][3]int `json:"path"`
	Diameter int      `json:"diameter"`
}

type roundJSON struct {
	From     [3]int `json:"from"`
	To       [3]int `json:"to"`
	Diameter int    `json:"diameter"`
}

type cornJSON struct {
	Low  [3]int `json:"low"`
	High [3]int `json:"high"`
}

type packJSON struct {
	Format int            `json:"format"`
	Pack   string         `json:"pack"`
	Gaps   map[string]int `json:"gaps"`
	Boxes  []kindJSON     `json:"boxes"`
}

type kindJSON struct {
	Name     string     `json:"name"`
	Count    int        `json:"count"`
	Size     [3]int     `json:"size"`
	Accuracy int        `json:"accuracy,omitempty"`
	Stand    []string   `json:"stand"`
	Tilt     []int      `json:"tilt"`
	Posts    []postJSON `json:"posts,omitempty"`
}

type postJSON struct {
	Name     string `json:"name"`
	Face     string `json:"face"`
	At       [2]int `json:"at"`
	Diameter int    `json:"diameter"`
	Height   int    `json:"height"`
}

// files are the two files of a problem.
type files struct {
	Frame frameJSON `json:"frame"`
	Pack  packJSON  `json:"pack"`
}

// String gives the files as text, to be kept as two files for the fit command.
func (f files) String() string {
	return fmt.Sprintf("frame:\n%s\npack:\n%s", text(f.Frame), text(f.Pack))
}

// unsure tells whether anything may be other than measured.
func (f files) unsure() bool {
	for _, k := range f.Pack.Boxes {
		if k.Accuracy > 0 {
			return true
		}
	}
	return f.Frame.Accuracy > 0
}

func text(v any) []byte {
	b, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return b
}

// problem reads the files as the commands do.
func (f files) problem(tb testing.TB) pack.Problem {
	tb.Helper()
	fr, err := frame.Read(bytes.NewReader(text(f.Frame)), "frame.json")
	require.NoError(tb, err, f)
	p, err := pack.Read(bytes.NewReader(text(f.Pack)), "pack.json")
	require.NoError(tb, err, f)
	problem, err := pack.NewProblem(fr, p)
	require.NoError(tb, err)
	return problem
}

// generator makes the files of one seed.
type generator struct{ *rand.Rand }

func generatorFor(seed uint64) generator {
	return generator{rand.New(rand.NewPCG(seed, 0x5ba4e))}
}

// between returns a whole number from lo to hi, both included.
func (g generator) between(lo, hi int) int { return lo + g.IntN(hi-lo+1) }

// oneIn is true once in n times.
func (g generator) oneIn(n int) bool { return g.IntN(n) == 0 }

// randomFiles makes a problem with the given number of boxes: a convex outline or one
// with a corner that points inward, up to two keep-outs, one or two kinds of boxes that
// fill between a fifth and most of the room.
func randomFiles(seed uint64, count int) files {
	g := generatorFor(seed)
	f := frameJSON{Format: 1, Frame: fmt.Sprint("random ", seed), Opening: g.opening()}
	for i := range g.IntN(3) {
		f.KeepOuts = append(f.KeepOuts, g.keepOut(fmt.Sprint("keep-out ", i+1), f.Opening))
	}
	if g.oneIn(3) {
		f.Accuracy = g.between(1, 3)
	}
	ownAccuracies(generatorFor(seed+1<<40), &f)
	p := packJSON{Format: 1, Pack: fmt.Sprint("random ", seed), Gaps: g.gaps()}
	p.Boxes = g.kinds(count, g.fill(count)*roomOf(f)/float64(count))
	return files{f, p}
}

// ownAccuracies gives the sides and keep-outs of some frames accuracies of their own.
func ownAccuracies(g generator, f *frameJSON) {
	if f.Accuracy == 0 || !g.oneIn(2) {
		return
	}
	for i := range f.Opening.Outline {
		f.Opening.Sides = append(f.Opening.Sides, sideJSON{fmt.Sprint("edge ", i), g.between(0, 5)})
	}
	for i := range f.KeepOuts {
		own := g.between(0, 5)
		f.KeepOuts[i].Accuracy = &own
	}
}

// fill is how much of the room the boxes are to take: loose, tight or more than goes in.
func (g generator) fill(count int) float64 {
	most := 0.75
	if count <= 2 {
		most = 0.6
	}
	return 0.12 + (most-0.12)*g.Float64()
}

func (g generator) opening() openingJSON {
	o := openingJSON{Outline: g.convexOutline(), Metal: !g.oneIn(3)}
	if g.oneIn(2) {
		o.Outline = g.dented(o.Outline)
	}
	o.Across = 2 * g.between(60, 160)
	if g.oneIn(4) {
		half := o.Across / 2
		lo, hi := heights(o.Outline)
		o.Across = 0
		o.Stations = []stationJSON{
			{lo, [2]int{g.between(-half, -half/2), g.between(half/2, half)}},
			{hi, [2]int{g.between(-half, -half/2), g.between(half/2, half)}},
		}
	}
	return o
}

// convexOutline has three to five corners, mostly with slanted sides.
func (g generator) convexOutline() [][2]int {
	w, h := g.between(250, 600), g.between(200, 500)
	switch g.IntN(5) {
	case 0:
		return [][2]int{{0, 0}, {w, 0}, {w, h}, {0, h}}
	case 1:
		return [][2]int{{0, 0}, {w + 150, 0}, {g.between(0, w), h + 100}}
	case 2:
		return [][2]int{{0, 0}, {w, 0}, {w + g.between(0, 150), h / 2}, {w - g.between(0, 100), h}, {g.between(0, 80), h}}
	}
	return [][2]int{{0, 0}, {w, g.between(-40, 40)}, {w + g.between(-50, 150), h}, {g.between(-80, 80), h + g.between(-60, 60)}}
}

// dented puts a corner that points inward into the longest side.
func (g generator) dented(outline [][2]int) [][2]int {
	n, longest := len(outline), 0
	length := func(i int) float64 {
		a, b := outline[i], outline[(i+1)%n]
		return math.Hypot(float64(b[0]-a[0]), float64(b[1]-a[1]))
	}
	for i := range outline {
		if length(i) > length(longest) || g.oneIn(4) {
			longest = i
		}
	}
	a, b := outline[longest], outline[(longest+1)%n]
	t, deep := 0.25+0.5*g.Float64(), 0.08+0.2*g.Float64()
	dx, dz := float64(b[0]-a[0]), float64(b[1]-a[1])
	in := [2]int{
		int(math.Round(float64(a[0]) + t*dx - deep*dz)),
		int(math.Round(float64(a[1]) + t*dz + deep*dx)),
	}
	var all [][2]int
	all = append(all, outline[:longest+1]...)
	all = append(all, in)
	return append(all, outline[longest+1:]...)
}

func heights(outline [][2]int) (lo, hi int) {
	lo, hi = outline[0][1], outline[0][1]
	for _, c := range outline {
		lo, hi = min(lo, c[1]), max(hi, c[1])
	}
	return lo, hi
}

// keepOut is a block or a prism with three or four corners, anywhere in the opening.
func (g generator) keepOut(name string, o openingJSON) keepOutJSON {
	k := keepOutJSON{Name: name, Metal: !g.oneIn(3)}
	if g.oneIn(2) {
		gap := g.between(0, 12)
		k.Gap = &gap
	}
	lo, hi := heights(o.Outline)
	x, z := g.between(-20, 500), g.between(lo-20, hi)
	w, h := g.between(20, 120), g.between(20, 120)
	right := g.between(-150, 80)
	across := [2]int{right, right + g.between(30, 250)}
	switch g.IntN(3) {
	case 0:
		k.Box = &cornJSON{Low: [3]int{x, across[0], z}, High: [3]int{x + w, across[1], z + h}}
		return k
	case 1:
		k.Outline = [][2]int{{x, z}, {x + w, z + g.between(-30, 30)}, {x + g.between(0, w), z + h}}
	default:
		k.Outline = [][2]int{{x, z}, {x + w, z}, {x + w + g.between(-15, 40), z + h}, {x + g.between(-40, 15), z + h}}
	}
	k.Across = &across
	return k
}

// addRound adds tubes and drums to some frames; the outside solver knows no round ones.
func (g generator) addRound(f *frameJSON) {
	lo, hi := heights(f.Opening.Outline)
	point := func() [3]int { return [3]int{g.between(-50, 600), g.between(-160, 160), g.between(lo-20, hi+20)} }
	if g.oneIn(3) {
		from, to := point(), point()
		if g.oneIn(2) {
			to[0], to[2] = from[0], from[2]
		}
		to[1] = from[1] + g.between(60, 200)
		f.Rails = append(f.Rails, railJSON{"tube", [][3]int{from, to}, g.between(15, 45)})
	}
	if g.oneIn(3) {
		from := point()
		to := [3]int{from[0], from[1] + g.between(40, 200), from[2] + g.IntN(2)*g.between(-40, 40)}
		f.KeepOuts = append(f.KeepOuts, keepOutJSON{Name: "drum", Round: &roundJSON{from, to, g.between(30, 140)}, Metal: !g.oneIn(3)})
	}
}

func (g generator) gaps() map[string]int {
	return map[string]int{
		"beside": g.between(0, 6), "above": g.between(0, 10), "wall": g.between(0, 4),
		"keepout": g.between(0, 8), "post": g.between(5, 25), "boot": g.between(0, 5),
	}
}

// kinds are one or two kinds of boxes, each of about the given volume.
func (g generator) kinds(count int, volume float64) []kindJSON {
	if count == 1 || g.oneIn(2) {
		return []kindJSON{g.kind("battery", count, volume)}
	}
	n := g.between(1, count-1)
	share := 0.3 + 0.7*g.Float64()
	return []kindJSON{g.kind("battery", n, volume), g.kind("charger", count-n, share*volume)}
}

var standLists = [][]string{
	{"upright"},
	{"upright", "on-side"},
	{"upright", "on-side", "on-end"},
	{"on-end", "inverted"},
	{"on-side"},
	{"upright", "on-side", "on-end", "inverted"},
}

func (g generator) kind(name string, count int, volume float64) kindJSON {
	a, b := 0.6+0.9*g.Float64(), 0.6+0.9*g.Float64()
	side := math.Cbrt(volume)
	k := kindJSON{
		Name: name, Count: count, Stand: standLists[g.IntN(len(standLists))], Tilt: []int{0},
		Size: [3]int{int(side*a) + 5, int(side*b) + 5, int(side/a/b) + 5},
	}
	if g.oneIn(3) {
		k.Accuracy = g.between(1, 2)
	}
	if g.oneIn(6) {
		k.Tilt = [][]int{{0, 12}, {-10}, {8, 0, -15}}[g.IntN(3)]
	}
	if g.oneIn(6) {
		k.Posts = g.posts(k.Size)
	}
	return k
}

// posts are one or two on faces of a box.
func (g generator) posts(size [3]int) []postJSON {
	var all []postJSON
	faces := []string{"front", "back", "left", "right", "top", "top", "top", "bottom"}
	across := map[string][2]int{"front": {1, 2}, "back": {1, 2}, "left": {0, 2}, "right": {0, 2}, "top": {0, 1}, "bottom": {0, 1}}
	for _, name := range []string{"plus", "minus"}[:g.between(1, 2)] {
		face := faces[g.IntN(len(faces))]
		at := [2]int{g.IntN(size[across[face][0]]), g.IntN(size[across[face][1]])}
		diameter := g.between(6, 18)
		for i, axis := range across[face] {
			at[i] = max(min(at[i], size[axis]-diameter/2-1), diameter/2+1)
		}
		all = append(all, postJSON{name, face, at, diameter, g.IntN(20)})
	}
	return all
}

// roomOf is the volume of the opening without its keep-outs, in mm³.
func roomOf(f frameJSON) float64 {
	twice := 0
	outline := f.Opening.Outline
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		twice += a[0]*b[1] - a[1]*b[0]
	}
	across := float64(f.Opening.Across)
	if s := f.Opening.Stations; s != nil {
		across = float64(s[0].Across[1]-s[0].Across[0]+s[1].Across[1]-s[1].Across[0]) / 2
	}
	return float64(twice) / 2 * across
}
