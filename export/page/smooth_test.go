package page

import (
	"testing"

	"github.com/go-rod/rod/lib/input"
	"github.com/stretchr/testify/require"
)

// counting counts what the page asks of WebGL and how often it draws.
const counting = `() => {
  window.asked = { draws: 0, pictures: 0, made: 0 };
  const on = (name, kind) => {
    const was = WebGL2RenderingContext.prototype[name];
    WebGL2RenderingContext.prototype[name] = function (...all) { window.asked[kind]++; return was.apply(this, all); };
  };
  ['drawElements', 'drawArrays', 'drawElementsInstanced', 'drawArraysInstanced'].forEach((name) => on(name, 'draws'));
  on('clear', 'pictures');
  ['createBuffer', 'createTexture', 'createProgram', 'createVertexArray', 'texImage2D', 'texStorage2D', 'linkProgram'].forEach((name) => on(name, 'made'));
}`

type asked struct{ draws, pictures, made int }

// asked is what was asked for since the last time.
func (o *opened) asked() asked {
	o.t.Helper()
	r, err := o.Eval(`() => { const a = window.asked; window.asked = { draws: 0, pictures: 0, made: 0 }; return [a.draws, a.pictures, a.made]; }`)
	require.NoError(o.t, err)
	a := r.Value.Arr()
	return asked{a[0].Int(), a[1].Int(), a[2].Int()}
}

// mostDraws is how many calls a picture may take: common practice for pages that are to
// turn smoothly without a strong graphics card is some hundreds, a thousand at most.
const mostDraws = 500

// Forty boxes stay smooth enough to turn: one turn draws one picture, in few calls, and
// makes nothing anew on the graphics card; and what is still is not drawn again.
func TestFortyBoxesTakeFewCallsToTurn(t *testing.T) {
	problem, layout := crate(t, "cell", 40)
	o := open(t, inputOf(t, problem, layout), 900)
	o.settle()
	_, err := o.Eval(counting)
	require.NoError(t, err)
	o.changes("turned", o.pressing(`canvas`, input.ArrowLeft))
	o.frames(3)
	o.asked() // the first one may bring words that were not shown before
	for range 5 {
		o.press(input.ArrowLeft)
		o.frames(3)
		now := o.asked()
		require.Equal(t, 1, now.pictures)
		require.Greater(t, now.draws, 40)
		require.Less(t, now.draws, mostDraws)
		require.Zero(t, now.made)
	}
	o.frames(5)
	require.Equal(t, asked{}, o.asked(), "nothing is drawn while nothing changes")
}

// Words on faces are not drawn while they are too small to be read: farther away the words
// of each box, which are drawn at once, are missing, and plates bear names instead.
func TestSmallWordsOnFacesAreNotDrawn(t *testing.T) {
	in := example(t)
	o := open(t, in, 1280)
	o.settle()
	_, err := o.Eval(counting)
	require.NoError(t, err)
	draws := func(times int) int {
		for range times {
			o.pressing(`canvas`, input.Minus)()
		}
		o.frames(3)
		o.asked()
		o.pressing(`canvas`, input.ArrowLeft)()
		o.frames(3)
		return o.asked().draws
	}
	near, far := draws(0), draws(8)
	boxes := len(in.Layouts[0].Layout.Placements)
	require.Greater(t, near-far, boxes/2)
	require.LessOrEqual(t, near-far, boxes)
	require.Positive(t, o.count(".plate-name"))
}
