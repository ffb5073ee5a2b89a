package pack

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// changedALittle is a layout with one of its placements moved, turned, taken out, put in
// twice, given a number that there is not, or in another order.
func changedALittle(t *rapid.T, p Problem, l Layout) Layout {
	l.Placements = slices.Clone(l.Placements)
	if len(l.Placements) == 0 {
		return l
	}
	at := rapid.IntRange(0, len(l.Placements)-1).Draw(t, "which")
	one := &l.Placements[at]
	switch rapid.IntRange(0, 8).Draw(t, "change") {
	case 0, 1, 2:
		one.Centre = one.Centre.Add(points(-30, 30).Draw(t, "by"))
	case 3:
		tilt := one.Tilt
		one.Orientation = rapid.SampledFrom(orientations()).Draw(t, "orientation")
		one.Tilt = tilt
	case 4:
		one.Tilt = rapid.SampledFrom(p.Pack.Kinds[0].Tilts).Draw(t, "tilt")
	case 5:
		l.Placements = slices.Delete(l.Placements, at, at+1)
	case 6:
		l.Placements = append(l.Placements, *one)
	case 7:
		one.Number = rapid.IntRange(0, 4).Draw(t, "number")
	default:
		l.Placements = rapid.Permutation(l.Placements).Draw(t, "order")
	}
	return l
}

// The report of a judge that has judged other layouts before is that of one that has not,
// to the bit: whatever was moved, turned, taken out or is faulty.
func TestAJudgeRemembersNothingWrong(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, l := drawProblem(t)
		if rapid.Bool().Draw(t, "worst") {
			p = p.AtWorst()
		}
		j := NewJudge(p)
		first := l
		for range rapid.IntRange(1, 6).Draw(t, "layouts") {
			want, got := Check(p, l), j.Check(l)
			require.Equal(t, want, got)
			for n := range want.Relations { // 0 and −0 are equal, and not the same
				requireSameBits(t, want.Relations[n], got.Relations[n])
			}
			l = changedALittle(t, p, l)
		}
		require.Equal(t, Check(p, first), j.Check(first), "and back again")
	})
}

func requireSameBits(t *rapid.T, a, b Relation) {
	for _, v := range [][2]float64{
		{a.Required, b.Required},
		{a.Gap, b.Gap},
		{a.Distance, b.Distance},
		{a.Left, b.Left},
		{a.Normal.X, b.Normal.X},
		{a.Normal.Y, b.Normal.Y},
		{a.Normal.Z, b.Normal.Z},
	} {
		require.Equal(t, math.Float64bits(v[0]), math.Float64bits(v[1]))
	}
}

// plainly are the relations of a layout without faults, told one after the other in the order
// of the files and then sorted by what they leave.
func plainly(p Problem, l Layout) []Relation {
	var boxes [][]body
	for _, k := range p.Pack.Kinds {
		for n := range k.Count {
			at := slices.IndexFunc(l.Placements, func(q Placement) bool { return q.Part() == Part{Box: k.Name, Number: n + 1} })
			boxes = append(boxes, bodiesOf(k, l.Placements[at], p))
		}
	}
	var list []Relation
	for i, box := range boxes {
		for _, a := range box {
			for _, other := range boxes[i+1:] {
				for _, b := range other {
					list = append(list, p.Pack.Gaps.between(a, b))
				}
			}
			for _, t := range thingsOf(p.Obstacles()) {
				list = append(list, p.Pack.Gaps.toThing(a, t))
			}
		}
	}
	slices.SortStableFunc(list, func(a, b Relation) int { return cmp.Compare(a.Left, b.Left) })
	return list
}

// Of relations that leave the same those come first that the files name first: with many
// such, for all is in one place, or 100 mm apart, with posts that are alike.
func TestRelationsThatLeaveTheSameAreInTheOrderOfTheFiles(t *testing.T) {
	p := blocks(3, Gaps{})
	post := Post{Name: "plus", Face: Top, At: r2.Point{X: 50, Y: 50}, Diameter: 10, Height: 10}
	minus := post
	minus.Name = "minus"
	p.Pack.Kinds[0].Posts = []Post{post, minus}
	p.Pack.Kinds = append(p.Pack.Kinds, kindOf("charger", 2, 100, 100, 100))
	g := rand.New(rand.NewPCG(4, 1))
	for range 20 {
		var l Layout
		for _, part := range []Part{{Box: "charger", Number: 2}, {Box: "block", Number: 2}, {Box: "block", Number: 3}, {Box: "charger", Number: 1}, {Box: "block", Number: 1}} {
			l.Placements = append(l.Placements, upright(part.Box, part.Number, float64(100*g.IntN(3)), float64(100*g.IntN(2)), 0))
		}
		want := plainly(p, l)
		require.Equal(t, want, Check(p, l).Relations)
		j := NewJudge(p)
		j.Check(layoutOf(l.Placements[:3]...))
		require.Equal(t, want, j.Check(l).Relations, "and with boxes added")
	}
}

// What a report holds is the caller's: changing it changes no later report.
func TestReportsAreTheCallers(t *testing.T) {
	p, l := crowd()
	j := NewJudge(p)
	first := j.Check(l)
	want := Check(p, l)
	for i := range first.Relations {
		first.Relations[i] = Relation{}
	}
	l.Placements[0].Centre.X++
	j.Check(l)
	l.Placements[0].Centre.X--
	require.Equal(t, want, j.Check(l))
}

// A place of 0 and of −0 are told apart.
func TestAJudgeTellsZerosApart(t *testing.T) {
	p := blocks(1, Gaps{})
	j := NewJudge(p)
	for _, y := range []float64{0, math.Copysign(0, -1)} {
		l := layoutOf(upright("block", 1, 0, y, 0))
		j.Check(l)
		require.Equal(t, math.Signbit(y), math.Signbit(j.slots[0].at.Centre.Y))
	}
}

// One box moved: of all other relations none is reckoned again.
func TestOnlyWhatMovedIsReckonedAgain(t *testing.T) {
	p, l := crowd()
	j := NewJudge(p)
	j.Check(l)
	before := slices.Clone(j.ranks)
	l.Placements[7].Centre.Z += 3
	moved := l.Placements[7]
	j.Check(l)
	same := map[*Relation]bool{}
	for _, r := range before {
		same[r.relation] = true
	}
	for _, r := range j.ranks {
		its := r.relation.A.OfBox(moved.Box, moved.Number) || r.relation.B.OfBox(moved.Box, moved.Number)
		require.Equal(t, its, !same[r.relation], "%v – %v", r.relation.A, r.relation.B)
	}
}

// workshop is 20 boxes, some with posts, some tilted, among 40 things of the frame.
func workshop() (Problem, Layout) {
	p, l := crowd()
	p.Pack.Kinds[0].Count = 14
	bare := kindOf("charger", 6, 90, 60, 50)
	p.Pack.Kinds = append(p.Pack.Kinds, bare)
	l.Placements = l.Placements[:14]
	for i := range 6 {
		l.Placements = append(l.Placements, upright("charger", i+1, 95*float64(i), 250, 350))
	}
	things := len(thingsOf(p.Obstacles()))
	for i := range 40 - things {
		one := p.Frame.KeepOuts[0]
		one.Name = "lug " + sprint(i)
		low := r3.Vector{X: 40 * float64(i), Y: 300, Z: 20 * float64(i%5)}
		corners := *one.Box
		corners.Low, corners.High = low, low.Add(r3.Vector{X: 20, Y: 20, Z: 20})
		one.Box = &corners
		p.Frame.KeepOuts = append(p.Frame.KeepOuts, one)
	}
	p.Pack.Kinds[1].Posts = []Post{{Name: "plug", Face: Front, At: r2.Point{X: 30, Y: 25}, Diameter: 10, Height: 12}}
	return p, l
}

func TestWorkshopIsAsLargeAsItSays(t *testing.T) {
	p, l := workshop()
	require.Len(t, l.Placements, 20)
	require.Len(t, thingsOf(p.Obstacles()), 40)
	require.Empty(t, Check(p, l).Faults)
}

// One box of 20 moved among 40 things of the frame: how long that is judged, at the median
// and at the 99th percentile, and how much longer a whole Check takes.
func BenchmarkJudgeOneMove(b *testing.B) {
	p, l := workshop()
	j := NewJudge(p)
	j.Check(l)
	g := rand.New(rand.NewPCG(1, 1))
	var moves, checks []float64
	for b.Loop() {
		at := &l.Placements[g.IntN(len(l.Placements))].Centre
		*at = at.Add(r3.Vector{X: g.Float64() - 0.5, Y: g.Float64() - 0.5, Z: g.Float64() - 0.5})
		start := time.Now()
		j.Check(l)
		moves = append(moves, time.Since(start).Seconds()*1000)
		if len(checks) <= len(moves)/20 {
			start = time.Now()
			Check(p, l)
			checks = append(checks, time.Since(start).Seconds()*1000)
		}
	}
	slices.Sort(moves)
	slices.Sort(checks)
	b.ReportMetric(moves[len(moves)/2], "ms/move")
	b.ReportMetric(moves[len(moves)*99/100], "ms/move-p99")
	b.ReportMetric(checks[len(checks)/2]/moves[len(moves)/2], "checks/move")
}
