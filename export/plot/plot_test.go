package plot_test

import (
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/export/plot"
)

func svg(t *testing.T, p plot.Plot) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, p.WriteSVG(&b))
	d := xml.NewDecoder(bytes.NewReader(b.Bytes()))
	for {
		_, err := d.Token()
		if err == io.EOF { //nolint:errorlint // Token returns it bare
			break
		}
		require.NoError(t, err, "it is well-formed XML")
	}
	return b.String()
}

// Where points lie: x from 64 to 616 pixels, y from 326 up to 44, on round ticks.
func TestPointsLieWhereTheyBelong(t *testing.T) {
	text := svg(t, plot.Plot{Title: "a <b>\x07 & c", Points: []plot.Point{{X: 160, Y: -6}, {X: 166, Y: 0, Firm: true}, {X: 172, Y: 6}}})
	require.Contains(t, text, "a &lt;b&gt; &amp; c")
	require.Contains(t, text, `points="64.0,326.0 340.0,185.0 616.0,44.0"`)
	require.Contains(t, text, `<circle cx="340.0" cy="185.0" r="4" fill="#2a6f97"`)
	require.Contains(t, text, `<circle cx="64.0" cy="326.0" r="4" fill="#fff"`)
	require.Contains(t, text, `<line x1="64.0" y1="185.0" x2="616.0" y2="185.0" stroke="#222"`, "the line of zero")
	for _, tick := range []string{">160<", ">172<", ">-6<", ">0<"} {
		require.Contains(t, text, tick)
	}
}

func TestPlotsWithLittle(t *testing.T) {
	require.NotContains(t, svg(t, plot.Plot{}), "NaN")
	require.NotContains(t, svg(t, plot.Plot{Points: []plot.Point{{X: 3, Y: 0}}}), "NaN")
	one := svg(t, plot.Plot{Points: []plot.Point{{X: 3, Y: math.Inf(-1)}, {X: 4, Y: 0.003}}})
	require.NotContains(t, one, "Inf")
	require.NotContains(t, one, "NaN")
	require.Equal(t, 1, bytes.Count([]byte(one), []byte("<circle")))
}
