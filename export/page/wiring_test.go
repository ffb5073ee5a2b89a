package page

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack/wire"
)

// The connections are made one by one: each has its cable, in words and in the picture, and
// every cable stands in the table.
func TestConnectionsAreMadeOneByOne(t *testing.T) {
	in := example(t)
	plan, err := wire.Make(in.Problem, in.Layouts[0].Layout, wire.Settings{})
	require.NoError(t, err)
	in.Layouts[0].Wiring = &plan
	o := open(t, in, 700)
	o.settle()
	const words = `() => document.querySelector('[name=joining]').closest('fieldset').querySelector('.now').textContent`
	require.Equal(t, "All connections are made.", o.eval(words))
	o.changes("from the top, where the first can be seen", o.clicking(`[data-look=top]`))
	o.changes("no cable", o.clicking(`[data-join=none]`))
	require.Contains(t, o.eval(words), "Fuse out")
	o.clicking(`[data-join=on]`)()
	require.Contains(t, o.eval(words), "jumper 1: lift the boots")
	o.changes("the first cable", o.clicking(`[data-join=on]`))
	require.Contains(t, o.eval(words), "jumper 2: lift the boots")
	o.changes("without it again", o.clicking(`[data-join=back]`))
	o.changes("all cables", o.clicking(`[data-join=all]`))
	require.Equal(t, len(plan.Jumpers), strings.Count(o.eval(`() => document.querySelector('article.chosen table.cables tbody').textContent`), "jumper"))
	o.quiet()
}

// Where cables are put on in the steps, and what is said where there is no plan.
func TestWiringInWords(t *testing.T) {
	in := example(t)
	plan, err := wire.Make(in.Problem, in.Layouts[0].Layout, wire.Settings{})
	require.NoError(t, err)
	for i, c := range cablesOf(plan) {
		require.Equal(t, i+1, c.Step, "after the fuse is out, in their order")
	}
	require.Nil(t, wiringOf(in.Problem, in.Layouts[0]))
	in.Layouts[0].Unwired = "there is no way"
	var b bytes.Buffer
	require.NoError(t, Write(&b, in))
	require.Contains(t, b.String(), "It was not planned: there is no way.")
}
