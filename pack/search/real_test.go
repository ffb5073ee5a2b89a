package search_test

import (
	"fmt"
	"math"
	"os"
	"runtime/debug"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
)

// Problems such as builders have, our own invention: frames with rails at their sides and tubes
// across, keep-outs in their corners, sides of which one or two are open, widths that change with
// height; batteries with posts on top or in front, a charger, a controller with posts at its ends;
// accuracies, tilts and gaps. They fill a fifth to three fifths of the room.

// real makes such a problem.
type real struct {
	generator
	width, height, across int
	frame, pack           strings.Builder
}

// realProblem is the problem of a seed, of 2 to 8 boxes.
func realProblem(tb testing.TB, seed uint64) pack.Problem {
	tb.Helper()
	r := &real{generator: generator{generatorFor(seed ^ 0x4ea1).Rand}}
	r.realOpening()
	r.rails()
	r.keepOuts()
	r.boxes(2 + int(seed%7))
	f, err := frame.Read(strings.NewReader(r.frame.String()), "frame.yaml")
	require.NoError(tb, err, r.frame.String())
	p, err := pack.Read(strings.NewReader(r.pack.String()), "pack.yaml")
	require.NoError(tb, err, r.pack.String())
	problem, err := pack.NewProblem(f, p)
	require.NoError(tb, err)
	if dir := os.Getenv("RACKWRIGHT_REAL_KEEP"); dir != "" {
		require.NoError(tb, os.WriteFile(fmt.Sprintf("%s/%d.frame.yaml", dir, seed), []byte(r.frame.String()), 0o600))
		require.NoError(tb, os.WriteFile(fmt.Sprintf("%s/%d.pack.yaml", dir, seed), []byte(r.pack.String()), 0o600))
	}
	return problem
}

func (r *real) realOpening() {
	r.width, r.height, r.across = r.between(300, 620), r.between(220, 420), 2*r.between(85, 150)
	w, h := r.width, r.height
	outline := [][2]int{{0, 0}, {w, 0}, {w, h}, {0, h}}
	switch r.IntN(5) {
	case 0: // a frame with slanted ends
		outline = [][2]int{{0, 0}, {w, 0}, {w + r.between(0, 110), h}, {r.between(0, 70), h + r.between(0, 30)}}
	case 1: // a step in the floor
		x, z := r.between(w/5, w/3), r.between(h/6, h/3)
		outline = [][2]int{{0, z}, {x, z}, {x + r.between(0, 40), 0}, {w, 0}, {w + r.between(0, 60), h}, {0, h}}
	case 2: // a cut corner
		outline = [][2]int{{0, 0}, {w - r.between(40, 110), 0}, {w, r.between(60, h/2)}, {w, h}, {0, h}}
	}
	fmt.Fprintf(&r.frame, "format: 1\nframe: real\n")
	if r.oneIn(2) {
		fmt.Fprintf(&r.frame, "accuracy: %d\n", r.between(1, 3))
	}
	var sides, corners []string
	for i, c := range outline {
		sides, corners = append(sides, fmt.Sprint("side ", i)), append(corners, fmt.Sprintf("[%d, %d]", c[0], c[1]))
	}
	fmt.Fprintf(&r.frame, "opening:\n  outline: [%s]\n  sides: [%s]\n", strings.Join(corners, ", "), strings.Join(sides, ", "))
	if !r.oneIn(3) {
		fmt.Fprintf(&r.frame, "  open: [%s]\n", sides[len(sides)-2]) // the top
	}
	if r.oneIn(3) {
		fmt.Fprintf(&r.frame, "  stations: [{z: 0, across: %d}, {z: %d, across: %d}]\n", r.across-2*r.between(5, 30), h/2, r.across)
	} else {
		fmt.Fprintf(&r.frame, "  across: %d\n", r.across)
	}
}

// rails are bars along both sides, outside or a little inside, and tubes across or upright.
func (r *real) rails() {
	fmt.Fprintf(&r.frame, "rails:\n  - {name: neck, path: [[%d, 0, -40], [%d, 0, %d]], diameter: %d}\n",
		r.width+r.between(30, 60), r.width+r.between(60, 160), r.height+20, r.between(30, 45))
	if !r.oneIn(3) {
		z := r.between(-30, r.height)
		y := r.across/2 + r.between(-10, 25)
		fmt.Fprintf(&r.frame, "  - {name: side rail, path: [[-20, %d, %d], [%d, %d, %d]], diameter: %d, mirror: true, removable: %v}\n",
			y, z, r.width+40, y, z+r.between(-20, 20), r.between(18, 30), r.oneIn(4))
	}
	if r.oneIn(2) {
		x, z := r.between(0, r.width), r.height+r.between(0, 20)
		fmt.Fprintf(&r.frame, "  - {name: cross tube, path: [[%d, %d, %d], [%d, %d, %d]], diameter: %d, removable: %v}\n",
			x, -r.across/2-10, z, x, r.across/2+10, z, r.between(20, 32), r.oneIn(2))
	}
}

// keepOuts are a block in a corner, a drum across, a prism overhead.
func (r *real) keepOuts() {
	var list []string
	if r.oneIn(2) {
		x, y, z := r.IntN(2)*(r.width-60), r.IntN(2)*(r.across-70)-r.across/2, r.IntN(2)*(r.height-80)
		list = append(list, fmt.Sprintf("{name: block, box: {low: [%d, %d, %d], high: [%d, %d, %d]}, metal: %v}",
			x, y, z, x+r.between(30, 90), y+r.between(30, 90), z+r.between(30, 110), !r.oneIn(3)))
	}
	if r.oneIn(3) {
		x, z := r.between(20, r.width-20), r.between(0, 60)
		list = append(list, fmt.Sprintf("{name: pivot, round: {from: [%d, %d, %d], to: [%d, %d, %d]}, diameter: %d}", x, -r.across/2, z, x, r.across/2, z, r.between(20, 50)))
		list[len(list)-1] = strings.Replace(list[len(list)-1], "}, diameter", ", diameter", 1) + "}"
	}
	if r.oneIn(2) {
		z := r.height + r.between(-10, 12)
		list = append(list, fmt.Sprintf("{name: seat, outline: [[-20, %d], [%d, %d], [%d, %d], [-20, %d]], across: %d, metal: false, lifts_off: %v}",
			z, r.width/2, z, r.width/2+40, z+80, z+80, r.across, !r.oneIn(3)))
	}
	if len(list) > 0 {
		fmt.Fprintf(&r.frame, "keepouts:\n  - %s\n", strings.Join(list, "\n  - "))
	}
}

// boxes are batteries, mostly with posts, and of three or more boxes often a charger and a controller.
func (r *real) boxes(count int) {
	fmt.Fprintf(&r.pack, "format: 1\npack: real\ngaps: {beside: %d, above: %d, wall: %d, rail: %d, keepout: %d, post: %d, boot: %d}\nboxes:\n",
		r.between(0, 4), r.between(2, 8), r.between(0, 4), r.between(2, 6), r.between(2, 6), r.between(8, 25), r.between(2, 5))
	room := float64(r.width*r.height*r.across) * 0.9
	fill := 0.2 + 0.4*r.Float64()
	others := 0
	if count >= 3 && !r.oneIn(4) {
		others = 1 + r.IntN(min(2, count-2))
	}
	volume := fill * room / (float64(count-others) + 0.35*float64(others))
	r.battery(count-others, volume)
	for _, name := range []string{"charger", "controller"}[:others] {
		r.device(name, 0.35*volume)
	}
}

func (r *real) battery(count int, volume float64) {
	size := r.size(volume)
	posts := r.IntN(4)
	fmt.Fprintf(&r.pack, "  - {name: battery, count: %d, size: [%d, %d, %d], accuracy: %d, stand: [%s], tilt: %s,\n     posts: [",
		count, size[0], size[1], size[2], r.IntN(2), strings.Join(r.stands(), ", "), r.tilts())
	d := r.between(8, 14)
	in := d/2 + 2 + r.between(2, 12)
	switch posts {
	case 0, 1: // on top, corner to corner or along one edge
		y := size[1] - in
		if r.oneIn(2) {
			y = in
		}
		r.post("plus", "top", in, in, d)
		r.post("minus", "top", size[0]-in, y, d)
	case 2: // in front
		r.post("plus", "front", in, size[2]-in, d)
		r.post("minus", "front", size[1]-in, size[2]-in, d)
	}
	fmt.Fprintf(&r.pack, "]}\n")
}

func (r *real) post(name, face string, u, v, diameter int) {
	fmt.Fprintf(&r.pack, "{name: %s, face: %s, at: [%d, %d], diameter: %d, height: %d}, ", name, face, u, v, diameter, r.between(4, 16))
}

// device is a charger without posts or a controller with one at each end.
func (r *real) device(name string, volume float64) {
	size := r.size(volume)
	fmt.Fprintf(&r.pack, "  - {name: %s, size: [%d, %d, %d], accuracy: 1, stand: [upright, on-side, on-end], posts: [", name, size[0], size[1], size[2])
	if name == "controller" {
		d := r.between(6, 10)
		r.post("B plus", "front", size[1]/3, size[2]/2, d)
		r.post("B minus", []string{"back", "front"}[r.IntN(2)], 2*size[1]/3, size[2]/2, d)
	}
	fmt.Fprintf(&r.pack, "]}\n")
}

func (r *real) size(volume float64) [3]int {
	a, b := 0.75+0.55*r.Float64(), 0.75+0.55*r.Float64()
	side := math.Cbrt(volume)
	return [3]int{max(50, int(side*a)), max(40, int(side*b)), max(40, int(side/a/b))}
}

func (r *real) stands() []string {
	return [][]string{{"upright"}, {"upright", "on-side"}, {"upright", "on-side", "on-end"}, {"upright", "on-side", "on-end", "inverted"}}[r.IntN(4)]
}

func (r *real) tilts() string {
	if r.oneIn(6) {
		return []string{"[0, 10]", "[0, -15]", "[12]"}[r.IntN(3)]
	}
	return "[0]"
}

// TestRealProblems searches such problems, each with so much processor time: a few and a little in
// the ordinary run, and RACKWRIGHT_REAL=N (or a-b, the seeds) with RACKWRIGHT_REAL_CPU seconds, 20
// where it is not given, which is ten seconds on two cores. It prints what came of each.
func TestRealProblems(t *testing.T) {
	defer debug.SetGCPercent(debug.SetGCPercent(400))
	seeds, limit := seedsOf(t, "RACKWRIGHT_REAL"), 20.0
	if seeds == nil {
		seeds, limit = []uint64{1, 2, 3, 7, 8}, 2
	}
	if s := os.Getenv("RACKWRIGHT_REAL_CPU"); s != "" {
		_, err := fmt.Sscan(s, &limit)
		require.NoError(t, err)
	}
	var all tally
	for _, seed := range seeds {
		problem := realProblem(t, seed)
		r, took := searchFor(t, problem, seed, limit, os.Getenv("RACKWRIGHT_REAL_ANY") != "")
		require.True(t, r.Bound >= r.Spare-exactly || r.Verdict == pack.ProvenNoFit && !r.Layouts[0].Entry.Holds(), "the bound is below the layout of seed %d", seed)
		all.add(problem, r)
		t.Logf("seed %3d, %d boxes: %-12v %8.3f ≤ %8.3f %s%5.1f s%s", seed, boxCount(problem), r.Verdict, r.Spare, r.Bound, provenWord(r), took, barredWords(r))
	}
	all.print(t)
}
