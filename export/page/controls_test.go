package page

import (
	"bytes"
	"fmt"
	"image/png"
	"testing"

	"github.com/go-rod/rod/lib/input"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
)

// The picture answers to every control, by mouse and by keyboard.
func TestPictureAnswersToMouseAndKeyboard(t *testing.T) {
	o := open(t, example(t), 700)
	o.settle()
	for _, c := range []struct {
		what string
		do   func()
	}{
		{"look from the right, by mouse", o.clicking(`[data-look=right]`)},
		{"look from the front, by key", o.pressing(`[data-look=front]`, input.Enter)},
		{"look from the top", o.clicking(`[data-look=top]`)},
		{"look slanted", o.pressing(`[data-look=slanted]`, input.Space)},
		{"turn by a button", o.clicking(`[data-turn=left]`)},
		{"turn by a button's key", o.pressing(`[data-turn=up]`, input.Enter)},
		{"nearer", o.clicking(`[data-turn=nearer]`)},
		{"farther", o.pressing(`[data-turn=farther]`, input.Enter)},
		{"turn by arrow keys", o.pressing(`canvas`, input.ArrowRight)},
		{"zoom by keys", o.pressing(`canvas`, input.Equal)},
		{"turn by dragging", o.dragging},
		{"zoom by wheel", o.wheeling},
		{"gaps", o.clicking(`[name=gaps]`)},
		{"no gaps, by key", o.pressing(`[name=gaps]`, input.Space)},
		{"tightest place off", o.pressing(`[name=tightest]`, input.Space)},
		{"pulled apart", o.pressing(`[name=apart]`, input.End)},
		{"together again", o.pressing(`[name=apart]`, input.Home)},
		{"cut level", func() {
			o.pressing(`[name=axis]`, input.ArrowDown)()
			o.pressing(`[name=cut]`, input.PageDown, input.PageDown, input.PageDown)()
		}},
		{"cut deeper", o.pressing(`[name=cut]`, input.PageDown, input.PageDown)},
		{"no cut", o.pressing(`[name=axis]`, input.ArrowUp)},
		{"a box hidden", func() { o.clicking(`.names summary`)(); o.tick("cell block 4").MustClick() }},
		{"and shown, by key", func() { o.tick("cell block 4").MustFocus(); o.press(input.Space) }},
		{"the other layout", o.clicking(`[name=layout][value="2"]`)},
		{"the first again, by key", o.pressing(`[name=layout][value="2"]`, input.ArrowUp)},
	} {
		o.changes(c.what, c.do)
	}
	o.quiet()
}

func TestOrderPlaysLegByLeg(t *testing.T) {
	in := example(t)
	o := open(t, in, 700)
	o.settle()
	steps := in.Layouts[0].Entry.Order.Steps
	require.Len(t, steps, 6)
	o.changes("empty", o.clicking(`[data-play=empty]`))
	for n, s := range steps {
		require.Len(t, s.Legs, 1)
		words := fmt.Sprintf("%d of %d. %v: %s.", n+1, len(steps), s.Part(), s.Words(geom.Millimetre))
		require.Equal(t, words, o.eval(`() => document.querySelector('.now').textContent`))
		o.changes(words, o.pressing(`[data-play=on]`, input.Enter))
	}
	require.Equal(t, "All boxes are in.", o.eval(`() => document.querySelector('.now').textContent`))
	o.changes("back", o.clicking(`[data-play=back]`))
	o.changes("by the slider", o.pressing(`[name=order]`, input.ArrowLeft))
	o.changes("play to the end", func() {
		o.clicking(`[data-play=play]`)()
		require.NoError(t, o.Wait(evaluating(`() => document.querySelector('.now').textContent === 'All boxes are in.'`)))
	})
	o.quiet()
}

// What has to be off for a step is off in the picture. The tank is off in each step
// here, and back on when all are in.
func TestWhatIsOffIsTakenOff(t *testing.T) {
	in := example(t)
	for i := range in.Layouts[0].Entry.Order.Steps {
		in.Layouts[0].Entry.Order.Steps[i].Off = []string{"seat bucket"}
	}
	var with, without bytes.Buffer
	o := open(t, in, 700)
	o.settle()
	o.clicking(`[data-play=empty]`)()
	require.NoError(t, png.Encode(&without, o.picture()))
	in.Layouts[0].Entry.Order.Steps[0].Off = nil
	o = open(t, in, 700)
	o.settle()
	o.clicking(`[data-play=empty]`)()
	require.NoError(t, png.Encode(&with, o.picture()))
	require.NotEqual(t, with.Bytes(), without.Bytes())
}

func TestTwoLayoutsSideBySide(t *testing.T) {
	in := example(t)
	o := open(t, in, 1280)
	o.settle()
	o.pressing(`#other`, input.ArrowDown, input.ArrowDown)()
	require.NoError(t, o.Wait(evaluating(`() => document.querySelectorAll('canvas').length === 2`)))
	require.NotEqual(t, in.Layouts[0].Report.Spare, in.Layouts[1].Report.Spare)
	require.Equal(t, in.Layouts[0].title(geom.Millimetre)+"|"+in.Layouts[1].title(geom.Millimetre),
		o.eval(`() => [...document.querySelectorAll('.stage-title')].map((e) => e.textContent).join('|')`))
	o.pressing(`#other`, input.ArrowUp, input.ArrowUp)()
	require.NoError(t, o.Wait(evaluating(`() => document.querySelectorAll('canvas').length === 1`)))
	o.quiet()
}

func TestWhatOverlapsIsShownInPlace(t *testing.T) {
	problem, layout := crate(t, "cell", 2)
	layout.Placements[1].Centre.X -= 14.3 // 110 apart, 100 long: 4.3 into each other
	in := inputOf(t, problem, layout)
	require.False(t, in.Layouts[0].Report.Holds())
	o := open(t, in, 900)
	o.settle()
	require.Contains(t, o.eval(`() => document.querySelector('article svg').textContent`), "4.3 mm overlap")
	o.changes("the overlap", o.clicking(`[name=tightest]`))
	o.quiet()
}

// Posts that are out of reach later are told in the order, and at its end.
func TestConnectionsAreToldInTime(t *testing.T) {
	in := example(t)
	reach := in.Layouts[0].Entry.Reach
	last := in.Layouts[0].Entry.Order.Steps[5].Part()
	reach[0].When, reach[0].Boxes = entry.Before, []pack.Part{last}
	reach[1].When, reach[1].Things = entry.Before, []string{"seat bucket"}
	legs := sceneOf(in).Layouts[0].Legs
	require.Contains(t, legs[5].Words.Mm, "Connect cell block 1 plus before "+last.String()+" goes in.")
	require.NotContains(t, legs[4].Words.Mm, "onnect")
	require.Regexp(t, "^All boxes are in. Connect cell block 1 minus .*seat bucket.*\\.$", sceneOf(in).Layouts[0].Done)
}

func TestFortyBoxesTurn(t *testing.T) {
	problem, layout := crate(t, "cell", 40)
	o := open(t, inputOf(t, problem, layout), 900)
	o.settle()
	o.changes("turned", o.pressing(`canvas`, input.ArrowLeft))
	o.quiet()
}

// BenchmarkTurn40 is the time from a key to the picture of 40 boxes turned, drawn
// without a graphics card.
func BenchmarkTurn40(b *testing.B) {
	problem, layout := crate(b, "cell", 40)
	o := open(b, inputOf(b, problem, layout), 900)
	o.settle()
	o.pressing(`canvas`, input.ArrowLeft)()
	for b.Loop() {
		o.press(input.ArrowLeft)
		_, err := o.Eval(`() => new Promise((r) => requestAnimationFrame(() => requestAnimationFrame(r)))`)
		require.NoError(b, err)
	}
}
