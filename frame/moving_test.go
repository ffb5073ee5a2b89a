package frame

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
)

const movingFrame = `format: 1
frame: moving
opening: {outline: [[0, 0], [400, 0], [400, 300], [0, 300]], across: 200}
`

func readMoving(t *testing.T, moving string) *Frame {
	t.Helper()
	f, err := Read(strings.NewReader(movingFrame+moving), "frame.yaml")
	require.NoError(t, err)
	return f
}

// clear is the least distance from a small block about a point to what moves.
func clearOf(f *Frame, nearer float64, at r3.Vector) float64 {
	const half = 0.001
	block := geom.BoxFromCorners(at.Sub(r3.Vector{X: half, Y: half, Z: half}), at.Add(r3.Vector{X: half, Y: half, Z: half}))
	least := math.Inf(1)
	for _, o := range f.Obstacles(nearer) {
		if o.Kind == Moves || o.Kind == Road {
			least = min(least, geom.Distance(block, o.Solid))
		}
	}
	return least
}

// Derived: a bar from its pivot on reaches a circle with its far corners, and lies flat along
// its two ends.
func TestBarThatTurns(t *testing.T) {
	f := readMoving(t, "moving: [{name: arm, turn: {about: [0, 0], from: -10, to: 20}, outline: [[0, -10], [100, -10], [100, 10], [0, 10]], across: 40}]")
	far := math.Hypot(100, 10)
	for _, degrees := range []float64{0, -20, 10} { // nose down is more than 0: the far end goes down
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		require.InDelta(t, 50, clearOf(f, 0, r3.Vector{X: (far + 50) * cos, Z: (far + 50) * sin}), geom.CoverError+0.01, degrees)
	}
	// Above the end that is highest, and below the one that is lowest.
	for _, end := range []struct{ degrees, side float64 }{{10, 1}, {-20, -1}} {
		sin, cos := math.Sincos(end.degrees * math.Pi / 180)
		at := r3.Vector{X: 60*cos - end.side*30*sin, Z: 60*sin + end.side*30*cos}
		require.InDelta(t, 20, clearOf(f, 0, at), 0.02)
	}
	require.InDelta(t, 30, clearOf(f, 0, r3.Vector{X: 50, Y: 50}), 0.01)
	// At worst every face is nearer, and by what the pivot may be off too: the part as turned by
	// 20° is off by 2 sin 10° of that.
	worst := 2 * (1 + 2*math.Sqrt2*math.Sin(10*math.Pi/180))
	sin, cos := math.Sincos(-20 * math.Pi / 180)
	require.InDelta(t, 20-worst, clearOf(f, 2, r3.Vector{X: 60*cos + 30*sin, Z: 60*sin - 30*cos}), 0.02)
}

// Derived: a disc that turns about its middle stays where it is; one that slides sweeps a
// stadium.
func TestDiscThatTurnsAndSlides(t *testing.T) {
	disc := "round: {from: [0, -20, 0], to: [0, 20, 0], diameter: 100}}]"
	turning := readMoving(t, "moving: [{name: wheel, turn: {about: [0, 0], from: -40, to: 40}, "+disc)
	sliding := readMoving(t, "moving: [{name: wheel, slide: {along: [3, 0, 4], from: 0, to: 100}, "+disc)
	for degrees := range 360 {
		sin, cos := math.Sincos(float64(degrees) * math.Pi / 180)
		require.InDelta(t, 30, clearOf(turning, 0, r3.Vector{X: 80 * cos, Z: 80 * sin}), 2*geom.CoverError)
		at := r3.Vector{X: 80 * cos, Z: 80 * sin}
		along := max(0, min(100, at.X*0.6+at.Z*0.8))
		if want := at.Sub(r3.Vector{X: 0.6, Z: 0.8}.Mul(along)).Norm() - 50; want > 0 {
			require.InDelta(t, want, clearOf(sliding, 0, at), 2*geom.CoverError)
		}
	}
}

// Derived: a wheel on a slanted head, turned by β about the axis, is seen from a point by
// turning the point back by β and measuring to the wheel as drawn. Near the opening covers are
// within geom.CoverError, farther away coarser.
func TestWheelOnASlantedHead(t *testing.T) {
	f := readMoving(t, `moving: [{name: fork, turn: {about: [500, 0, 300], along: [-0.45, 0, 0.89], from: -34, to: 34},
  round: {from: [640, -40, 20], to: [640, 40, 20], diameter: 500}}]`)
	m := f.Moving[0]
	axis := r3.Vector{X: -0.45, Z: 0.89}.Normalize()
	back := func(p r3.Vector, by float64) r3.Vector { // Rodrigues' formula, written anew
		v := p.Sub(r3.Vector{X: 500, Z: 300})
		sin, cos := math.Sincos(-by)
		v = v.Mul(cos).Add(axis.Cross(v).Mul(sin)).Add(axis.Mul(axis.Dot(v) * (1 - cos)))
		return v.Add(r3.Vector{X: 500, Z: 300})
	}
	for _, at := range []r3.Vector{{X: 380, Y: 0, Z: 20}, {X: 370, Y: 90, Z: 60}, {X: 395, Y: -95, Z: 100}, {X: 385, Y: 60, Z: 250}} {
		least := math.Inf(1)
		for i := range 6801 {
			p := back(at, (float64(i)/100-34)*math.Pi/180)
			radial := max(0, math.Hypot(p.X-640, p.Z-20)-250)
			least = min(least, math.Hypot(radial, max(0, math.Abs(p.Y)-40)))
		}
		got := clearOf(f, 0, at)
		require.LessOrEqual(t, got, least+0.003, at)
		require.Greater(t, got, least-0.25, at) // a wheel of 250 mm with 96 flat sides: 0.13 mm by these
		position, distance := m.Nearest(geom.BoxFromCorners(at, at))
		require.InDelta(t, least, distance, 0.01, at)
		require.True(t, m.Motion.Range.Contains(position))
	}
}

// Derived: a run of a chain that is pushed aside by its slack in the middle, and the ellipse
// around its ends: the sum of a point's distances from the two ends is what the run is long.
func TestChainFollowsTheSwingarm(t *testing.T) {
	f := readMoving(t, `moving:
  - {name: swingarm, turn: {about: [-10, 60], from: -6, to: 14}, at_rest: 5, box: {low: [-500, -20, 0], high: [-400, 20, 20]}}
  - {name: chain, chain: {sprockets: [{at: [0, -95, 60], diameter: 100}, {at: [-560, -95, 60], diameter: 100}], width: 16, slack: 30, with: swingarm}}`)
	chain := f.Moving[1]
	require.Equal(t, f.Moving[0].Motion, chain.Motion)
	require.InDelta(t, 5*math.Pi/180, chain.AtRest, 1e-12)
	half := 280.0
	long := 2 * math.Hypot(half, 30)
	for _, x := range []float64{-280, -100, -400} {
		// On the upper run as drawn, z is 110; y of the ellipse above it.
		u := x + half
		z := 30 * math.Sqrt(1-u*u/(long*long/4))
		profile := chain.chainProfile(0, true)
		for _, sign := range []float64{1, -1} {
			got := geom.Distance(geom.Prism{Profile: profile}, geom.BoxFromCorners(r3.Vector{X: x, Z: 60 + sign*(50+z+20)}, r3.Vector{X: x, Z: 60 + sign*(50+z+20)}))
			require.Less(t, got, 20.0)
			require.Greater(t, got, 18.5)
		}
	}
	// The second sprocket is where the swingarm takes it.
	at := f.Moving[0].Motion.Point(r3.Vector{X: -560, Y: -95, Z: 60}, -6*math.Pi/180)
	below := at.Add(at.Sub(r3.Vector{X: -10, Y: -95, Z: 60}).Normalize().Mul(70))
	require.InDelta(t, 20, clearOf(f, 0, below), 0.2)
}

func TestRoadLevelAndLeant(t *testing.T) {
	f := readMoving(t, "ground: {lean: 45, clear: 100}")
	require.InDelta(t, 100, clearOf(f, 0, r3.Vector{}), 0.01+100*(1-math.Sqrt2/2))
	require.InDelta(t, math.Sqrt2/2*(100-40), clearOf(f, 0, r3.Vector{Y: 40}), 0.01)
	require.InDelta(t, math.Sqrt2/2*(100-40)-3, clearOf(f, 3, r3.Vector{Y: -40}), 0.01)
	require.Len(t, f.ObstaclesAtRest(), len(f.Obstacles(0))-3)
}

// At rest a part is in one place, and in what it is swept through.
func TestPartsAtRest(t *testing.T) {
	f := readMoving(t, "moving: [{name: arm, turn: {about: [0, 0], from: 0, to: 30}, at_rest: 30, box: {low: [10, -5, -5], high: [100, 5, 5]}}]")
	resting := f.ObstaclesAtRest()
	arm := resting[len(resting)-1]
	require.Equal(t, "arm", arm.Name)
	far := r3.Vector{X: 100 * math.Cos(30*math.Pi/180), Z: -100 * math.Sin(30*math.Pi/180)}
	require.InDelta(t, 0, geom.Distance(arm.Solid, geom.BoxFromCorners(far, far)), 0.001)
	require.Equal(t, "30.0°", f.Moving[0].Position((30 * s1.Degree).Radians()))
}

func TestBadMovingParts(t *testing.T) {
	for _, bad := range []struct{ text, message string }{
		{"{name: a, turn: {about: [0, 0], from: 9, to: 2}, box: {low: [0, 0, 0], high: [1, 1, 1]}}", "from is more than to"},
		{"{name: a, slide: {along: [0, 0, 0], from: 1, to: 2}, box: {low: [0, 0, 0], high: [1, 1, 1]}}", "a direction needs a length"},
		{"{name: a, slide: {along: [0, 0, 1], from: 7, to: 2}, box: {low: [0, 0, 0], high: [1, 1, 1]}}", "from is more than to"},
		{"{name: a, turn: {about: [0, 0], from: -99, to: 2}, box: {low: [0, 0, 0], high: [1, 1, 1]}}", "a turn is from -90 to 90 degrees"},
		{"{name: a, turn: {about: [0, 0], along: [1, 0, 1], from: 0, to: 2}, box: {low: [0, 0, 0], high: [1, 1, 1]}}", "needs a point with its y"},
		{"{name: a, turn: {about: [0, 0], from: 0, to: 2}}", "given by exactly one of"},
		{"{name: a, box: {low: [0, 0, 0], high: [1, 1, 1]}}", "exactly one of: turn, slide, chain"},
		{"{name: a, turn: {about: [0, 0], from: 0, to: 2}, at_rest: 3, box: {low: [0, 0, 0], high: [1, 1, 1]}}", "at_rest is not between"},
		{"{name: a, chain: {sprockets: [{at: [0, 0, 0], diameter: 100}, {at: [90, 0, 0], diameter: 100}], width: 10}}", "overlap"},
		{"{name: a, chain: {sprockets: [{at: [0, 0, 0], diameter: 10}, {at: [90, 5, 0], diameter: 10}], width: 10}}", "the same y"},
		{"{name: a, chain: {sprockets: [{at: [0, 0, 0], diameter: 10}, {at: [90, 0, 0], diameter: 10}], width: 10, with: nobody}}", "has this name"},
		{"{name: a, chain: {sprockets: [{at: [0, 0, 0], diameter: 10}], width: 10}}", "two sprockets"},
	} {
		_, err := Read(strings.NewReader(movingFrame+"moving:\n  - "+bad.text+"\n"), "frame.yaml")
		require.ErrorContains(t, err, bad.message, bad.text)
		require.ErrorContains(t, err, "frame.yaml:5:", bad.text)
	}
	many := strings.Repeat("  - {name: a, slide: {along: [0, 0, 1], from: 0, to: 1}, box: {low: [0, 0, 0], high: [1, 1, 1]}}\n", MaxMoving+1)
	for i := range MaxMoving + 1 {
		many = strings.Replace(many, "name: a,", fmt.Sprintf("name: part %d,", i), 1)
	}
	_, err := Read(strings.NewReader(movingFrame+"moving:\n"+many), "frame.yaml")
	require.ErrorContains(t, err, "more than the 12 that are allowed")
}

// Eight stars with 32 corners that point inward are within every other limit.
func TestTooManyPiecesMove(t *testing.T) {
	var corners []string
	for i := range MaxCorners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / MaxCorners)
		r := 90 * float64(1+i%2)
		corners = append(corners, fmt.Sprintf("[%.2f, %.2f]", r*cos, r*sin))
	}
	star := "{outline: [" + strings.Join(corners, ", ") + "], across: 40}"
	text := movingFrame + "moving: [{name: star, turn: {about: [0, 0], from: 0, to: 9}, parts: [" + strings.Repeat(star+", ", MaxParts-1) + star + "]}]\n"
	_, err := Read(strings.NewReader(text), "frame.yaml")
	require.ErrorContains(t, err, "frame.yaml:4:")
	require.ErrorContains(t, err, "more convex pieces than the 128")
}

// Covers take a while: they are made once for each accuracy, whoever asks. Where a file asks for
// as many round parts as there may be they are coarser, so that all of them take about as much as
// those of a few: what is counted is corners of convex pieces, on which all further work depends.
func TestCoversAreMadeOnceAndAreNotTooMany(t *testing.T) {
	few := readMoving(t, drums(1, 2))
	first, again := few.Obstacles(0), few.WithAccuracy(3).Obstacles(0)
	require.Len(t, few.Moving[0].covers.made, 1)
	require.Equal(t, first, again)
	few.ObstaclesAtWorst(0)
	few.WithAccuracy(3).ObstaclesAtWorst(0)
	few.WithAccuracy(3).ObstaclesAtWorst(0)
	require.Len(t, few.Moving[0].covers.made, 2, "accuracies 0 and 3 of the frame")

	corners := 0
	for _, o := range readMoving(t, drums(MaxMoving, MaxParts)).Obstacles(0) {
		if p, ok := o.Solid.(geom.Polyhedron); ok {
			corners += len(p.Corners())
		}
	}
	require.Less(t, corners, 80_000)
}

// drums are parts that turn about a slanted axis, each of several drums.
func drums(parts, each int) string {
	text := "moving:\n"
	for i := range parts {
		text += fmt.Sprintf("  - name: part %d\n    turn: {about: [700, 0, 620], along: [-0.45, 0.3, 0.89], from: -34, to: 34}\n    parts:\n", i+1)
		for k := range each {
			text += fmt.Sprintf("      - {round: {from: [%d, %d, 700], to: [%d, %d, 400], diameter: 45}}\n", 600+20*i, 50*k-200, 750+20*i, 50*k-190)
		}
	}
	return text
}

// A part that moves may have an accuracy of its own, or that of the marks that its pivot and its
// outline stand on, with the pivot off by as much: the tip of a bar of 100 mm turned by 20° is
// nearer by a(1 + 2√2 sin 10°), derived as above.
func TestMovingPartsHaveTheirOwnAccuracy(t *testing.T) {
	const arm = "moving: [{name: arm, turn: {about: [0, 0], from: -10, to: 20}, outline: [[0, -10], [100, -10], [100, 10], [0, 10]], across: 40%s}]"
	sin, cos := math.Sincos(-20 * math.Pi / 180)
	at := r3.Vector{X: 60*cos + 30*sin, Z: 60*sin - 30*cos}
	block := geom.BoxFromCorners(at, at)
	for _, c := range []struct {
		own      string
		accuracy float64
	}{{"", 0}, {", accuracy: 2", 2}, {", accuracy: 3.5", 3.5}} {
		f := readMoving(t, fmt.Sprintf(arm, c.own))
		require.InDelta(t, c.accuracy, f.MovingAccuracy(0), 0)
		require.InDelta(t, c.accuracy, f.GreatestAccuracy(), 0)
		least := math.Inf(1)
		for _, o := range f.ObstaclesAtWorst(0) {
			if o.Kind == Moves {
				least = min(least, geom.Distance(block, o.Solid))
			}
		}
		require.InDelta(t, 20-c.accuracy*(1+2*math.Sqrt2*math.Sin(10*math.Pi/180)), least, 0.02, c.own)
		require.InDelta(t, 1, f.WithAccuracy(1).MovingAccuracy(0), 0)
	}
	_, err := Read(strings.NewReader(movingFrame+fmt.Sprintf(arm, ", accuracy: -1")), "frame.yaml")
	require.ErrorContains(t, err, "frame.yaml:4:")

	taped, err := Read(strings.NewReader(`format: 1
frame: taped
accuracy: 1
marks: [A, B, P]
level: {origin: A, along: A-B, slope: 0}
taped:
  - {from: A, to: B, length: 300}
  - {from: A, to: P, length: 200, accuracy: 4}
  - {from: B, to: P, length: 400, accuracy: 4}
opening: {outline: [[0, 0], [400, 0], [400, 300], [0, 300]], across: 200}
moving: [{name: arm, turn: {about: P, from: -10, to: 20}, outline: [[-100, -10], [0, -10], [0, 10], [-100, 10]], across: 40}]
`), "frame.yaml")
	require.NoError(t, err)
	require.Greater(t, taped.MovingAccuracy(0), 4.0, "the worst way across two distances that may be off by 4")
}
