package bench_test

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"net/http"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/go-rod/rod/lib/input"
	"github.com/go-rod/rod/lib/proto"
	"github.com/stretchr/testify/require"

	"rackwright/export/framefile"
)

// shapeOf is a shape of the frame as it is on the desk.
func (s served) shapeOf(t *testing.T, name string) framefile.Shape {
	w, _ := s.desk.Work()
	all, err := framefile.Shapes(w.Frame)
	require.NoError(t, err)
	for _, shape := range all {
		if shape.Name == name {
			return shape
		}
	}
	t.Fatalf("no %s", name)
	return framefile.Shape{}
}

// What cannot be is refused in words, and the frame is as it was.
func TestShapesThatCannotBe(t *testing.T) {
	s := serve(t, nil)
	before, _ := s.desk.Work()
	for _, body := range []string{
		`{"list":"opening","points":[[0,0],[1,1]]}`,
		`{"list":"wheels","points":[[0,0]]}`,
		`{"list":"opening","points":[[0,0],[1e300,0],[0,1e300],[1,1]]}`,
		`{"list":"keepouts","index":2,"points":[[0],[1]]}`,
		`{"list":"rails","points":[[325,0,-30],[520,0,385]],"sizes":[{"mm":-3}]}`,
	} {
		status, words := s.ask(t, "/shape", body, nil)
		require.Equal(t, http.StatusUnprocessableEntity, status, body)
		require.NotEmpty(t, words)
	}
	after, unsaved := s.desk.Work()
	require.Equal(t, before.Frame, after.Frame)
	require.False(t, unsaved.Any())
	status, _ := s.ask(t, "/straighten", `[]`, nil)
	require.Equal(t, http.StatusUnprocessableEntity, status)
}

// The frame is changed by hand with a photo behind it, which stays: by keys, by the pointer, by
// typing, by tracing anew; all in one undo with the boxes, and written by a save.
func TestCornersAndPhoto(t *testing.T) {
	s := serve(t, nil)
	o := open(t, s, 1400, 1000, false)
	before := s.files.text()
	o.photo(t)
	o.click("#trace details:nth-of-type(1) summary")
	was := s.shapeOf(t, "the opening")
	opening := func(as func(p [][]float64) bool) func() bool {
		return func() bool { return as(s.shapeOf(t, "the opening").Points) }
	}

	o.focus("#views svg .handle")
	for range 3 {
		require.NoError(t, o.Keyboard.Type(input.ArrowDown))
	}
	o.soon("a corner moved by keys", opening(func(p [][]float64) bool { return p[0][1] == was.Points[0][1]-3 }))
	o.waitFor(`() => document.activeElement.getAttribute('aria-label') === 'corner 1'`)
	o.dragHandle(0, 2, -20, 12)
	o.soon("a corner dragged", opening(func(p [][]float64) bool { return p[2][0] < was.Points[2][0]-5 && p[2][1] < was.Points[2][1]-3 }))

	o.choose("swingarm pivot")
	o.field("diameter in mm", "44")
	o.soon("a round bar made thinner", func() bool { return s.shapeOf(t, "swingarm pivot").Sizes[0].MM == 44 })
	o.choose("shock foot")
	o.field("y of corner 1 in mm", "-34.5")
	o.soon("a box made wider", func() bool { return s.shapeOf(t, "shock foot").Points[0][1] == -34.5 })
	o.choose("cradle")
	o.field("y of point 2 in mm", "92")
	o.soon("a rail put elsewhere", func() bool { return s.shapeOf(t, "cradle").Points[1][1] == 92 })
	o.dragHandle(1, 0, 0, 15) // from above, to the right
	o.soon("a rail dragged from above", func() bool { return s.shapeOf(t, "cradle").Points[0][1] < 95 })
	o.photoLies()

	require.Equal(t, before, s.files.text(), "nothing is written before it is saved")
	moved, _ := s.desk.Work()
	o.click("#undo")
	o.soon("taken back", func() bool { return s.shapeOf(t, "cradle").Points[0][1] == 95 })
	o.click("#redo")
	o.soon("made again", func() bool { w, _ := s.desk.Work(); return bytes.Equal(w.Frame, moved.Frame) })

	o.choose("the opening")
	o.clickWords("Trace anew")
	o.drawing(0)
	for _, at := range [][2]float64{{10, 5}, {290, 5}, {440, 320}, {70, 350}} {
		x, y := o.pixel(at)
		require.NoError(t, o.Mouse.MoveTo(proto.NewPoint(x, y)))
		require.NoError(t, o.Mouse.Click(proto.InputMouseButtonLeft, 1))
	}
	o.clickWords("Use these corners")
	o.soon("traced anew", opening(func(p [][]float64) bool {
		return len(p) == 4 && near(p[0], 10, 5) && near(p[1], 290, 5) && near(p[2], 440, 320) && near(p[3], 70, 350)
	}))
	o.shot("traced")
	o.accessible()
	o.click("#save")
	o.soon("saved", func() bool {
		w, _ := s.desk.Work()
		return s.files.text() == string(w.Frame) && s.files.text() != before
	})
}

// What is asked for is that of the moment in which it was asked, also where the answer to something before it
// takes its time: two lengths typed and a corner dragged are three steps, and the drag is one of them.
func TestADragIsOneStepWhileAnswersWait(t *testing.T) {
	s := serve(t, nil)
	o := open(t, s, 1400, 1000, false)
	o.click("#trace details:nth-of-type(1) summary")
	o.choose("cradle")
	_, err := o.Eval(`() => { const at = window.fetch, held = new Promise((go) => { window.letGo = go; });
		window.fetch = async (what, ...how) => { if (what === 'shape') await held; return at(what, ...how); }; }`)
	require.NoError(t, err)
	o.field("y of point 2 in mm", "92")
	o.field("z of point 2 in mm", "6")
	x, y := o.handleAt(1, 0) // nothing is at rest yet
	require.NoError(t, o.Mouse.MoveTo(proto.NewPoint(x, y)))
	require.NoError(t, o.Mouse.Down(proto.InputMouseButtonLeft, 1))
	require.NoError(t, o.Mouse.MoveLinear(proto.NewPoint(x, y+10), 4))
	_, err = o.Eval(`() => letGo()`)
	require.NoError(t, err)
	o.soon("both lengths", func() bool { p := s.shapeOf(t, "cradle").Points[1]; return p[1] == 92 && p[2] == 6 })
	require.Equal(t, 95.0, s.shapeOf(t, "cradle").Points[0][1], "not while it is under way")
	require.NoError(t, o.Mouse.MoveLinear(proto.NewPoint(x, y+20), 4))
	require.NoError(t, o.Mouse.Up(proto.InputMouseButtonLeft, 1))
	o.soon("dragged", func() bool { return s.shapeOf(t, "cradle").Points[0][1] < 95 })
	require.Equal(t, 3, state(t, s.desk).Undo)
}

// near tells whether a corner is where it was tapped, to a pixel of the screen.
func near(p []float64, x, z float64) bool {
	return max(p[0]-x, x-p[0], p[1]-z, z-p[1]) < 2
}

// pixel is where a place of the view from the right is in the window.
func (o opened) pixel(at [2]float64) (x, y float64) {
	r, err := o.Eval(`(x, z) => { const s = document.querySelector('#views svg'), m = s.getScreenCTM(); return [m.e + m.a * x, m.f + m.d * (s.dataset.top - z)]; }`, at[0], at[1])
	require.NoError(o.t, err)
	return r.Value.Arr()[0].Num(), r.Value.Arr()[1].Num()
}

// drawing brings a drawing into the window.
func (o opened) drawing(n int) {
	_, err := o.Eval(`(n) => document.querySelectorAll('#views svg')[n].scrollIntoView({block: 'center'})`, n)
	require.NoError(o.t, err)
}

func (o opened) soon(why string, is func() bool) {
	o.t.Helper()
	require.Eventually(o.t, is, patience, 20*time.Millisecond, why)
}

// choose picks a shape by its name, once it is as the desk has it.
func (o opened) choose(name string) {
	e, err := o.Element("#shapes select")
	require.NoError(o.t, err)
	require.NoError(o.t, e.Select([]string{name}, true, "text"))
}

// field types into a field, by its label.
func (o opened) field(label, value string) {
	e, err := o.Element(`#shapes input[aria-label="` + label + `"]`)
	require.NoError(o.t, err)
	require.NoError(o.t, e.SelectAllText())
	require.NoError(o.t, e.Input(value))
	require.NoError(o.t, e.Blur())
}

// handleAt is the middle of a handle in a drawing, in pixels of the window.
func (o opened) handleAt(drawing, n int) (x, y float64) { return o.middleOf(drawing, ".handle", n) }

func (o opened) dragHandle(drawing, n int, dx, dy float64) {
	o.rests()
	x, y := o.handleAt(drawing, n)
	o.dragFrom(x, y, dx, dy, 8)
}

func (o opened) focus(selector string) {
	e, err := o.Element(selector)
	require.NoError(o.t, err)
	require.NoError(o.t, e.Focus())
}

func (o opened) clickWords(words string) {
	e, err := o.ElementR("button", words)
	require.NoError(o.t, err)
	require.NoError(o.t, e.Click(proto.InputMouseButtonLeft, 1))
}

func (o opened) waitFor(js string) {
	o.t.Helper()
	require.Eventually(o.t, func() bool { r, err := o.Eval(js); return err == nil && r.Value.Bool() }, patience, 50*time.Millisecond)
}

// photo gives the page a picture of 400 by 300 pixels, at 1 mm to a pixel, its lower left corner at the
// origin, with its marks at the corners of a square in it.
func (o opened) photo(t *testing.T) {
	file := filepath.Join(t.TempDir(), "side.png")
	m := image.NewRGBA(image.Rect(0, 0, 400, 300))
	for i := range 400 * 300 { // lines every 50 mm, and ground between them
		at := color.RGBA{190, 205, 180, 255}
		if i%400%50 == 0 || i/400%50 == 0 {
			at = color.RGBA{90, 60, 30, 255}
		}
		m.Set(i%400, i/400, at)
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, m))
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
	o.waitFor(`() => document.querySelector('#photo input[type=file]') !== null`)
	o.click("#trace details:nth-of-type(2) summary")
	e, err := o.Element("#photo input[type=file]")
	require.NoError(t, err)
	require.NoError(t, e.SetFiles([]string{file}))
	o.waitFor(`() => document.querySelector('.photo img')?.complete`)
	for i, at := range [][2]float64{{0.25, 0.25}, {0.75, 0.25}, {0.75, 0.75}, {0.25, 0.75}} {
		o.tap(".photo img", at)
		o.waitFor(`() => document.querySelectorAll('.photo .mark').length === ` + string(rune('1'+i)))
	}
	o.moveMark()
	o.larger()
	for i, v := range []string{"100", "225", "300", "225", "300", "75", "100", "75"} {
		all, err := o.Elements("#trace details:nth-of-type(2) input[type=number]")
		require.NoError(t, err)
		require.NoError(t, all[i].Input(v))
		require.NoError(t, all[i].Blur())
	}
	o.clickWords("Straighten")
	o.waitFor(`() => document.querySelector('.behind img') !== null`)
	o.photoLies()
}

// photoLies compares the picture's own corners with the view's millimetres: both by the browser.
func (o opened) photoLies() {
	o.t.Helper()
	r, err := o.Eval(`() => { const svg = document.querySelector('#views svg'), m = svg.getScreenCTM(), i = document.querySelector('.behind img').getBoundingClientRect();
		return [i.left - m.e, i.right - m.e, m.f + m.d * svg.dataset.top - i.bottom, m.f + m.d * svg.dataset.top - i.top].map((v) => v / m.a); }`)
	require.NoError(o.t, err)
	for i, mm := range []float64{0, 400, 0, 300} { // marks are tapped to a pixel of the screen
		require.InDelta(o.t, mm, r.Value.Arr()[i].Num(), 3)
	}
}

// moveMark drags the second mark away and back, then moves it by keys there and back.
func (o opened) moveMark() {
	at := func() (x, y float64) {
		r, err := o.Eval(`() => { const r = document.querySelectorAll('.photo .mark')[1].getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; }`)
		require.NoError(o.t, err)
		return r.Value.Arr()[0].Num(), r.Value.Arr()[1].Num()
	}
	x, y := at()
	require.NoError(o.t, o.Mouse.MoveTo(proto.NewPoint(x, y)))
	require.NoError(o.t, o.Mouse.Down(proto.InputMouseButtonLeft, 1))
	require.NoError(o.t, o.Mouse.MoveLinear(proto.NewPoint(x+20, y+9), 4))
	require.NoError(o.t, o.Mouse.Up(proto.InputMouseButtonLeft, 1))
	nowX, nowY := at()
	require.InDelta(o.t, x+20, nowX, 1)
	require.InDelta(o.t, y+9, nowY, 1)
	require.NoError(o.t, o.Mouse.Down(proto.InputMouseButtonLeft, 1))
	require.NoError(o.t, o.Mouse.MoveLinear(proto.NewPoint(x, y), 4))
	require.NoError(o.t, o.Mouse.Up(proto.InputMouseButtonLeft, 1))
	for _, key := range []input.Key{input.ArrowRight, input.ArrowLeft} {
		require.NoError(o.t, o.Keyboard.Type(key))
	}
	require.Equal(o.t, 4, o.count(".photo .mark"), "no mark was set by the drag")
}

// larger makes the photo larger, with what is in its middle in the middle, sets a mark there and takes
// it away, and makes it as it was.
func (o opened) larger() {
	o.clickWords("Larger")
	o.clickWords("Set a mark in the middle")
	o.waitFor(`() => { const m = document.querySelectorAll('.photo .mark')[4]; return m && Math.abs(parseFloat(m.style.left) - 50) < 2 && Math.abs(parseFloat(m.style.top) - 50) < 2; }`)
	require.Greater(o.t, o.count(".photo-window[tabindex]"), 0)
	_, err := o.Eval(`() => document.querySelector('#photo li:last-child button').click()`)
	require.NoError(o.t, err)
	o.clickWords("Smaller")
	require.Equal(o.t, 4, o.count(".photo .mark"))
}

func (o opened) count(selector string) int {
	r, err := o.Eval(`(s) => document.querySelectorAll(s).length`, selector)
	require.NoError(o.t, err)
	return r.Value.Int()
}

// tap clicks at a part of an element's width and height.
func (o opened) tap(selector string, part [2]float64) {
	r, err := o.Eval(`(s) => { const e = document.querySelector(s); e.scrollIntoView({block: 'center'}); const r = e.getBoundingClientRect(); return [r.x, r.y, r.width, r.height]; }`, selector)
	require.NoError(o.t, err)
	a := r.Value.Arr()
	require.NoError(o.t, o.Mouse.MoveTo(proto.NewPoint(a[0].Num()+part[0]*a[2].Num(), a[1].Num()+part[1]*a[3].Num())))
	require.NoError(o.t, o.Mouse.Click(proto.InputMouseButtonLeft, 1))
}
