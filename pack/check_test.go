package pack

import (
	"math"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
)

// relation returns the one relation between two parts, named in either order.
func relation(t *testing.T, r Report, a, b string) Relation {
	t.Helper()
	var found []Relation
	for _, n := range r.Relations {
		if n.A.String() == a && n.B.String() == b || n.A.String() == b && n.B.String() == a {
			found = append(found, n)
		}
	}
	require.Len(t, found, 1, "relations of %s and %s", a, b)
	return found[0]
}

// requireRelation compares the figures of a relation worked out by hand.
func requireRelation(t *testing.T, got Relation, rule Rule, required, gap, distance float64) {
	t.Helper()
	require.Equal(t, rule, got.Rule, "rule of %v and %v", got.A, got.B)
	require.Equal(t, required, got.Required, "required")
	require.InDelta(t, gap, got.Gap, 1e-9, "gap")
	require.InDelta(t, distance, got.Distance, 1e-9, "distance")
	require.InDelta(t, gap-required, got.Left, 1e-9, "left")
	require.InDelta(t, 1, got.Normal.Norm(), 1e-12, "normal")
}

// blocks is a roomy opening with 100 mm cubes called "block".
func blocks(count int, gaps Gaps) Problem {
	p := problemOf(openingOf([]r2.Point{{X: -1000, Y: -1000}, {X: 1000, Y: -1000}, {X: 1000, Y: 1000}, {X: -1000, Y: 1000}}, -500, 500),
		kindOf("block", count, 100, 100, 100))
	p.Pack.Gaps = gaps
	return p
}

func TestCasesKeepTheGapOfTheSheetsDirection(t *testing.T) {
	p := blocks(2, Gaps{Beside: 3, Above: 6})
	for name, c := range map[string]struct {
		x, y, z                 float64 // of the second block, the first one at the origin
		rule                    Rule
		required, gap, distance float64
	}{
		"in front":                             {104, 0, 0, Beside, 3, 4, 4},
		"beside":                               {0, -104, 0, Beside, 3, 4, 4},
		"above":                                {0, 0, 107, Above, 6, 7, 7},
		"below":                                {0, 0, -105, Above, 6, 5, 5},
		"wider above, more left beside":        {104, 0, 106.5, Beside, 3, 4, math.Hypot(4, 6.5)},
		"wider above, more left there as well": {104, 0, 108, Above, 6, 8, math.Hypot(4, 8)},
		"as much left either way":              {104, 0, 107, Above, 6, 7, math.Hypot(4, 7)},
		"corner to corner":                     {104, 103, 102, Beside, 3, 4, math.Sqrt(16 + 9 + 4)},
		"touching":                             {100, 0, 0, Beside, 3, 0, 0},
		"overlapping":                          {90, 0, 0, Beside, 3, -10, -10},
		"overlapping, least with a lying one":  {90, 0, 95, Above, 6, -5, -5},
		"less overlap above, more left beside": {98.5, 0, 99, Beside, 3, -1.5, -1},
	} {
		t.Run(name, func(t *testing.T) {
			r := Check(p, layoutOf(upright("block", 1, 0, 0, 0), upright("block", 2, c.x, c.y, c.z)))
			requireRelation(t, relation(t, r, "block 1", "block 2"), c.rule, c.required, c.gap, c.distance)
		})
	}
}

func TestNormalPointsFromTheFirstPartToTheSecond(t *testing.T) {
	p := blocks(2, Gaps{})
	for _, n := range []r3.Vector{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}} {
		c := n.Mul(150)
		r := Check(p, layoutOf(upright("block", 1, 0, 0, 0), upright("block", 2, c.X, c.Y, c.Z)))
		require.Equal(t, n, relation(t, r, "block 1", "block 2").Normal)
	}
	r := Check(p, layoutOf(upright("block", 1, 0, 0, 0), upright("block", 2, 300, 0, 0)))
	require.Equal(t, r3.Vector{Z: -1}, relation(t, r, "block 1", "side 1").Normal, "the floor")
	require.Equal(t, r3.Vector{Y: 1}, relation(t, r, "block 1", "width left").Normal)
}

// Among sheets that leave the same the steepest is named, then the one most across
// the vehicle's length, whatever the order in which the normals come.
func TestTiesNameOneSheet(t *testing.T) {
	p := blocks(2, Gaps{Beside: 3, Above: 6})
	for _, sign := range []float64{1, -1} {
		for _, turn := range []Face{Front, Left, Back, Right} {
			for _, c := range []struct{ centre, want r3.Vector }{
				{r3.Vector{X: 104, Y: 104, Z: 107}, r3.Vector{Z: 1}},
				{r3.Vector{X: 0, Y: 104, Z: 107}, r3.Vector{Z: 1}},
				{r3.Vector{X: 104, Y: 104, Z: 0}, r3.Vector{X: 1}},
				{r3.Vector{X: 104, Y: -104, Z: 106}, r3.Vector{X: 1}},
				{r3.Vector{X: 103, Y: 104, Z: 106}, r3.Vector{Y: 1}},
			} {
				at := c.centre.Mul(sign)
				first, second := upright("block", 1, 0, 0, 0), upright("block", 2, at.X, at.Y, at.Z)
				first.Front = turn
				r := Check(p, layoutOf(first, second))
				require.Equal(t, c.want.Mul(sign), relation(t, r, "block 1", "block 2").Normal, "block 2 at %v", at)
			}
		}
	}
}

// Of two sheets that are each other's opposite, or of two solids of a thing, that leave
// the same, the first is named.
func TestTiesNameTheFirst(t *testing.T) {
	p := blocks(2, Gaps{Beside: 3, Above: 3})
	r := Check(p, layoutOf(upright("block", 1, 0, 0, 0), upright("block", 2, 0, 0, 0)))
	require.Equal(t, r3.Vector{Z: 1}, relation(t, r, "block 1", "block 2").Normal, "one in the other")

	rear := frame.Obstacle{Name: "ring", Kind: frame.KeptOut, Solid: geom.BoxFromCorners(r3.Vector{X: -90, Y: -10, Z: -10}, r3.Vector{X: -60, Y: 10, Z: 10})}
	front := frame.Obstacle{Name: "ring", Kind: frame.KeptOut, Solid: geom.BoxFromCorners(r3.Vector{X: 60, Y: -10, Z: -10}, r3.Vector{X: 90, Y: 10, Z: 10})}
	block := body{part: Part{Box: "block", Number: 1}, bar: geom.BoxFromCorners(r3.Vector{X: -50, Y: -50, Z: -50}, r3.Vector{X: 50, Y: 50, Z: 50})}
	require.Equal(t, r3.Vector{X: -1}, Gaps{}.toThing(block, thing{solids: []frame.Obstacle{rear, front}}).Normal)
	require.Equal(t, r3.Vector{X: 1}, Gaps{}.toThing(block, thing{solids: []frame.Obstacle{front, rear}}).Normal)
}

// Sheets between two blocks that are tilted alike slope as the blocks do.
func TestSheetsUpTo45DegreesStand(t *testing.T) {
	for _, c := range []struct {
		deg  float64
		rule Rule
	}{{0, Above}, {12, Above}, {44, Above}, {44.9999, Above}, {44.99999, Above}, {45, Beside}, {45.0001, Beside}, {60, Beside}, {-44.9999, Above}, {-45, Beside}, {135, Beside}, {136, Above}, {180, Above}} {
		tilt := s1.Angle(c.deg) * s1.Degree
		p := blocks(2, Gaps{Beside: 3, Above: 6})
		p.Pack.Kinds[0].Tilts = []s1.Angle{tilt}
		o := Orientation{Up: Top, Front: Front, Tilt: tilt}
		up := o.Axes()[2].Mul(110) // the second block stands on the first one
		r := Check(p, layoutOf(
			Placement{Box: "block", Number: 1, Orientation: o},
			Placement{Box: "block", Number: 2, Orientation: o, Centre: up}))
		n := relation(t, r, "block 1", "block 2")
		require.Equal(t, c.rule, n.Rule, "tilted by %v°", c.deg)
		require.InDelta(t, 10, n.Gap, 1e-9)
		require.Equal(t, map[Rule]float64{Beside: 3, Above: 6}[c.rule], n.Required)
	}
}

// At the limit that the rounding of a tilt is given the sheet still stands.
func TestSheetsWithinABillionthOf45DegreesStand(t *testing.T) {
	for z, want := range map[float64]bool{
		math.Sqrt2 / 2: false, math.Sqrt2/2 + 1e-9: false, math.Sqrt2/2 + 1.001e-9: true, 1: true,
		-(math.Sqrt2/2 + 1e-9): false, -(math.Sqrt2/2 + 1.001e-9): true, 0: false,
	} {
		require.Equal(t, want, lies(r3.Vector{X: math.Sqrt(1 - z*z), Z: z}), "%v", z)
	}
}

func TestCaseToTheFrame(t *testing.T) {
	p := blocks(1, Gaps{Beside: 100, Above: 100, Wall: 2, Rail: 5, KeepOut: 4, Post: 100, Boot: 100})
	own := 9.0
	p.Frame.Opening.Metal = true
	p.Frame.Rails = []frame.Rail{
		{Name: "down-tube", Path: []r3.Vector{{X: 80, Y: -500, Z: 90}, {X: 80, Y: 500, Z: 90}}, Diameter: 30},
		{Name: "strut", Path: []r3.Vector{{X: -80, Y: -500, Z: 90}, {X: -80, Y: 500, Z: 90}}, Diameter: 30, Gap: &own},
	}
	p.Frame.KeepOuts = []frame.KeepOut{
		{Name: "tank", Box: &frame.Corners{Low: r3.Vector{X: -50, Y: 53, Z: 54}, High: r3.Vector{X: 50, Y: 100, Z: 100}}, Metal: true},
		{Name: "shock", Box: &frame.Corners{Low: r3.Vector{X: -50, Y: -80, Z: 54}, High: r3.Vector{X: 50, Y: -60, Z: 100}}, Gap: &own},
		{Name: "motor", Round: &frame.Round{From: r3.Vector{X: 0, Y: 0, Z: -200}, To: r3.Vector{X: 0, Y: 0, Z: -70}, Diameter: 60}},
	}
	r := Check(p, layoutOf(upright("block", 1, 0, 0, 0)))
	require.Len(t, r.Relations, 4+2+2+3)
	// From the block's edge at (50, 50) to the tubes' middle is 3-4-5 times ten.
	requireRelation(t, relation(t, r, "block 1", "down-tube"), RailGap, 5, 35, 35)
	requireRelation(t, relation(t, r, "block 1", "strut"), RailGap, 9, 35, 35)
	requireRelation(t, relation(t, r, "block 1", "tank"), KeepOutGap, 4, 4, 5)
	requireRelation(t, relation(t, r, "block 1", "shock"), KeepOutGap, 9, 10, math.Hypot(10, 4))
	requireRelation(t, relation(t, r, "block 1", "motor"), KeepOutGap, 4, 20, 20)
	for _, side := range []string{"side 1", "side 2", "side 3", "side 4"} {
		requireRelation(t, relation(t, r, "block 1", side), Wall, 2, 950, 950)
	}
	requireRelation(t, relation(t, r, "block 1", "width right"), Wall, 2, 450, 450)
	requireRelation(t, relation(t, r, "block 1", "width left"), Wall, 2, 450, 450)
	tightest, ok := r.Tightest()
	require.True(t, ok)
	require.Equal(t, "tank", tightest.B.String())
	require.Zero(t, r.Spare)
	require.True(t, r.Holds())
}

// A block with one post, 20 mm high and 10 mm across, in the middle of its top.
func postedBlocks(count int, gaps Gaps) Problem {
	p := blocks(count, gaps)
	p.Pack.Kinds[0].Posts = []Post{{Name: "plus", Face: Top, At: r2.Point{X: 50, Y: 50}, Diameter: 10, Height: 20}}
	return p
}

func TestPostsKeepOffMetal(t *testing.T) {
	gaps := Gaps{Wall: 1, Rail: 5, KeepOut: 4, Post: 25, Boot: 100}
	less, more := 6.0, 30.0
	p := postedBlocks(1, gaps)
	p.Frame.Opening.Metal = true
	// The post's top is at z = 70, its side at x = 5: 3-4-5 to the tubes again.
	tube := []r3.Vector{{X: 35, Y: -500, Z: 110}, {X: 35, Y: 500, Z: 110}}
	p.Frame.Rails = []frame.Rail{
		{Name: "plain", Path: tube, Diameter: 40},
		{Name: "less", Path: tube, Diameter: 40, Gap: &less},
		{Name: "more", Path: tube, Diameter: 40, Gap: &more},
	}
	tank := &frame.Corners{Low: r3.Vector{X: -20, Y: -20, Z: 82}, High: r3.Vector{X: 20, Y: 20, Z: 90}}
	p.Frame.KeepOuts = []frame.KeepOut{
		{Name: "steel", Box: tank, Metal: true},
		{Name: "steel less", Box: tank, Metal: true, Gap: &less},
		{Name: "steel more", Box: tank, Metal: true, Gap: &more},
		{Name: "plastic", Box: tank},
		{Name: "plastic less", Box: tank, Gap: &less},
		{Name: "plastic more", Box: tank, Gap: &more},
	}
	r := Check(p, layoutOf(upright("block", 1, 0, 0, 0)))
	post := "block 1 plus"
	requireRelation(t, relation(t, r, post, "plain"), PostGap, 25, 30, 30)
	requireRelation(t, relation(t, r, post, "less"), PostGap, 25, 30, 30)
	requireRelation(t, relation(t, r, post, "more"), PostGap, 30, 30, 30)
	requireRelation(t, relation(t, r, post, "steel"), PostGap, 25, 12, 12)
	requireRelation(t, relation(t, r, post, "steel less"), PostGap, 25, 12, 12)
	requireRelation(t, relation(t, r, post, "steel more"), PostGap, 30, 12, 12)
	requireRelation(t, relation(t, r, post, "plastic"), KeepOutGap, 4, 12, 12)
	requireRelation(t, relation(t, r, post, "plastic less"), KeepOutGap, 6, 12, 12)
	requireRelation(t, relation(t, r, post, "plastic more"), KeepOutGap, 30, 12, 12)
	requireRelation(t, relation(t, r, post, "side 3"), PostGap, 25, 930, 930)
	requireRelation(t, relation(t, r, post, "width left"), Wall, 1, 495, 495)
	requireRelation(t, relation(t, r, "block 1", "side 3"), Wall, 1, 950, 950)

	p.Frame.Opening.Metal = false
	r = Check(p, layoutOf(upright("block", 1, 0, 0, 0)))
	requireRelation(t, relation(t, r, post, "side 3"), Wall, 1, 930, 930)
}

func TestPostsKeepOffOtherBoxes(t *testing.T) {
	p := postedBlocks(2, Gaps{Beside: 100, Above: 100, Post: 25, Boot: 3})
	over := upright("block", 2, 60, 0, 124)
	r := Check(p, layoutOf(upright("block", 1, 0, 0, 0), over))
	// The second case begins at x = 10 and z = 74; the first post ends at 5 and 70.
	requireRelation(t, relation(t, r, "block 1 plus", "block 2"), BootGap, 3, 5, math.Hypot(5, 4))
	// The second post begins at x = 55 and z = 174.
	requireRelation(t, relation(t, r, "block 1 plus", "block 2 plus"), PostGap, 25, 104, math.Hypot(104, 50))
	requireRelation(t, relation(t, r, "block 1", "block 2 plus"), BootGap, 3, 124, math.Hypot(124, 5))
	require.Equal(t, Part{Box: "block", Number: 1}, relation(t, r, "block 1", "block 2 plus").A, "the first box goes first")

	// Head to head the posts meet at 20 mm.
	over.Orientation = Orientation{Up: Bottom, Front: Front}
	over.Centre = r3.Vector{Z: 160}
	r = Check(p, layoutOf(upright("block", 1, 0, 0, 0), over))
	requireRelation(t, relation(t, r, "block 1 plus", "block 2 plus"), PostGap, 25, 20, 20)
	requireRelation(t, relation(t, r, "block 1 plus", "block 2"), BootGap, 3, 40, 40)
	require.Equal(t, -5.0, Check(withGaps(p, Gaps{Post: 25}), layoutOf(upright("block", 1, 0, 0, 0), over)).Spare)
}

func withGaps(p Problem, gaps Gaps) Problem {
	changed := *p.Pack
	changed.Gaps = gaps
	p.Pack = &changed
	return p
}

func TestNoRelationsWithinABox(t *testing.T) {
	p := postedBlocks(1, Gaps{Post: 25, Boot: 3})
	p.Pack.Kinds[0].Posts = append(p.Pack.Kinds[0].Posts, Post{Name: "minus", Face: Top, At: r2.Point{X: 60, Y: 50}, Diameter: 10, Height: 20})
	r := Check(p, layoutOf(upright("block", 1, 0, 0, 0)))
	for _, n := range r.Relations {
		require.NotEmpty(t, n.B.Obstacle)
	}
	require.Len(t, r.Relations, 3*6)
}

// A bent rail is several tubes and one thing.
func TestOneRelationWithAThingOfSeveralSolids(t *testing.T) {
	p := blocks(1, Gaps{Rail: 5})
	p.Frame.Rails = []frame.Rail{
		{Name: "bent", Path: []r3.Vector{{X: -300, Z: 200}, {X: 0, Z: 90}, {X: 300, Z: 90}, {X: 300, Z: 500}}, Diameter: 30},
		{Name: "side 1", Path: []r3.Vector{{X: -300, Z: -200}, {X: 300, Z: -200}}, Diameter: 30},
	}
	r := Check(p, layoutOf(upright("block", 1, 0, 0, 0)))
	requireRelation(t, relation(t, r, "block 1", "bent"), RailGap, 5, 25, 25)
	// A side of the opening and the rail along it may share a name.
	var rules []Rule
	for _, n := range r.ForPart(Part{Obstacle: "side 1"}) {
		rules = append(rules, n.Rule)
	}
	require.Equal(t, []Rule{RailGap, Wall}, rules)
}

func TestDistanceToAThingIsToItsNearestSolid(t *testing.T) {
	// The sheet gap is least to one solid, the shortest distance to another.
	far := frame.Obstacle{Name: "ring", Kind: frame.KeptOut, Solid: geom.BoxFromCorners(
		r3.Vector{X: 60, Y: 60, Z: 60}, r3.Vector{X: 90, Y: 90, Z: 90})}
	near := frame.Obstacle{Name: "ring", Kind: frame.KeptOut, Solid: geom.BoxFromCorners(
		r3.Vector{X: 62, Y: -10, Z: -10}, r3.Vector{X: 90, Y: 10, Z: 10})}
	block := body{part: Part{Box: "block", Number: 1}, bar: geom.BoxFromCorners(r3.Vector{X: -50, Y: -50, Z: -50}, r3.Vector{X: 50, Y: 50, Z: 50})}
	for _, solids := range [][]frame.Obstacle{{far, near}, {near, far}} {
		n := Gaps{KeepOut: 4}.toThing(block, thing{part: Part{Obstacle: "ring"}, solids: solids})
		requireRelation(t, n, KeepOutGap, 4, 10, 12)
	}
}

// What lies wholly inside a box is in it by the shortest way out, which is worked out by
// hand: half of the 100 mm cube and half of the thing's least size, both in the middle.
func TestAThingWhollyInsideABoxIsAFault(t *testing.T) {
	p := blocks(2, Gaps{KeepOut: 5, Rail: 5, Wall: 0})
	p.Frame.Rails = []frame.Rail{{Name: "lug", Path: []r3.Vector{{X: -10}, {X: 10}}, Diameter: 12}}
	p.Frame.KeepOuts = []frame.KeepOut{
		{Name: "brick", Box: &frame.Corners{Low: r3.Vector{X: -10, Y: -20, Z: -15}, High: r3.Vector{X: 10, Y: 20, Z: 15}}},
		{Name: "pin", Round: &frame.Round{From: r3.Vector{Y: -20}, To: r3.Vector{Y: 20}, Diameter: 14}},
		{Name: "shock", Round: &frame.Round{From: r3.Vector{X: -12, Z: -16}, To: r3.Vector{X: 12, Z: 16}, Diameter: 14}},
		{Name: "hook", Profile: &frame.Profile{Across: r1.Interval{Lo: -20, Hi: 20}, Outline: geom.Polygon{Corners: []r2.Point{
			{X: -10, Y: -10}, {X: 10, Y: -10}, {X: 10, Y: 0}, {X: 0, Y: 0}, {X: 0, Y: 10}, {X: -10, Y: 10},
		}}}},
	}
	drum := p.Frame.KeepOuts[1].Round.Drum()
	p.Frame.KeepOuts = append(p.Frame.KeepOuts, frame.KeepOut{Name: "stub", Piece: &drum})
	p.Pack.Kinds = append(p.Pack.Kinds, kindOf("crate", 1, 300, 300, 300))
	r := Check(p, layoutOf(upright("block", 1, 0, 0, 0), upright("block", 2, 0, 0, 300), upright("crate", 1, 0, 0, 300)))
	require.False(t, r.Holds())
	for thing, gap := range map[string]float64{
		"lug":   -50 - 6,
		"brick": -50 - 10,
		"pin":   -50 - 7,
		"stub":  -50 - 7,
		"shock": -50 - 7, // across
	} {
		n := relation(t, r, "block 1", thing)
		require.InDelta(t, gap, n.Gap, 1e-6, thing)
		require.InDelta(t, gap-5, n.Left, 1e-6, thing)
	}
	require.LessOrEqual(t, relation(t, r, "block 1", "hook").Gap, -50.0, "its larger piece reaches the middle at least")
	require.InDelta(t, -200, relation(t, r, "block 2", "crate 1").Gap, 1e-9, "a box in another")
}

func TestLimitsOfTheWidthAreNeverMetal(t *testing.T) {
	need := Gaps{Wall: 1, Post: 25}.ToObstacle(frame.Obstacle{Kind: frame.Width, Metal: true}, true)
	require.Equal(t, Need{Rule: Wall, Required: 1}, need)
}

func TestRelationsAreSortedWorstFirstThenByTheFiles(t *testing.T) {
	p := blocks(3, Gaps{Beside: 3})
	p.Pack.Kinds = append(p.Pack.Kinds, kindOf("charger", 1, 100, 100, 100))
	layout := layoutOf(
		upright("charger", 1, 0, 300, 0),
		upright("block", 3, 200, 0, 0), upright("block", 1, 0, 0, 0), upright("block", 2, 100, 0, 0))
	r := Check(p, layout)
	for i := range r.Relations[1:] {
		require.LessOrEqual(t, r.Relations[i].Left, r.Relations[i+1].Left)
	}
	require.Equal(t, -3.0, r.Spare)
	require.Equal(t, "block 1", r.Relations[0].A.String())
	require.Equal(t, "block 2", r.Relations[0].B.String())
	require.Equal(t, "block 2", r.Relations[1].A.String())
	require.Equal(t, "block 3", r.Relations[1].B.String())
	require.Equal(t, "charger 1", relation(t, r, "charger 1", "block 3").B.String())
	// 97 mm between the blocks' ends twice; the order is that of the files.
	var equal []string
	for _, n := range r.Relations {
		if n.Left == 950 {
			equal = append(equal, n.A.String()+", "+n.B.String())
		}
	}
	require.Equal(t, []string{
		"block 1, side 1", "block 1, side 2", "block 1, side 3", "block 1, side 4",
		"block 2, side 1", "block 2, side 3", "block 3, side 1", "block 3, side 3",
		"charger 1, side 1", "charger 1, side 2", "charger 1, side 3", "charger 1, side 4",
	}, equal)
}

func TestReportHelpers(t *testing.T) {
	r := Check(blocks(0, Gaps{}), layoutOf())
	_, ok := r.Tightest()
	require.False(t, ok)
	require.Equal(t, math.Inf(1), r.Spare)
	require.True(t, r.Holds())

	p := postedBlocks(2, Gaps{})
	r = Check(p, layoutOf(upright("block", 1, 0, 0, 0), upright("block", 2, 200, 0, 0)))
	require.Len(t, r.Relations, 4*6+4)
	require.Len(t, r.ForPart(Part{Box: "block", Number: 1}), 6+2)
	require.Len(t, r.ForPart(Part{Box: "block", Number: 1, Post: "plus"}), 6+2)
	require.Len(t, r.ForPart(Part{Obstacle: "side 2"}), 4)
	require.Len(t, r.ForBox("block", 2), 2*6+4)
	require.Empty(t, r.ForBox("block", 3))
	require.Empty(t, r.ForBox("", 0), "obstacles are of no box")
	require.True(t, Report{Spare: 0}.Holds())
	require.False(t, Report{Spare: -1e-12}.Holds())
	require.False(t, Report{Spare: 1, Faults: make([]Fault, 1)}.Holds())
	require.True(t, Report{Spare: 1, Warnings: make([]Fault, 1)}.Holds())
}

func TestPartNames(t *testing.T) {
	require.Equal(t, "battery 2", Part{Box: "battery", Number: 2}.String())
	require.Equal(t, "battery 2 plus", Part{Box: "battery", Number: 2, Post: "plus"}.String())
	require.Equal(t, "down-tube", Part{Obstacle: "down-tube"}.String())
}

// Everything at its worst: the frame nearer by 2, each size 1.5 larger, so that a gap
// of 10 between a wall and a case is 10 − 2 − 0.75, and one between cases 10 − 1.5.
func TestWorstAddsUp(t *testing.T) {
	p := blocks(2, Gaps{})
	p.Frame.Accuracy = 2
	p.Pack.Kinds[0].Accuracy, p.Pack.Kinds[0].Swell = 1, 0.5
	layout := layoutOf(upright("block", 1, -940, 0, 0), upright("block", 2, -830, 0, 0))
	r := Check(p, layout)
	require.Equal(t, 10.0, relation(t, r, "block 1", "side 4").Gap)
	require.Equal(t, 10.0, relation(t, r, "block 1", "block 2").Gap)
	r = Check(p.AtWorst(), layout)
	require.Equal(t, 7.25, relation(t, r, "block 1", "side 4").Gap)
	require.Equal(t, 8.5, relation(t, r, "block 1", "block 2").Gap)
}

// The same where things have accuracies of their own: a side 5, the others 1, a keep-out 3;
// the width has the frame's 2. Of a half-space over a pocket, and of what fills the pocket, the
// most of the pocket's sides counts (derived).
func TestWorstOfAccuraciesOfTheirOwn(t *testing.T) {
	three := 3.0
	p := blocks(1, Gaps{})
	p.Frame.Accuracy, p.Frame.Opening.Accuracies = 2, []float64{1, 1, 1, 5}
	p.Frame.KeepOuts = []frame.KeepOut{{Name: "post", Accuracy: &three, Box: &frame.Corners{Low: r3.Vector{X: -800, Y: -10, Z: -990}, High: r3.Vector{X: -700, Y: 10, Z: 990}}}}
	layout := layoutOf(upright("block", 1, -940, 0, 0))
	measured, worst := Check(p, layout), Check(p.AtWorst(), layout)
	for part, want := range map[string]float64{"side 4": 5, "side 1": 1, "side 3": 1, "post": 3, "width left": 2, "width right": 2} {
		less := relation(t, measured, "block 1", part).Gap - relation(t, worst, "block 1", part).Gap
		require.InDelta(t, want, less, 1e-9, part)
	}

	dent := openingOf([]r2.Point{{X: 0, Y: 0}, {X: 900, Y: 0}, {X: 900, Y: 800}, {X: 500, Y: 800}, {X: 450, Y: 700}, {X: 400, Y: 800}, {X: 0, Y: 800}}, -100, 100)
	dent.Opening.Accuracies = []float64{0.5, 1, 1, 2, 4, 1, 1}
	p = problemOf(dent, kindOf("block", 1, 100, 100, 100))
	for x, want := range map[float64]float64{100: 4, 800: 4} {
		layout = layoutOf(upright("block", 1, x, 0, 600))
		measured, worst = Check(p, layout), Check(p.AtWorst(), layout)
		least := func(r Report) float64 {
			n := math.Inf(1)
			for _, rel := range r.Relations {
				if rel.Rule == Wall && math.Abs(rel.Normal.Z) > 0.9 && rel.Normal.Z > 0 {
					n = min(n, rel.Gap)
				}
			}
			return n
		}
		require.InDelta(t, want, least(measured)-least(worst), 1e-9, "x %v", x)
	}
}

// A box of 100 with a post of 20 on top, both 1 more at the worst, needs 122 and not a
// thousandth less. A post aside: its radius, place and the case it is measured from are
// each as far off as they may be, 0.5 + 1 + 0.5.
func TestWorstOfAPost(t *testing.T) {
	p := problemOf(crate(300, 300, 122), kindOf("battery", 1, 200, 200, 100))
	k := &p.Pack.Kinds[0]
	k.Accuracy = 1
	k.Posts = []Post{{Name: "plus", Face: Top, At: r2.Point{X: 100, Y: 10}, Diameter: 18, Height: 20}}
	at := layoutOf(upright("battery", 1, 150, 150, 50.5))
	require.Zero(t, Check(p.AtWorst(), at).Spare)
	p.Frame = crate(300, 300, 122-1.0/1024)
	require.Negative(t, Check(p.AtWorst(), at).Spare)
	post := relation(t, Check(p, at), "battery 1 plus", "width right")
	require.Equal(t, 51.0, post.Gap)
	require.Equal(t, 49.0, relation(t, Check(p.AtWorst(), at), "battery 1 plus", "width right").Gap)
}

func TestExactlyAsWideAsTheOpening(t *testing.T) {
	p := blocks(1, Gaps{})
	p.Frame.Opening.Stations = []frame.Station{{Across: r1.Interval{Lo: -50, Hi: 50}}}
	require.Zero(t, Check(p, layoutOf(upright("block", 1, 0, 0, 0))).Spare)
}

// What rounding takes, up to geom.Tolerance, is not lacking; twice as much is.
func TestWhatRoundingTakesIsNotLacking(t *testing.T) {
	p := blocks(1, Gaps{})
	p.Frame.Opening.Stations = []frame.Station{{Across: r1.Interval{Lo: -50, Hi: 50}}}
	off := Check(p, layoutOf(upright("block", 1, 0, geom.Tolerance/2, 0)))
	require.Zero(t, off.Spare)
	require.True(t, off.Holds())
	off = Check(p, layoutOf(upright("block", 1, 0, 2*geom.Tolerance, 0)))
	require.Negative(t, off.Spare)
	require.False(t, off.Holds())
}

// A gap of an obstacle's own counts where it is asked for: of a post to metal only where it is
// more than the post's.
func TestWhoseGapCounts(t *testing.T) {
	g := Gaps{KeepOut: 5, Post: 25}
	for _, c := range []struct {
		own, required float64
		post, is      bool
	}{{25, 25, true, false}, {26, 26, true, true}, {24, 25, true, false}, {1, 1, false, true}} {
		need := g.ToObstacle(frame.Obstacle{Kind: frame.KeptOut, Metal: true, Gap: &c.own}, c.post)
		require.Equal(t, []any{c.required, c.is}, []any{need.Required, need.Own}, "%v", c)
	}
	require.Equal(t, Need{Rule: KeepOutGap, Required: 5}, g.ToObstacle(frame.Obstacle{Kind: frame.KeptOut, Metal: true}, false))
}
