package page

import (
	"testing"

	"github.com/go-rod/rod/lib/input"
	"github.com/stretchr/testify/require"
)

// covering names the plates over the picture that cover another one, or reach beyond it.
const covering = `() => {
  const stage = document.querySelector('.stage').getBoundingClientRect();
  const all = [...document.querySelectorAll('.plates g')].filter((g) => g.getBoundingClientRect().width)
    .map((g) => ({ words: g.textContent, r: g.querySelector('rect').getBoundingClientRect(), t: g.querySelector('text').getBoundingClientRect() }));
  const bad = [];
  all.forEach(({ words, r, t }, i) => {
    if (t.left < r.left - 0.5 || t.right > r.right + 0.5) bad.push(words + ' is wider than its plate');
    if (r.left < stage.left || r.right > stage.right || r.top < stage.top || r.bottom > stage.bottom) bad.push(words + ' is beyond the picture');
    all.slice(0, i).forEach((o) => {
      if (r.left < o.r.right && o.r.left < r.right && r.top < o.r.bottom && o.r.top < r.bottom) bad.push(words + ' on ' + o.words);
    });
  });
  return bad.join('\n');
}`

// crossing names the words of drawings that lie on each other.
const crossing = `() => {
  const bad = [];
  document.querySelectorAll('article svg').forEach((svg) => {
    const all = [...svg.querySelectorAll('text')].filter((t) => t.getBoundingClientRect().width).map((t) => ({ words: t.textContent, r: t.getBoundingClientRect() }));
    const edge = svg.getBoundingClientRect();
    const touch = 1, rounding = 0.01; // the boxes of letters reach beyond their ink
    all.forEach(({ words, r }, i) => {
      if (r.left < edge.left - rounding || r.right > edge.right + rounding || r.top < edge.top - rounding || r.bottom > edge.bottom + rounding) bad.push(words + ' is cut off');
      all.slice(0, i).forEach((o) => {
        if (r.left + touch < o.r.right - touch && o.r.left + touch < r.right - touch && r.top + touch < o.r.bottom - touch && o.r.top + touch < r.bottom - touch) {
          bad.push(svg.querySelector('title').textContent + ': ' + words + ' on ' + o.words);
        }
      });
    });
  });
  return bad.join('\n');
}`

// No plate covers another one, nor do words in drawings, also with 40 boxes of which some
// overlap, in a wide window and a narrow one, wherever it is looked from.
func TestNoPlateCoversAnother(t *testing.T) {
	problem, layout := crate(t, "cell", 40)
	for i, by := range []float64{13, -14, 15, 11.5, -12.5, 18} {
		layout.Placements[3*i+4].Centre.X += by
	}
	in := inputOf(t, problem, layout)
	require.False(t, in.Layouts[0].Report.Holds())
	for _, width := range []int{1280, 360} {
		o := open(t, in, width)
		o.settle()
		require.Equal(t, 6, o.count(".plate-measure"), "all that overlaps is told in place")
		for _, from := range []string{"slanted", "right", "front", "top"} {
			o.clicking(`[data-look=` + from + `]`)()
			o.frames(2)
			require.Empty(t, o.eval(covering), "from %s, %d wide", from, width)
			require.Positive(t, o.count(".plates text"))
		}
		o.pressing(`[name=apart]`, input.End)()
		o.frames(2)
		require.Empty(t, o.eval(covering), "pulled apart, %d wide", width)
		for _, unit := range []string{"in", "mm"} {
			o.clicking(`[name=unit][value=` + unit + `]`)()
			require.Empty(t, o.eval(crossing), "%s, %d wide", unit, width)
		}
		require.Empty(t, o.eval(smallText))
		o.quiet()
	}
}

// A box that others hide bears no name on them. Seen from the right 1–10 and 21–30 are
// before the others; two figures have room on every second one.
func TestHiddenBoxesBearNoPlate(t *testing.T) {
	problem, layout := crate(t, "cell", 40)
	o := open(t, inputOf(t, problem, layout), 360)
	o.settle()
	o.clicking(`[data-look=right]`)()
	o.clicking(`[name=tightest]`)()
	o.frames(2)
	require.Equal(t, "1 2 3 4 5 6 7 8 9 10 21 23 25 27 29",
		o.eval(`() => [...document.querySelectorAll('.plates g')].filter((g) => g.getBoundingClientRect().width).map((g) => Number(g.textContent.split(' ').at(-1))).sort((a, b) => a - b).join(' ')`))
}

// frames waits until the picture has been drawn so many times.
func (o *opened) frames(n int) {
	o.t.Helper()
	_, err := o.Eval(`async (n) => { for (let i = 0; i < n; i++) await new Promise((r) => requestAnimationFrame(r)); }`, n)
	require.NoError(o.t, err)
}
