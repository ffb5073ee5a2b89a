package main

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack/search"
)

// The line that is written over and over uses the words and the units of the answer.
func TestProgressInWords(t *testing.T) {
	at := func(spare, bound float64, u geom.Unit) string {
		return spareAndBound(search.Progress{Spare: spare, Bound: bound}, u)
	}
	none := math.Inf(1)
	require.Equal(t, "nothing placed yet", at(-none, none, geom.Millimetre))
	require.Equal(t, "best so far 3.00 mm short, at most 4.5 mm to spare is possible", at(-3, 4.44, geom.Millimetre))
	require.Equal(t, "best so far 1/8 in to spare", at(3.2, none, geom.Inch))
	require.Equal(t, "best so far 3.00 mm short, every layout is short", at(-3, -1, geom.Millimetre))
}
