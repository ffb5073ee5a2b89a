package certificate_test

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/certificate"
)

// A tower is as wide as one brick and 105 high. Two bricks of 51 × 51 × 60 go in on their
// sides, one on the other, for 51 + 51 < 105; with one of them upright they do not, for
// 51 + 60 > 105. Pose 0 is upright, 1 and 2 are on the side.
const (
	tower  = `{format: 1, frame: tower, opening: {outline: [[0, 0], [100, 0], [100, 105], [0, 105]], across: 100}}`
	bricks = `{format: 1, pack: bricks, gaps: {beside: 0, above: 0}, boxes: [{name: brick, count: 2, size: [51, 51, 60], stand: [upright, on-side]}]}`
)

// stacked is the sum for brick 1 on brick 0, or with them exchanged: the direction that was
// chosen, the floor below the one and the top above the other.
func stacked(above int) certificate.Node {
	first := 0
	return certificate.Node{Sum: []certificate.Term{
		{Choice: &first, Times: 1}, {Wall: []int{1 - above, 0}, Times: 0.01}, {Wall: []int{above, 2}, Times: 0.01},
	}}
}

func cites(k int) certificate.Node { return certificate.Node{Lemma: &k} }

// onUpright is the lemma that brick 1 is not on brick 0 where that is upright; of the
// directions from brick 0 to brick 1, the last two are up and down.
func onUpright() certificate.Lemma {
	return certificate.Lemma{
		Choices: []certificate.Choice{{Apart: []int{1, 0, 0, 0}, Way: 4}},
		Turns:   []certificate.Poses{{Box: 0, Poses: []int{0}}},
		Tree:    stacked(1),
	}
}

// used is a tree that names lemma k where brick 1 lies along a way from brick 0, which has
// some poses. All other ways of these cannot be; what comes behind them shows nothing.
func used(way int, poses []int, k int) certificate.Node {
	nothing := certificate.Node{Sum: []certificate.Term{{Wall: []int{0, 0}, Times: 1}}}
	first := 0
	apart := certificate.Node{Apart: []int{1, 0, 0, 0}}
	for _, walls := range [][2]int{{5, 4}, {4, 5}, {3, 1}, {1, 3}} {
		apart.Then = append(apart.Then, certificate.Node{Sum: []certificate.Term{
			{Choice: &first, Times: 1}, {Wall: []int{0, walls[0]}, Times: 1.0 / 105}, {Wall: []int{1, walls[1]}, Times: 1.0 / 105},
		}})
	}
	apart.Then = append(apart.Then, stacked(1), stacked(0))
	apart.Then[way] = cites(k)
	return certificate.Node{Turn: &certificate.Turn{Box: 0, Sets: [][]int{poses, {0, 1, 2}}}, Then: []certificate.Node{apart, nothing}}
}

// What is refused of a proof with lemmas, and why. The bricks go in, so the proof has to
// fail somewhere: it ends with a sum that shows nothing, behind all that is tried here.
func TestWhatALemmaHasToShow(t *testing.T) {
	p := problem(t, tower, bricks)
	refuses := func(why string, tree certificate.Node, lemmas ...certificate.Lemma) {
		t.Helper()
		err := certificate.Verify(p, certificate.Proof{
			Format: 1, Claim: certificate.Claim, FrameHash: p.Frame.Hash, PackHash: p.Pack.Hash, Lemmas: lemmas, Tree: &tree,
		})
		require.ErrorIs(t, err, certificate.ErrRefused)
		require.ErrorContains(t, err, why)
	}
	const behind = "a sum of 1 inequalities"
	changed := func(change func(l *certificate.Lemma)) certificate.Lemma {
		l := onUpright()
		change(&l)
		return l
	}

	refuses(behind, used(4, []int{0}, 0), onUpright())
	refuses(behind, used(4, []int{0}, 1), onUpright(), changed(func(l *certificate.Lemma) { l.Tree = cites(0) }))

	// At its use.
	refuses("was not chosen", used(5, []int{0}, 0), onUpright())
	refuses("all poses that box 0 can have", used(4, []int{0, 1}, 0), onUpright())
	refuses("lemma 0 is not proven before", used(4, []int{0}, 0))
	// What has no pose is nowhere: true, and of no use.
	refuses("lemma 0 does not speak of all poses that box 0 can have", used(4, []int{0}, 0), changed(func(l *certificate.Lemma) { l.Turns[0].Poses = nil }))
	refuses("lemma 1 is not proven before", used(4, []int{0}, 1), onUpright())
	refuses("lemma -1 is not proven before", used(4, []int{0}, -1), onUpright())

	// In itself: it says too much, speaks of what is not there, or rests on itself.
	for _, bad := range []struct {
		why    string
		change func(l *certificate.Lemma)
	}{
		{"lemma 0: a sum of 3 inequalities after 1 choices", func(l *certificate.Lemma) { l.Turns = nil }},
		{"lemma 0: a sum of 3 inequalities after", func(l *certificate.Lemma) { l.Turns[0].Poses = []int{0, 1} }},
		{"a sum of 3 inequalities after 1", func(l *certificate.Lemma) { l.Choices[0].Way = 5 }},
		{"lemma 0: a sum of 3", func(l *certificate.Lemma) { l.Tree.Sum[1].Times = 0.005 }},
		{"lemma 0: there is no such inequality", func(l *certificate.Lemma) { l.Choices = nil }},
		{"may lie apart in 6 directions, and not in", func(l *certificate.Lemma) { l.Choices[0].Way = 6 }},
		{"6 directions, and not in direction -1", func(l *certificate.Lemma) { l.Choices[0].Way = -1 }},
		{"there is no part {2 0}", func(l *certificate.Lemma) { l.Choices[0].Apart = []int{1, 0, 2, 0} }},
		{"apart takes four numbers, and clear three", func(l *certificate.Lemma) { l.Choices[0].Clear = []int{0, 0, 0} }},
		{"lemma 0: apart takes four numbers", func(l *certificate.Lemma) { l.Choices[0].Apart = nil }},
		{"there is no solid 0", func(l *certificate.Lemma) { l.Choices[0] = certificate.Choice{Clear: []int{0, 0, 0}} }},
		{"there is no box 2", func(l *certificate.Lemma) { l.Turns[0].Box = 2 }},
		{"there is no box -1", func(l *certificate.Lemma) { l.Turns[0].Box = -1 }},
		{"box 0 has no pose 3", func(l *certificate.Lemma) { l.Turns[0].Poses = []int{0, 3} }},
		{"box 0 has no pose -1", func(l *certificate.Lemma) { l.Turns[0].Poses = []int{-1} }},
		{"lemma 0: lemma 0 is not proven", func(l *certificate.Lemma) { l.Tree = cites(0) }},
		{"lemma 0: lemma 1 is not proven", func(l *certificate.Lemma) { l.Tree = cites(1) }},
		{"lemma 0: a node has to be one of", func(l *certificate.Lemma) { l.Tree = certificate.Node{} }},
	} {
		refuses(bad.why, used(4, []int{0}, 0), changed(bad.change), onUpright())
	}
	// Another box turned is another lemma: as true, but not what holds at the node.
	refuses("all poses that box 1 can have", used(4, []int{0}, 0), changed(func(l *certificate.Lemma) { l.Turns[0].Box = 1 }))
	// A lemma rests on one before it only where its own facts allow that.
	refuses("lemma 1: lemma 0 does not speak of all poses", used(4, []int{0}, 0), onUpright(), changed(func(l *certificate.Lemma) { l.Turns, l.Tree = nil, cites(0) }))
	refuses("lemma 1: lemma 0 rests on a direction", used(4, []int{0}, 0), onUpright(), changed(func(l *certificate.Lemma) { l.Choices, l.Tree = nil, cites(0) }))
}

// withLemmas is the proof by hand with one of its ends as a lemma, on which another rests.
func withLemmas(p pack.Problem) certificate.Proof {
	proof := byHand(p)
	up := []certificate.Choice{{Apart: []int{1, 0, 0, 0}, Way: 4}}
	proof.Lemmas = []certificate.Lemma{
		{Choices: up, Tree: proof.Tree.Then[4]},
		{Choices: up, Turns: []certificate.Poses{{Box: 1, Poses: []int{0}}}, Tree: cites(0)},
	}
	proof.Tree.Then[4] = cites(1)
	return proof
}

// harmless are changes after which a proof by hand with lemmas says as much: an axis for the
// order of boxes that no term uses, terms exchanged, something said twice, the first lemma
// named in place of the second that rests on it, and the only pose of a box taken for open.
var harmless = regexp.MustCompile(`order|sum exchanged \d$|(lemmas|choices|turns|poses) twice \d$|tree\.then\[4\]\.lemma 0$|lemmas\[1\]( without turns$|\.turns)`)

// In a proof by hand with lemmas all else counts.
func TestTamperingWithLemmas(t *testing.T) {
	p := problem(t, cube, cubes(51))
	tamper(t, p, textOf(t, withLemmas(p)), harmless)
}
