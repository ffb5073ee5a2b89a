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
	o := open(t, example(t), 700).coarsely(700)
	o.settle()
	// Each by mouse, then back or on by key, or the other way round.
	for _, c := range []struct {
		what string
		do   func()
	}{
		{"look from the right, by mouse", o.clicking(`[data-look=right]`)},
		{"look from the front, by key", o.pressing(`[data-look=front]`, input.Enter)},
		{"look from the top, by mouse", o.clicking(`[data-look=top]`)},
		{"look slanted, by key", o.pressing(`[data-look=slanted]`, input.Space)},
		{"look from the front, by mouse", o.clicking(`[data-look=front]`)},
		{"look from the right, by key", o.pressing(`[data-look=right]`, input.Enter)},
		{"look slanted, by mouse", o.clicking(`[data-look=slanted]`)},
		{"look from the top, by key", o.pressing(`[data-look=top]`, input.Enter)},
		{"look slanted again", o.clicking(`[data-look=slanted]`)},
		{"turn left, by mouse", o.clicking(`[data-turn=left]`)},
		{"turn right, by key", o.pressing(`[data-turn=right]`, input.Enter)},
		{"turn up, by mouse", o.clicking(`[data-turn=up]`)},
		{"turn down, by key", o.pressing(`[data-turn=down]`, input.Enter)},
		{"turn right, by mouse", o.clicking(`[data-turn=right]`)},
		{"turn left, by key", o.pressing(`[data-turn=left]`, input.Enter)},
		{"turn down, by mouse", o.clicking(`[data-turn=down]`)},
		{"turn up, by key", o.pressing(`[data-turn=up]`, input.Enter)},
		{"nearer, by mouse", o.clicking(`[data-turn=nearer]`)},
		{"farther, by key", o.pressing(`[data-turn=farther]`, input.Enter)},
		{"farther, by mouse", o.clicking(`[data-turn=farther]`)},
		{"nearer, by key", o.pressing(`[data-turn=nearer]`, input.Enter)},
		{"turn by arrow keys", o.pressing(`canvas`, input.ArrowRight)},
		{"zoom by keys", o.pressing(`canvas`, input.Equal)},
		{"turn by dragging", o.dragging},
		{"zoom by wheel", o.wheeling},
		{"gaps, by mouse", o.clicking(`[name=gaps]`)},
		{"no gaps, by key", o.pressing(`[name=gaps]`, input.Space)},
		{"tightest place off, by key", o.pressing(`[name=tightest]`, input.Space)},
		{"tightest place on, by mouse", o.clicking(`[name=tightest]`)},
		{"pulled apart, by key", o.pressing(`[name=apart]`, input.End)},
		{"half way together, by mouse", o.clicking(`[name=apart]`)},
		{"together again", o.pressing(`[name=apart]`, input.Home)},
		{"cut level, by key", func() {
			o.pressing(`[name=axis]`, input.ArrowDown)()
			o.pressing(`[name=cut]`, input.PageDown, input.PageDown, input.PageDown)()
		}},
		{"cut deeper, by mouse", o.clicking(`[name=cut]`)},
		{"cut along", o.pressing(`[name=axis]`, input.ArrowDown)},
		{"cut across, as the mouse chooses", func() { o.element(`[name=axis]`).MustSelect("across, from the front") }},
		{"no cut", o.pressing(`[name=axis]`, input.Home)},
		{"a box hidden, by mouse", func() { o.clicking(`.names summary`)(); o.tick("cell block 4").MustClick() }},
		{"and shown, by key", func() { o.tick("cell block 4").MustFocus(); o.press(input.Space) }},
		{"the other layout, by mouse", o.clicking(`[name=layout][value="2"]`)},
		{"the first again, by key", o.pressing(`[name=layout][value="2"]`, input.ArrowUp)},
	} {
		o.changes(c.what, c.do)
	}
	o.quiet()
}

func TestOrderPlaysLegByLeg(t *testing.T) {
	in := example(t)
	o := open(t, in, 700).coarsely(700)
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
	for n := range steps { // and out again, leg by leg
		o.changes("back", o.clicking(`[data-play=back]`))
		require.Contains(t, o.eval(`() => document.querySelector('.now').textContent`), fmt.Sprintf("%d of %d. ", len(steps)-n, len(steps)))
	}
	o.changes("all in, by mouse", o.clicking(`[data-play=all]`))
	o.changes("empty, by key", o.pressing(`[data-play=empty]`, input.Enter))
	o.changes("all in, by key", o.pressing(`[data-play=all]`, input.Enter))
	o.changes("by the slider, by key", o.pressing(`[name=order]`, input.ArrowLeft))
	o.changes("by the slider, by mouse", o.clicking(`[name=order]`))
	o.changes("on, by mouse", o.clicking(`[data-play=on]`))
	o.changes("back, by key", o.pressing(`[data-play=back]`, input.Enter))
	toTheEnd := func(play func()) func() {
		return func() {
			play()
			require.NoError(t, o.Wait(evaluating(`() => document.querySelector('.now').textContent === 'All boxes are in.'`)))
		}
	}
	o.changes("play to the end, by mouse", toTheEnd(o.clicking(`[data-play=play]`)))
	o.clicking(`[data-play=empty]`)()
	o.changes("play to the end, by key", toTheEnd(o.pressing(`[data-play=play]`, input.Enter)))
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

// Every control that changes the page or its pictures does so by the mouse and by keys.
func TestControlsOutsideOfThePicture(t *testing.T) {
	o := open(t, example(t), 1280)
	o.settle()
	_, err := o.Eval(`() => { window.printed = 0; window.print = () => { window.printed++; }; }`)
	require.NoError(t, err)
	is := func(what, js string) {
		t.Helper()
		require.NoError(t, o.Timeout(patience/3).Wait(evaluating(`() => `+js)), what)
	}
	o.clicking(`#print`)()
	is("print by mouse", `window.printed === 1`)
	o.pressing(`#print`, input.Enter)()
	is("print by key", `window.printed === 2`)
	o.clicking(`[name=unit][value=in]`)()
	is("inches by mouse", `document.documentElement.dataset.unit === 'in'`)
	o.pressing(`[name=unit][value=in]`, input.ArrowLeft)()
	is("millimetres by key", `document.documentElement.dataset.unit === 'mm'`)
	o.clicking(`.names summary`)()
	is("names unfolded by mouse", `document.querySelector('.names').open`)
	o.pressing(`.names summary`, input.Enter)()
	is("names folded by key", `!document.querySelector('.names').open`)
	o.pressing(`.skip`, input.Enter)()
	is("to the answer by key", `location.hash === '#answer'`)
	o.quiet()
}

// The tabulator reaches all that can be worked with, in the order of the page.
func TestTabulatorReachesAllControls(t *testing.T) {
	o := open(t, example(t), 900)
	o.settle()
	_, err := o.Eval(`() => { document.querySelector('.names').open = true; window.reached = [];
	  document.addEventListener('focusin', (e) => window.reached.push(e.target)); document.querySelector('.skip').focus(); }`)
	require.NoError(t, err)
	for range 90 {
		o.press(input.Tab)
	}
	// Of radio buttons of a group the chosen one is reached, the others by arrows from it.
	require.Empty(t, o.eval(`() => [...document.querySelectorAll('a, button, select, input, summary, canvas, [tabindex]')]
	  .filter((e) => e.checkVisibility() && !e.disabled && (e.type !== 'radio' || e.checked) && !window.reached.includes(e)).map((e) => e.outerHTML).join('\n')`))
}
