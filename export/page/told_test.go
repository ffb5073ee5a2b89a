package page

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/go-rod/rod/lib/proto"
	"github.com/stretchr/testify/require"
)

// A box is told of when it is clicked, or chosen by its name: all that the tables know of it, and its
// neighbours as the judge measures them.
func TestABoxIsToldOf(t *testing.T) {
	in := example(t)
	o := open(t, in, 1280).coarsely(1280)
	o.settle()
	told := func() string { return o.eval(`() => document.querySelector('.facts')?.innerText ?? ''`) }
	require.Empty(t, told())
	o.clicking(`[data-look=right]`)()
	o.frames(3)
	o.picture() // scrolls to it
	o.clickIn(0.62, 0.42)
	require.NoError(t, o.Timeout(patience/3).Wait(evaluating(`() => document.querySelector('.facts') !== null`)))
	clicked := o.eval(`() => document.querySelector('[name=box]').selectedOptions[0].textContent`)
	require.Regexp(t, `^(cell block|charger|controller) \d$`, clicked)
	for i, at := range in.Layouts[0].Layout.Placements {
		name := at.Part().String()
		o.element(`[name=box]`).MustSelect(name)
		rows := boxRows(in.Problem, in.Layouts[0].Layout)
		text := told()
		for _, words := range []string{rows[i].Size.Mm, rows[i].Mass.Mm, rows[i].Floor.Mm, rows[i].Rear.Mm, rows[i].Across.Mm, rows[i].Stand, "goes in as "} {
			require.Contains(t, text, words, name)
		}
		near := neighbours(in.Layouts[0].Report, at.Part())
		require.NotEmpty(t, near)
		for _, n := range near {
			require.Contains(t, text, "to "+n[0])
			require.Contains(t, text, n[1])
		}
		kind, _ := in.Problem.Kind(at.Box)
		require.Equal(t, len(kind.Posts), strings.Count(text, "post "), name)
	}
	o.clicking(`[name=unit][value=in]`)()
	require.NotRegexp(t, `\d mm\b`, told())
	o.quiet()
}

// clickIn clicks in the picture, at parts of its width and height.
func (o *opened) clickIn(x, y float64) {
	o.t.Helper()
	r, err := o.Eval(`() => { const b = document.querySelector('canvas').getBoundingClientRect(); return [b.x, b.y, b.width, b.height]; }`)
	require.NoError(o.t, err)
	b := r.Value.Arr()
	require.NoError(o.t, o.Mouse.MoveTo(proto.Point{X: b[0].Num() + x*b[2].Num(), Y: b[1].Num() + y*b[3].Num()}))
	require.NoError(o.t, o.Mouse.Click(proto.InputMouseButtonLeft, 1))
}

// Two points that are clicked are told with their distance: corners of a box, found within a few
// pixels, are as far apart as its edge is long.
func TestDistanceOfTwoPoints(t *testing.T) {
	problem, layout := crate(t, "cell", 1) // 100 × 60 × 80
	o := open(t, inputOf(t, problem, layout), 1280)
	o.settle()
	o.clicking(`[data-look=right]`)()
	o.frames(3)
	o.picture()
	o.clicking(`[data-measure=on]`)()
	// Where the box is seen: the least and the greatest place at which a click tells of something.
	words := func() string {
		return o.eval(`() => document.querySelectorAll('[data-measure=on] ~ .now')[0].textContent`)
	}
	require.Contains(t, words(), "first point")
	scale := o.eval(`() => { const b = document.querySelector('canvas').getBoundingClientRect(); return [b.width, b.height].join(' '); }`)
	require.NotEmpty(t, scale)
	// The picture from the right has no perspective: its middle is that of what is looked at, and it is
	// 1.12 times as high or as wide as that.
	size := strings.Fields(scale)
	w, err := strconv.ParseFloat(size[0], 64)
	require.NoError(t, err)
	h, err := strconv.ParseFloat(size[1], 64)
	require.NoError(t, err)
	s := sceneOf(inputOf(t, problem, layout))
	wide, high := s.High[0]-s.Low[0], s.High[2]-s.Low[2]
	perPixel := 1.12 * max(high/h, wide/w)
	at := func(x, z float64) (float64, float64) {
		return 0.5 + (x-(s.Low[0]+s.High[0])/2)/perPixel/w, 0.5 - (z-(s.Low[2]+s.High[2])/2)/perPixel/h
	}
	c := layout.Placements[0].Centre
	x, y := at(c.X-48, c.Z-38)
	o.clickIn(x, y)
	require.Contains(t, words(), "other point")
	x, y = at(c.X+48, c.Z-38)
	o.clickIn(x, y)
	require.Equal(t, "100 mm: 100 mm along, 0 mm across, 0 mm up", words())
	x, y = at(c.X-48, c.Z-38)
	o.clickIn(x, y)
	x, y = at(c.X+48, c.Z+38)
	o.clickIn(x, y)
	require.Equal(t, "128.1 mm: 100 mm along, 0 mm across, 80 mm up", words())
	o.clicking(`[name=unit][value=in]`)()
	o.quiet()
}

// From the sides there is no perspective: what is equally long is equally long in the picture, near or
// far. Every view has its button.
func TestSideViewsHaveNoPerspective(t *testing.T) {
	o := open(t, example(t), 900).coarsely(900)
	o.settle()
	require.Equal(t, "slanted right left front rear top underneath", o.eval(`() => [...document.querySelectorAll('[data-look]')].map((b) => b.textContent).join(' ')`))
	for _, d := range []string{"left", "rear", "underneath"} {
		o.changes("look from "+d, o.clicking(`[data-look=`+d+`]`))
	}
	o.quiet()
}

// While the order is played nothing moves on the page but the picture.
func TestNothingJumpsDuringPlay(t *testing.T) {
	for _, width := range []int{1280, 390} {
		o := open(t, example(t), width).coarsely(width)
		o.settle()
		places := func() string {
			return o.eval(`() => [...document.querySelectorAll('.controls fieldset, .controls button, article h3')].filter((e) => e.checkVisibility()).map((e) => { const r = e.getBoundingClientRect(); return [r.x, r.y + scrollY, r.width, r.height].map(Math.round).join(); }).join(' ')`)
		}
		before := places()
		o.clicking(`[data-play=empty]`)()
		require.Equal(t, before, places())
		for range 6 {
			o.clicking(`[data-play=on]`)()
			o.frames(2)
			require.Equal(t, before, places())
		}
		o.clicking(`[data-play=empty]`)()
		o.clicking(`[data-play=play]`)()
		require.Equal(t, before, places(), "Play and Pause are as wide")
	}
}

// On a phone tables are read without scrolling sideways: each row is a card, with the words of its
// columns beside its figures.
func TestTablesOnAPhone(t *testing.T) {
	o := open(t, example(t), 390).coarsely(390)
	o.settle()
	require.Equal(t, "0", o.eval(`() => String([...document.querySelectorAll('article.chosen .scroll')].filter((e) => e.scrollWidth > e.clientWidth).length)`))
	heads := o.eval(`() => [...document.querySelectorAll('article.chosen table.boxes tbody tr:first-child td')].map((td) => getComputedStyle(td, '::before').content).join(' ')`)
	for _, head := range []string{"stands", "from the floor", "from the rear", "across", "mass"} {
		require.Contains(t, heads, head)
	}
	require.Empty(t, o.eval(smallText))
	require.Positive(t, o.count(".plates .plate-thing"), "rails and keep-outs bear names")
}

// The page speaks of vehicles, which need not be bikes.
func TestNoVehicleIsCalledABike(t *testing.T) {
	require.NotRegexp(t, regexp.MustCompile(`(?i)\b(motor)?bi(ke|cycle)`), pageHTML+rackHTML+inspectionHTML+styleCSS)
}
