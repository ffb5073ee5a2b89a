package beam

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
)

// A lever whose far pad lets go needs more than one round of contacts. Where it does not get them no
// answer is given, though there is one that is wrong: a pad that pulls.
func TestUnsettledContactsAreNoAnswer(t *testing.T) {
	var m Model
	s := Section{Area: 1e4, IY: 1e9, IZ: 1e9, J: 1e9}
	a, b := m.Node(r3.Vector{}, "lever"), m.Node(r3.Vector{X: 400}, "lever")
	m.Member(a, b, s, Steel, r3.Vector{Y: 1}, "lever")
	m.Fix(a, [6]bool{true, true, true, true, false, true})
	m.Touch(Contact{A: a, B: Ground, At: r3.Vector{X: 100}, Normal: r3.Vector{Z: 1}, Stiffness: 200, Name: "pad"})
	m.Touch(Contact{A: a, B: Ground, At: r3.Vector{X: 300}, Normal: r3.Vector{Z: -1}, Stiffness: 200, Name: "pad above"})
	loads := Loads{Forces: []Force{{Node: b, At: r3.Vector{X: 400}, Force: r3.Vector{Z: -100}}}}
	p := m.Prepare()
	p.rounds = 1
	_, err := p.Solve(loads)
	require.ErrorIs(t, err, ErrUnsettled)
	got, err := m.Solve(loads)
	require.NoError(t, err)
	require.Zero(t, got.Contact(1))
	require.InEpsilon(t, 400, got.Contact(0), 1e-6, "by the lever: 100 N at 400 mm, the pad at 100 mm")
}
