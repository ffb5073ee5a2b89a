package bench_test

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/png"
	"net/http"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/go-rod/rod/lib/input"
	"github.com/go-rod/rod/lib/proto"
	"github.com/stretchr/testify/require"

	"rackwright/export/bench"
	"rackwright/export/framefile"
	"rackwright/frame"
	"rackwright/pack"
)

// framed is a frame file in memory.
type framed struct {
	mu   sync.Mutex
	text []byte
	with pack.Problem
}

func (f *framed) Shapes() ([]framefile.Shape, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	return framefile.Shapes(f.text)
}

func (f *framed) EditFrame(_ context.Context, s framefile.Shape) (pack.Problem, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	text, err := framefile.Edit(f.text, s)
	if err != nil {
		return pack.Problem{}, err
	}
	read, err := frame.Read(bytes.NewReader(text), "frame.yaml")
	if err != nil {
		return pack.Problem{}, err
	}
	f.text = text
	return pack.NewProblem(read, f.with.Pack)
}

func (f *framed) opening(t *testing.T) [][2]float64 {
	all, err := f.Shapes()
	require.NoError(t, err)
	return all[0].Points
}

func serveFrame(t *testing.T) (served, *framed) {
	text, err := os.ReadFile("../../testdata/trail/frame.yaml")
	require.NoError(t, err)
	p, l := trail(t)
	f := &framed{text: text, with: p}
	s := served{desk: bench.NewDesk(p, l)}
	s.Server = newServer(t, func(host string) *bench.Server {
		return bench.NewServer(s.desk, host, token, nil, nil).WithFrame(f)
	})
	return s, f
}

// What cannot be is refused in words, and the file is as it was.
func TestShapesThatCannotBe(t *testing.T) {
	s, f := serveFrame(t)
	before := string(f.text)
	for _, body := range []string{
		`{"list":"opening","points":[[0,0],[1,1]]}`,
		`{"list":"wheels","points":[[0,0]]}`,
		`{"list":"opening","points":[[0,0],[1e300,0],[0,1e300],[1,1]]}`,
	} {
		status, words := s.ask(t, "/shape", body, nil)
		require.Equal(t, http.StatusUnprocessableEntity, status, body)
		require.NotEmpty(t, words)
	}
	require.Equal(t, before, string(f.text))
	status, _ := s.ask(t, "/straighten", `[]`, nil)
	require.Equal(t, http.StatusUnprocessableEntity, status)
}

// A corner is moved by keys, written, and written back; a photo is straightened by four taps: a
// picture of the plane itself has to lie where its pixels belong.
func TestCornersAndPhoto(t *testing.T) {
	s, f := serveFrame(t)
	o := open(t, s, 1400, 1000, false)
	was, text := f.opening(t), string(f.text)

	o.click("#trace details:nth-of-type(1) summary")
	o.focus("#views svg .handle")
	for range 3 {
		require.NoError(t, o.Keyboard.Type(input.ArrowDown))
	}
	o.clickWords("Write into the frame file")
	require.Eventually(t, func() bool { return f.opening(t)[0][1] == was[0][1]-3 }, patience, 20*time.Millisecond)
	o.waitFor(`() => document.querySelector('#saying').textContent.includes('frame file') || !document.querySelector('#trace .tools button:nth-child(3)').disabled`)

	o.clickWords("Write back what it was")
	require.Eventually(t, func() bool { return string(f.text) == text }, patience, 20*time.Millisecond)
	time.Sleep(time.Second / 2)
	o.waitFor(`() => document.readyState === "complete"`)

	o.photo(t)
	o.accessible()
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
	for i := range m.Pix {
		m.Pix[i] = 200
	}
	m.Set(100, 100, color.Black)
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, m))
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
	o.waitFor(`() => document.querySelector('#trace input[type=file]') !== null`)
	o.click("#trace details:nth-of-type(2) summary")
	e, err := o.Element("#trace input[type=file]")
	require.NoError(t, err)
	require.NoError(t, e.SetFiles([]string{file}))
	o.waitFor(`() => document.querySelector('.photo img')?.complete`)
	for i, at := range [][2]float64{{0.25, 0.25}, {0.75, 0.25}, {0.75, 0.75}, {0.25, 0.75}} {
		o.tap(".photo img", at)
		o.waitFor(`() => document.querySelectorAll('.photo .mark').length === ` + string(rune('1'+i)))
	}
	for i, v := range []string{"100", "225", "300", "225", "300", "75", "100", "75"} {
		all, err := o.Elements("#trace details:nth-of-type(2) input[type=number]")
		require.NoError(t, err)
		require.NoError(t, all[i].Input(v))
		require.NoError(t, all[i].Blur())
	}
	o.clickWords("Straighten")
	o.waitFor(`() => document.querySelector('.behind img') !== null`)
	// The picture's own corners against those of the view's rulers: both by the browser.
	r, err := o.Eval(`() => { const svg = document.querySelector('#views svg'), i = document.querySelector('.behind img').getBoundingClientRect(), m = svg.getScreenCTM();
		const h = document.querySelector('#views svg').viewBox.baseVal; const [x0, z0] = [m.e, 0]; return [i.width / m.a, i.height / m.d, (i.left - m.e) / m.a]; }`)
	require.NoError(t, err)
	require.InDelta(t, 400, r.Value.Arr()[0].Num(), 3) // marks are tapped to a pixel of the screen
	require.InDelta(t, 300, r.Value.Arr()[1].Num(), 3)
	require.InDelta(t, 0, r.Value.Arr()[2].Num(), 3)
}

// tap clicks at a part of an element's width and height.
func (o opened) tap(selector string, part [2]float64) {
	r, err := o.Eval(`(s) => { const e = document.querySelector(s); e.scrollIntoView({block: 'center'}); const r = e.getBoundingClientRect(); return [r.x, r.y, r.width, r.height]; }`, selector)
	require.NoError(o.t, err)
	a := r.Value.Arr()
	require.NoError(o.t, o.Mouse.MoveTo(proto.NewPoint(a[0].Num()+part[0]*a[2].Num(), a[1].Num()+part[1]*a[3].Num())))
	require.NoError(o.t, o.Mouse.Click(proto.InputMouseButtonLeft, 1))
}
