package bench_test

import (
	"context"
	"os"
	"slices"
	"testing"
	"time"

	"github.com/go-rod/rod"
	"github.com/go-rod/rod/lib/input"
	"github.com/go-rod/rod/lib/proto"
	"github.com/stretchr/testify/require"

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
	page := chromium.Page(t).Timeout(3 * patience)
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
	r, err := o.Eval(`(d, b) => { const e = document.querySelectorAll('#views svg')[d].querySelector('[data-box="' + b + '"]');
		e.scrollIntoView({block: 'center'}); const r = e.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; }`, drawing, box)
	require.NoError(o.t, err)
	return r.Value.Arr()[0].Num(), r.Value.Arr()[1].Num()
}

func (o opened) drag(drawing, box int, dx, dy float64) {
	x, y := o.at(drawing, box)
	require.NoError(o.t, o.Mouse.MoveTo(proto.NewPoint(x, y)))
	require.NoError(o.t, o.Mouse.Down(proto.InputMouseButtonLeft, 1))
	require.NoError(o.t, o.Mouse.MoveLinear(proto.NewPoint(x+dx, y+dy), 20))
	require.NoError(o.t, o.Mouse.Up(proto.InputMouseButtonLeft, 1))
}

func (o opened) click(selector string) {
	e, err := o.Element(selector)
	require.NoError(o.t, err)
	require.NoError(o.t, e.Click(proto.InputMouseButtonLeft, 1))
}

// until waits for the layout on the desk to be as wanted.
func (o opened) until(why string, as func(pack.Layout) bool) {
	o.t.Helper()
	require.Eventually(o.t, func() bool { _, l := o.desk.Layout(); return as(l) }, patience, 20*time.Millisecond, why)
}

// settled is the layout once the moves of a drag that has ended have all come in.
func (o opened) settled() pack.Layout {
	o.t.Helper()
	_, last := o.desk.Layout()
	for same := 0; same < 5; same++ {
		time.Sleep(200 * time.Millisecond)
		_, now := o.desk.Layout()
		if !slices.Equal(now.Placements, last.Placements) {
			same, last = -1, now
		}
	}
	return last
}

func (o opened) text(selector string) string {
	e, err := o.Element(selector)
	require.NoError(o.t, err)
	text, err := e.Text()
	require.NoError(o.t, err)
	return text
}

func TestByHand(t *testing.T) {
	s := serve(t, func(_ context.Context, _ pack.Problem, told func(string)) (pack.Layout, string, error) {
		_, l := trail(t)
		return l, "The rest is fitted.", nil
	}, nil)
	o := open(t, s, 1400, 1000, false)
	_, l := trail(t)
	is := func(n int, as func(pack.Placement) bool) func(pack.Layout) bool {
		return func(l pack.Layout) bool { return as(l.Placements[n]) }
	}

	o.drag(0, 4, 0, -30) // block 5 up, in the drawing from the right
	o.until("dragged up", is(4, func(p pack.Placement) bool { return p.Centre.Z > 255 && p.Centre.Y == l.Placements[4].Centre.Y }))
	require.Contains(t, o.text("#box-name"), "block 5")
	o.drag(1, 4, 0, 20) // to the right, from above
	o.until("dragged to the right", is(4, func(p pack.Placement) bool { return p.Centre.Y < 5 }))
	o.drag(0, 0, 60, 0) // block 1 over block 2
	o.until("dragged over another", is(0, func(p pack.Placement) bool { return p.Centre.X > 125 }))
	require.Eventually(t, func() bool { return o.text("#headline") != "" && o.text("#tightest") != "" }, patience, 20*time.Millisecond)
	require.Contains(t, o.text("#headline"), "does not hold")
	require.Contains(t, o.text("#tightest"), "overlap")

	before := o.settled()
	for _, key := range []input.Key{input.KeyR, input.ArrowRight, input.KeyP} { // turn, to the right, pin
		require.NoError(t, o.Keyboard.Type(key))
		time.Sleep(50 * time.Millisecond)
	}
	o.until("turned, moved and pinned by keys", is(0, func(p pack.Placement) bool {
		was := before.Placements[0]
		return p.Front != was.Front && p.Up == was.Up && p.Centre.X == was.Centre.X+1 && p.Pinned
	}))
	o.drag(0, 0, 60, 0)
	o.until("a pinned box stays", is(0, func(p pack.Placement) bool { return p.Centre.X == before.Placements[0].Centre.X+1 }))

	o.click("#fit")
	o.until("the rest fitted", is(4, func(p pack.Placement) bool { return p.Centre == l.Placements[4].Centre }))
	o.click("#undo")
	o.until("taken back", is(4, func(p pack.Placement) bool { return p.Centre != l.Placements[4].Centre }))
	o.click("#redo")
	o.until("made again", is(4, func(p pack.Placement) bool { return p.Centre == l.Placements[4].Centre }))
	o.click("#save")
	require.Equal(t, l.Placements[1:], (<-o.took).Placements[1:])
	o.accessible()

	r, err := o.Eval(`() => { const c = document.querySelector('#space canvas'); c.scrollIntoView({block: 'center'}); const r = c.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; }`)
	require.NoError(t, err)
	x, y := r.Value.Arr()[0].Num(), r.Value.Arr()[1].Num()
	_, before = o.desk.Layout()
	require.NoError(t, o.Mouse.MoveTo(proto.NewPoint(x, y)))
	require.NoError(t, o.Mouse.Down(proto.InputMouseButtonLeft, 1))
	require.NoError(t, o.Mouse.MoveLinear(proto.NewPoint(x+40, y+10), 10))
	require.NoError(t, o.Mouse.Up(proto.InputMouseButtonLeft, 1))
	o.until("a box slid level in space", func(l pack.Layout) bool {
		for i, p := range l.Placements {
			if was := before.Placements[i]; p.Centre.X != was.Centre.X && p.Centre.Z == was.Centre.Z {
				return true
			}
		}
		return false
	})
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

// On a phone nothing is wider than the window, and a finger drags a box.
func TestByFinger(t *testing.T) {
	o := open(t, serve(t, nil, nil), 390, 844, true)
	wide, err := o.Eval(`() => document.documentElement.scrollWidth`)
	require.NoError(t, err)
	require.LessOrEqual(t, wide.Value.Int(), 390)
	x, y := o.at(0, 4)
	require.NoError(t, o.Touch.Start(&proto.InputTouchPoint{X: x, Y: y}))
	for i := range 10 {
		require.NoError(t, o.Touch.Move(&proto.InputTouchPoint{X: x, Y: y - float64(i)*2}))
	}
	require.NoError(t, o.Touch.End())
	_, l := trail(t)
	o.until("dragged up", func(now pack.Layout) bool { return now.Placements[4].Centre.Z > l.Placements[4].Centre.Z+5 })
	o.accessible()
}
