package page

import (
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/go-rod/rod"
	"github.com/go-rod/rod/lib/input"
	"github.com/go-rod/rod/lib/proto"
	"github.com/stretchr/testify/require"

	"rackwright/export/internal/chromium"
)

// patience is how long a test waits for what the page has to do: much more than it
// takes, for drawing without a graphics card on a busy machine is slow.
const patience = 8 * time.Minute

func TestMain(m *testing.M) { chromium.Main(m) }

// opened is a page of the report in the browser, with all that went wrong in it.
type opened struct {
	*rod.Page
	t        testing.TB
	mutex    sync.Mutex
	trouble  []string
	requests []string
}

// open writes the report to a file and opens it, in a window of a width.
func open(t testing.TB, in Input, width int) *opened {
	t.Helper()
	path := filepath.Join(t.TempDir(), "report.html")
	f, err := os.Create(path)
	require.NoError(t, err)
	require.NoError(t, Write(f, in))
	require.NoError(t, f.Close())
	return openFile(t, path, width)
}

// coarsely makes every other pixel of the picture: enough to see that it changes, and drawn in
// software in a fraction of the time.
func (o *opened) coarsely(width int) *opened {
	o.t.Helper()
	require.NoError(o.t, o.SetViewport(&proto.EmulationSetDeviceMetricsOverride{Width: width, Height: 600, DeviceScaleFactor: 0.5}))
	return o
}

func openFile(t testing.TB, path string, width int) *opened {
	t.Helper()
	page := chromium.Page(t)
	o := &opened{Page: page.Timeout(patience), t: t}
	o.listen(page)
	require.NoError(t, proto.EmulationSetEmulatedMedia{Features: []*proto.EmulationMediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}}.Call(page))
	require.NoError(t, page.SetViewport(&proto.EmulationSetDeviceMetricsOverride{Width: width, Height: 600, DeviceScaleFactor: 1}))
	require.NoError(t, o.Navigate("file://"+path))
	require.NoError(t, o.WaitLoad())
	return o
}

func (o *opened) listen(page *rod.Page) {
	note := func(list *[]string, text string) {
		o.mutex.Lock()
		defer o.mutex.Unlock()
		*list = append(*list, text)
	}
	wait := page.EachEvent(
		func(e *proto.RuntimeExceptionThrown) {
			note(&o.trouble, e.ExceptionDetails.Text+e.ExceptionDetails.Exception.Description)
		},
		func(e *proto.RuntimeConsoleAPICalled) {
			if e.Type == proto.RuntimeConsoleAPICalledTypeError {
				var words []string
				for _, a := range e.Args {
					words = append(words, a.Value.String()+a.Description)
				}
				note(&o.trouble, strings.Join(words, " "))
			}
		},
		func(e *proto.LogEntryAdded) {
			if e.Entry.Level == proto.LogLogEntryLevelError {
				note(&o.trouble, e.Entry.Text)
			}
		},
		func(e *proto.NetworkRequestWillBeSent) { note(&o.requests, e.Request.URL) },
	)
	go wait()
}

// quiet requires that nothing went wrong so far, and that only the file itself was read.
func (o *opened) quiet() {
	o.t.Helper()
	o.mutex.Lock()
	defer o.mutex.Unlock()
	require.Empty(o.t, o.trouble)
	for _, url := range o.requests {
		require.Regexp(o.t, `^(file:///.*/report\.html|data:|blob:)`, url)
	}
}

func (o *opened) eval(js string, args ...any) string {
	o.t.Helper()
	r, err := o.Eval(js, args...)
	require.NoError(o.t, err)
	return r.Value.Str()
}

// evaluating is a script to be waited for, or run.
func evaluating(js string) *rod.EvalOptions { return rod.Eval(js) }

// count is how many elements are there and to be seen.
func (o *opened) count(selector string) int {
	o.t.Helper()
	r, err := o.Eval(`(s) => [...document.querySelectorAll(s)].filter((e) => e.getBoundingClientRect().width).length`, selector)
	require.NoError(o.t, err)
	return r.Value.Int()
}

func (o *opened) element(selector string) *rod.Element {
	o.t.Helper()
	e, err := o.Element(selector)
	require.NoError(o.t, err, selector)
	return e
}

// clicking is a click of the mouse.
func (o *opened) clicking(selector string) func() {
	return func() {
		o.t.Helper()
		require.NoError(o.t, o.element(selector).Click(proto.InputMouseButtonLeft, 1), selector)
	}
}

// pressing is keys pressed on what has the focus.
func (o *opened) pressing(selector string, keys ...input.Key) func() {
	return func() {
		o.t.Helper()
		require.NoError(o.t, o.element(selector).Focus(), selector)
		o.press(keys...)
	}
}

func (o *opened) press(keys ...input.Key) {
	o.t.Helper()
	for _, k := range keys {
		require.NoError(o.t, o.Keyboard.Type(k))
	}
}

// tick is the box to tick that goes by a name.
func (o *opened) tick(name string) *rod.Element {
	o.t.Helper()
	label, err := o.ElementR(".ticks label", "^"+name+"$")
	require.NoError(o.t, err)
	e, err := label.Element("input")
	require.NoError(o.t, err)
	return e
}

// dragging turns the picture by the mouse.
func (o *opened) dragging() {
	o.t.Helper()
	canvas := o.element("canvas")
	require.NoError(o.t, canvas.ScrollIntoView())
	shape, err := canvas.Shape()
	require.NoError(o.t, err)
	at := shape.Box()
	x, y := at.X+at.Width/2, at.Y+at.Height/2
	require.NoError(o.t, o.Mouse.MoveTo(proto.NewPoint(x, y)))
	require.NoError(o.t, o.Mouse.Down(proto.InputMouseButtonLeft, 1))
	require.NoError(o.t, o.Mouse.MoveLinear(proto.NewPoint(x+80, y+20), 4))
	require.NoError(o.t, o.Mouse.Up(proto.InputMouseButtonLeft, 1))
}

// wheeling turns the wheel of the mouse over the picture, which has the focus.
func (o *opened) wheeling() {
	o.t.Helper()
	canvas := o.element("canvas")
	require.NoError(o.t, canvas.Focus())
	require.NoError(o.t, canvas.ScrollIntoView())
	shape, err := canvas.Shape()
	require.NoError(o.t, err)
	at := shape.Box()
	require.NoError(o.t, o.Mouse.MoveTo(proto.NewPoint(at.X+at.Width/2, at.Y+at.Height/2)))
	require.NoError(o.t, o.Mouse.Scroll(0, -300, 1))
}
