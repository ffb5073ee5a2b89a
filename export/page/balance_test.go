package page

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
)

func kilograms(v float64) *float64 { return &v }

// The balance is drawn where the frame file tells of a vehicle: a wheel and its load for each,
// the middle of mass before and after, and no words on others, of two wheels side by side too.
func TestBalanceIsDrawn(t *testing.T) {
	in := example(t)
	none, err := balanceOf(in.Problem, in.Layouts[0])
	require.NoError(t, err)
	require.Nil(t, none)
	f := *in.Problem.Frame
	wheel := func(name string, x, y, mass float64) frame.Wheel {
		return frame.Wheel{Name: name, At: r2.Point{X: x, Y: y}, Radius: 280, Weighed: kilograms(mass), Allowed: kilograms(200)}
	}
	for _, wheels := range [][]frame.Wheel{
		{wheel("front", 780, 0, 40), wheel("rear", -460, 0, 45)},
		{wheel("front", 780, 0, 40), wheel("rear left", -460, 300, 30), wheel("rear right", -460, -300, 30)},
	} {
		f.Vehicle = &frame.Vehicle{Wheels: wheels}
		in.Problem.Frame = &f
		got, err := balanceOf(in.Problem, in.Layouts[0])
		require.NoError(t, err)
		svg := string(got.Drawing)
		require.Equal(t, len(wheels), strings.Count(svg, `class="wheel"`))
		require.Equal(t, 2, strings.Count(svg, `class="middle `))
		places := map[string]bool{}
		for d := xml.NewDecoder(strings.NewReader(svg)); ; {
			token, err := d.Token()
			if err == io.EOF {
				break
			}
			require.NoError(t, err)
			if e, ok := token.(xml.StartElement); ok && e.Name.Local == "text" {
				at := fmt.Sprint(e.Attr[0].Value, " ", e.Attr[1].Value)
				require.False(t, places[at], "two lines at %s", at)
				places[at] = true
			}
		}
		require.Len(t, places, 3*len(wheels))
		var b bytes.Buffer
		require.NoError(t, Write(&b, in))
		require.Contains(t, b.String(), "<h3>Balance</h3>")
		require.Contains(t, b.String(), "Packed: 16.6 kg.")
	}
}
