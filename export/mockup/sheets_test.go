package mockup

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/export/card"
	"rackwright/pack"
)

// The nets of random boxes on sheets: never more sheets than with the nets of least board,
// often fewer, and no other net for one kind of box would save a sheet. Each of these is
// laid out here anew.
func TestNetsAreChosenForTheFewestSheets(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 2))
	fewer := 0
	for range 25 {
		s := Settings{Board: 4, Sheet: r2.Point{X: 700 + 500*rng.Float64(), Y: 500 + 300*rng.Float64()}}
		var list []template
		for i := range 1 + rng.IntN(3) {
			k := pack.Kind{Name: fmt.Sprint(i), Count: 1 + rng.IntN(5), Size: r3.Vector{X: 60 + 200*rng.Float64(), Y: 60 + 200*rng.Float64(), Z: 60 + 200*rng.Float64()}}
			nets, err := card.Choices(k, s.Board, sheetFor(s.Sheet))
			require.NoError(t, err)
			list = append(list, template{group: group{kind: k, numbers: make([]int, k.Count)}, label: card.Label{Name: k.Name}, nets: nets})
		}
		l := newLayer(list, s.Sheet)
		require.NoError(t, l.choose())
		least := newLayer(list, s.Sheet)
		require.NoError(t, least.lay())
		require.LessOrEqual(t, l.count, least.count)
		if l.count < least.count {
			fewer++
		}
		for i := range list {
			for net := range list[i].nets {
				other := newLayer(list, s.Sheet)
				copy(other.chosen, l.chosen)
				other.chosen[i] = net
				require.NoError(t, other.lay())
				require.GreaterOrEqual(t, other.count, l.count, "%d of %s", net, list[i].kind.Name)
			}
		}
	}
	require.Positive(t, fewer)
	t.Logf("%d of 25 take fewer sheets than with least board", fewer)
}
