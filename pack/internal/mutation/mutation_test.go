package mutation

import (
	"go/parser"
	"go/token"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestMutants(t *testing.T) {
	const source = `package p

import "math"

const slack = 1e-9

var inf, is = math.Inf(-1), math.IsInf(slack, 0)

func f(a, b float64, c [3]int) bool { return math.Max(a, 2)-b <= slack && c[0] == 1 || a < 0.5 && b < 0.5 }
`
	all, err := Mutants("p.go", []byte(source))
	require.NoError(t, err)
	var keys []string
	for _, m := range all {
		keys = append(keys, m.Key)
		changed := m.Source([]byte(source))
		require.NotEqual(t, source, string(changed))
		_, err := parser.ParseFile(token.NewFileSet(), "p.go", changed, 0)
		require.NoError(t, err, m.Key)
	}
	require.Contains(t, keys, "declarations: 1e-9  (1e-9 → 1e-06)")
	require.Contains(t, keys, "f: math.Max(a, 2)-b <= slack  (<= → >)")
	require.Contains(t, keys, "f: math.Max(a, 2)-b <= slack  (<= → <)")
	require.Contains(t, keys, "f: math.Max(a, 2) - b  (- → +)")
	require.Contains(t, keys, "f: math.Max(a, 2)  (Max → Min)")
	require.Contains(t, keys, "f: c[0] == 1  (== → !=)")
	require.Contains(t, keys, "f: 0.5  (0.5 → 1.5) #2")
	require.Contains(t, keys, "declarations: math.Inf(-1)  (-1 → 1)")
	require.Contains(t, keys, "declarations: math.IsInf(slack, 0)  (0 → 1)")
	require.Len(t, keys, 20)
	_, err = Mutants("p.go", []byte("no Go"))
	require.Error(t, err)
}
