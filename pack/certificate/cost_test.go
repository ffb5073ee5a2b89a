package certificate

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What a file takes is counted outside of texts alone.
func TestCostIsOfWhatIsHeld(t *testing.T) {
	cost := func(text string) int {
		c := &counted{r: strings.NewReader(text)}
		_, err := new(bytes.Buffer).ReadFrom(c)
		require.NoError(t, err)
		return c.cost
	}
	require.Equal(t, objectCost+listCost+2*commaCost, cost(`{"a": [1, 2, 3]}`))
	require.Equal(t, objectCost, cost(`{"a{[,\\\"{[,": "\\\\"}`))
}

// A proof that would not be read is not written.
func TestNoProofIsWrittenThatIsNotRead(t *testing.T) {
	var file bytes.Buffer
	p := Proof{Format: 1, Claim: Claim, Tree: &Node{Then: make([]Node, 100)}}
	require.NoError(t, Write(&file, p))
	_, err := Read(&file, "proof")
	require.NoError(t, err)
	p.Tree.Then = make([]Node, mostCost/objectCost)
	require.ErrorContains(t, Write(&file, p), "more than are checked")
	require.Zero(t, file.Len())
}
