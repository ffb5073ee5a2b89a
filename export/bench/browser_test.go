package bench_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/go-rod/rod"
	"github.com/go-rod/rod/lib/input"
	"github.com/go-rod/rod/lib/proto"
	"github.com/stretchr/testify/require"

	"rackwright/export/bench"
	"rackwright/export/internal/chromium"
	"rackwright/pack"
)

func TestMain(m *testing.M) { chromium.Main(m) }

// opened is the bench in a browser, driven as a person would.
type opened struct {
	*rod.Page
	served
	t *testing.T
}

func open(t *testing.T, s served, width, height int, touch bool) opened {
	page := chromium.Page(t).Timeout(2 * patience)
	require.NoError(t, page.SetViewport(&proto.EmulationSetDeviceMetricsOverride{Width: width, Height: height, DeviceScaleFactor: 1, Mobile: touch}))
	if touch {
		require.NoError(t, proto.EmulationSetTouchEmulationEnabled{Enabled: true}.Call(page))
	}
	require.NoError(t, page.Navigate(s.URL+"/?token=the%20token"))
	require.NoError(t, page.WaitLoad())
	return opened{page, s, t}
}

// at is the middle of a box in one of the drawings, in pixels of the window.
func (o opened) at(drawing, box int) (x, y float64) {
	o.rests()
	return o.middleOf(drawing, fmt.Sprintf(`[data-box="%d"]`, box), 0)
}

// middleOf is the middle of the nth thing of its kind in a drawing, which is brought into the window,
// in pixels of it.
func (o opened) middleOf(drawing int, selector string, n int) (x, y float64) {
	r, err := o.Eval(`(d, what, n) => { const e = document.querySelectorAll('#views svg')[d].querySelectorAll(what)[n];
		e.scrollIntoView({block: 'center'}); const r = e.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; }`, drawing, selector, n)
	require.NoError(o.t, err)
	return r.Value.Arr()[0].Num(), r.Value.Arr()[1].Num()
}

func (o opened) drag(drawing, box int, dx, dy float64) {
	x, y := o.at(drawing, box)
	o.dragFrom(x, y, dx, dy, 20)
}

// rests waits until all that was asked for is answered and drawn, however long that takes: only then things stay
// where they are in the window, and the desk is as the hand left it.
func (o opened) rests() {
	o.t.Helper()
	o.waitFor(`() => atRest()`)
}

// dragFrom drags what is at a place of the window by so many pixels, in a number of moves, and waits until
// they are made.
func (o opened) dragFrom(x, y, dx, dy float64, moves int) {
	require.NoError(o.t, o.Mouse.MoveTo(proto.NewPoint(x, y)))
	require.NoError(o.t, o.Mouse.Down(proto.InputMouseButtonLeft, 1))
	require.NoError(o.t, o.Mouse.MoveLinear(proto.NewPoint(x+dx, y+dy), moves))
	require.NoError(o.t, o.Mouse.Up(proto.InputMouseButtonLeft, 1))
	o.rests()
}

// dragTo drags a box by so many millimetres to the right of a drawing.
func (o opened) dragTo(drawing, box int, mm float64) {
	r, err := o.Eval(`(d) => document.querySelectorAll('#views svg')[d].getScreenCTM().a`, drawing)
	require.NoError(o.t, err)
	o.drag(drawing, box, mm*r.Value.Num(), 0)
}

func (o opened) click(selector string) {
	o.rests()
	e, err := o.Element(selector)
	require.NoError(o.t, err)
	require.NoError(o.t, e.Click(proto.InputMouseButtonLeft, 1))
}

// until waits for the layout on the desk to be as wanted.
func (o opened) until(why string, as func(pack.Layout) bool) {
	o.t.Helper()
	require.Eventually(o.t, func() bool { _, l := o.desk.Layout(); return as(l) }, patience, 20*time.Millisecond, why)
}

// settled is the layout once all that was done by hand has come in.
func (o opened) settled() pack.Layout {
	o.t.Helper()
	o.rests()
	_, l := o.desk.Layout()
	return l
}

// fitting is a search that looks until it is stopped the first time, and finds the trail's layout
// the second.
func fitting(t *testing.T) bench.Fit {
	searches := 0
	return func(ctx context.Context, _ pack.Problem, told func(string)) (pack.Layout, string, error) {
		searches++
		told("looked at 7 ways")
		if searches == 1 {
			<-ctx.Done()
			return pack.Layout{}, "", errors.New("no layout was found in this time")
		}
		_, l := trail(t)
		return l, "The rest is fitted.", nil
	}
}

// What a person does with pointer and keys.
func TestByHand(t *testing.T) {
	s := serve(t, fitting(t))
	o := open(t, s, 1400, 1000, false)
	_, l := trail(t)
	is := func(n int, as func(pack.Placement) bool) func(pack.Layout) bool {
		return func(l pack.Layout) bool { return as(l.Placements[n]) }
	}
	o.shot("begins")

	o.drag(0, 4, 0, -30) // block 5 up, in the drawing from the right
	o.until("dragged up", is(4, func(p pack.Placement) bool { return p.Centre.Z > 255 && p.Centre.Y == l.Placements[4].Centre.Y }))
	o.waitFor(`() => document.querySelector('#box-name').textContent.includes('block 5')`)
	o.shot("dragged")
	o.drag(1, 4, 0, 20) // to the right, from above
	o.until("dragged to the right", is(4, func(p pack.Placement) bool { return p.Centre.Y < 5 }))
	o.dragTo(0, 1, 6) // block 2 to the front, by less than it snaps over
	o.until("snapped", func(l pack.Layout) bool { return state(t, s.desk).Moves > 0 && l.Placements[1].Centre.X == 218 })
	o.drag(0, 0, 60, 0) // block 1 over block 2
	o.until("dragged over another", is(0, func(p pack.Placement) bool { return p.Centre.X > 125 }))
	o.waitFor(`() => document.querySelector('#headline').textContent.includes('does not hold') && document.querySelector('#tightest').textContent.includes('overlap')`)
	o.shot("overlap")

	before := o.settled()
	for _, key := range []input.Key{input.KeyR, input.ArrowRight, input.KeyP} { // turn, to the right, pin: as fast as can be
		require.NoError(t, o.Keyboard.Type(key))
	}
	o.until("turned, moved and pinned by keys", is(0, func(p pack.Placement) bool {
		was := before.Placements[0]
		return p.Front != was.Front && p.Up == was.Up && p.Centre.X == was.Centre.X+1 && p.Pinned
	}))
	o.drag(0, 0, 60, 0)
	require.Equal(t, before.Placements[0].Centre.X+1, o.settled().Placements[0].Centre.X, "a pinned box stays")
	o.shot("pinned")

	o.click("#fit")
	o.waitFor(`() => !document.querySelector('#stop').hidden && document.querySelector('#saying').textContent.includes('7 ways')`)
	o.shot("searching")
	o.click("#stop")
	o.waitFor(`() => document.querySelector('#stop').hidden && document.querySelector('#saying').textContent.includes('no layout')`)
	o.click("#fit")
	o.until("the rest fitted", is(4, func(p pack.Placement) bool { return p.Centre == l.Placements[4].Centre }))
	o.click("#undo")
	o.until("taken back", is(4, func(p pack.Placement) bool { return p.Centre != l.Placements[4].Centre }))
	o.click("#redo")
	o.until("made again", is(4, func(p pack.Placement) bool { return p.Centre == l.Placements[4].Centre }))
	o.click("#save")
	require.Equal(t, l.Placements[1:], (<-o.took).Placements[1:])
	o.drag(0, 1, 0, -10)
	o.until("chosen", is(1, func(p pack.Placement) bool { return p.Centre.Z > 85 }))
	o.clickWords("Stand otherwise")
	o.until("stood otherwise", is(1, func(p pack.Placement) bool { return p.Up != l.Placements[1].Up }))
	o.shot("stood")
	o.accessible()
	o.inSpace()
}

// inSpace slides a box level in the picture in space.
func (o opened) inSpace() {
	r, err := o.Eval(`() => { const c = document.querySelector('#space canvas'); c.scrollIntoView({block: 'center'}); const r = c.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; }`)
	require.NoError(o.t, err)
	x, y := r.Value.Arr()[0].Num(), r.Value.Arr()[1].Num()
	before := o.settled()
	o.dragFrom(x, y, 40, 10, 10)
	o.until("a box slid level in space", func(l pack.Layout) bool {
		for i, p := range l.Placements {
			if was := before.Placements[i]; p.Centre.X != was.Centre.X && p.Centre.Z == was.Centre.Z {
				return true
			}
		}
		return false
	})
}

// A drag of 300 moves loses none, and the box ends where the pointer does, while the judge answers
// as it can.
func TestADragOf300Moves(t *testing.T) {
	o := open(t, serve(t, nil), 1400, 1000, false)
	x, y := o.at(0, 4)
	r, err := o.Eval(`() => document.querySelector('#views svg').getScreenCTM().a`)
	require.NoError(t, err)
	require.NoError(t, o.Keyboard.Press(input.AltLeft)) // without snapping
	require.NoError(t, o.Mouse.MoveTo(proto.NewPoint(x, y)))
	require.NoError(t, o.Mouse.Down(proto.InputMouseButtonLeft, 1))
	g := rand.New(rand.NewPCG(8, 1))
	var dx, dy float64
	for range 300 {
		dx, dy = float64(1+g.IntN(150)), -float64(1+g.IntN(60))
		require.NoError(t, o.Mouse.MoveTo(proto.NewPoint(x+dx, y+dy)))
	}
	require.NoError(t, o.Mouse.Up(proto.InputMouseButtonLeft, 1))
	o.soon("all 300, and where the hand let go", func() bool { return state(t, o.desk).Moves == 301 })
	_, l := trail(t)
	now := o.settled().Placements[4].Centre
	require.InDelta(t, l.Placements[4].Centre.X+dx/r.Value.Num(), now.X, 0.051, "to the tenth of a millimetre that is dragged in")
	require.InDelta(t, l.Placements[4].Centre.Z-dy/r.Value.Num(), now.Z, 0.051)
	require.Equal(t, 1, state(t, o.desk).Undo, "one step")
}

// shot keeps a picture of the page in the folder that RACKWRIGHT_SHOTS names, to be looked at.
func (o opened) shot(name string) {
	dir := os.Getenv("RACKWRIGHT_SHOTS")
	if dir == "" {
		return
	}
	whole := !strings.HasPrefix(name, "phone") // a phone shows what fits its window
	picture, err := o.Screenshot(whole, nil)
	require.NoError(o.t, err)
	require.NoError(o.t, os.WriteFile(filepath.Join(dir, name+".png"), picture, 0o600))
}

// accessible asks axe-core, the accessibility checker of Deque Systems.
func (o opened) accessible() {
	axe, err := os.ReadFile("../page/testdata/axe.min.js")
	require.NoError(o.t, err)
	_, err = o.Evaluate(&rod.EvalOptions{JS: "() => {" + string(axe) + "}", ByValue: true})
	require.NoError(o.t, err)
	found, err := o.Evaluate(&rod.EvalOptions{ByValue: true, AwaitPromise: true, JS: `async () => (await axe.run()).violations.map((v) => v.id + ': ' + v.nodes[0].html)`})
	require.NoError(o.t, err)
	require.Empty(o.t, found.Value.Arr())
}

// On a phone nothing is wider than the window, and a finger does all that a pointer does.
func TestByFinger(t *testing.T) {
	s := serve(t, fitting(t))
	o := open(t, s, 390, 844, true)
	wide, err := o.Eval(`() => document.documentElement.scrollWidth`)
	require.NoError(t, err)
	require.LessOrEqual(t, wide.Value.Int(), 390)
	o.shot("phone")
	x, y := o.at(0, 4)
	o.finger(x, y, 0, -18)
	_, l := trail(t)
	o.until("dragged up", func(now pack.Layout) bool { return now.Placements[4].Centre.Z > l.Placements[4].Centre.Z+5 })
	o.shot("phone-dragged")
	o.tapOn("[data-how=turn]")
	o.until("turned", func(now pack.Layout) bool { return now.Placements[4].Front != l.Placements[4].Front })
	o.tapOn("#pin")
	o.until("pinned", func(now pack.Layout) bool { return now.Placements[4].Pinned })
	o.tapOn("#fit")
	o.waitFor(`() => !document.querySelector('#stop').hidden`)
	o.tapOn("#stop")
	o.waitFor(`() => document.querySelector('#stop').hidden`)
	o.tapOn("#undo")
	o.until("taken back", func(now pack.Layout) bool {
		return !now.Placements[4].Pinned || now.Placements[4].Front == l.Placements[4].Front
	})

	o.tapOn("#trace details:nth-of-type(1) summary")
	o.waitFor(`() => document.querySelectorAll('#views .handle').length > 0`)
	o.rests()
	x, y = o.handleAt(0, 0)
	o.finger(x, y, 12, 0)
	o.soon("a corner moved by a finger", func() bool { return s.shapeOf(t, "the opening").Points[0][0] > 5 })
	o.shot("phone-corners")
	o.accessible()
	o.tapOn("#shapes .tools button:nth-of-type(1)") // trace anew
	o.drawing(0)
	for _, at := range [][2]float64{{12, 8}, {290, 5}, {440, 320}, {70, 350}} {
		x, y := o.pixel(at)
		require.NoError(t, o.Touch.Tap(x, y))
	}
	o.tapOn("#shapes .tools button:nth-of-type(2)") // use these corners
	o.soon("traced by taps", func() bool { return near(s.shapeOf(t, "the opening").Points[0], 12, 8) })
	o.tapOn("#save")
	o.soon("saved", func() bool { return !state(t, s.desk).Unsaved })
}

// finger drags from a place in the window.
func (o opened) finger(x, y, dx, dy float64) {
	require.NoError(o.t, o.Touch.Start(&proto.InputTouchPoint{X: x, Y: y}))
	for i := range 10 {
		part := float64(i+1) / 10
		require.NoError(o.t, o.Touch.Move(&proto.InputTouchPoint{X: x + part*dx, Y: y + part*dy}))
	}
	require.NoError(o.t, o.Touch.End())
	o.rests()
}

// tapOn taps in the middle of an element, again where the browser made no click of it: it drops taps
// that come while something scrolls.
func (o opened) tapOn(selector string) {
	o.rests()
	require.Eventually(o.t, func() bool {
		r, err := o.Eval(`(s) => { const e = document.querySelector(s); window.clicked = false; e.addEventListener('click', () => { window.clicked = true; }, {once: true, capture: true});
			e.scrollIntoView({block: 'center'}); const r = e.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; }`, selector)
		if err != nil || o.Touch.Tap(r.Value.Arr()[0].Num(), r.Value.Arr()[1].Num()) != nil {
			return false
		}
		came, err := o.Eval(`async () => { for (let i = 0; i < 100 && !window.clicked; i++) await new Promise((done) => setTimeout(done, 50)); return window.clicked; }`)
		return err == nil && came.Value.Bool()
	}, patience, 20*time.Millisecond, selector)
}
