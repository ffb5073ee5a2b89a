package page

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"image"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/go-rod/rod/lib/input"
	"github.com/go-rod/rod/lib/proto"
	"github.com/stretchr/testify/require"

	"rackwright/export/answer"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
)

// megabyte is how heavy the page of an example may be.
const megabyte = 1 << 20

func TestSameBytesEveryTimeAndNotTooMany(t *testing.T) {
	in := example(t)
	var a, b bytes.Buffer
	require.NoError(t, Write(&a, in))
	require.NoError(t, Write(&b, in))
	require.Equal(t, a.Bytes(), b.Bytes())
	require.Less(t, a.Len(), megabyte)
}

// The bundle says which sources it was made from.
func TestBundleIsCurrent(t *testing.T) {
	names, err := filepath.Glob("web/src/*.js")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	hash := sha256.New()
	for _, name := range append(names, "web/package-lock.json") {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		hash.Write(data)
	}
	require.Contains(t, bundleJS, fmt.Sprintf("Made from sources %x", hash.Sum(nil)), "run npm ci && npm run build in export/page/web")
	require.Contains(t, bundleJS, "The MIT License", "three.js asks for its notice to be kept")
	require.NotContains(t, bundleJS, "</script", "it would end the script")
}

func TestOpensFromAFileWithNothingElse(t *testing.T) {
	o := open(t, example(t), 900)
	require.Equal(t, "sixteen cells in four blocks in Step-through courier", o.eval(`() => document.title`))
	o.settle()
	require.Greater(t, colours(o.picture()), 20, "the picture is not blank")
	o.quiet()
}

// Names come from files that anyone may have written.
func TestHostileNamesAreText(t *testing.T) {
	const name = `</script><img src=x onerror="document.title='taken over'"><b>&amp;`
	problem, layout := crate(t, name, 2)
	o := open(t, inputOf(t, problem, layout), 900)
	o.settle()
	require.Equal(t, name+" in "+name+" bay", o.eval(`() => document.title`))
	require.Equal(t, "0", o.eval(`() => String(document.querySelectorAll('img, b b, h1 b').length)`))
	require.Contains(t, o.eval(`() => document.querySelector('article tbody th').textContent`), name)
	require.Contains(t, o.eval(`() => document.querySelector('.ticks').textContent`), name)
	o.quiet()
}

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
		{"gaps", o.clicking(`[name=gaps]`)},
		{"no gaps, by key", o.pressing(`[name=gaps]`, input.Space)},
		{"tightest place off", o.pressing(`[name=tightest]`, input.Space)},
		{"pulled apart", o.pressing(`[name=apart]`, input.End)},
		{"together again", o.pressing(`[name=apart]`, input.Home)},
		{"cut level", func() {
			o.choose(`[name=axis]`, 1)
			o.pressing(`[name=cut]`, input.PageDown, input.PageDown, input.PageDown)()
		}},
		{"cut deeper", o.pressing(`[name=cut]`, input.PageDown, input.PageDown)},
		{"no cut", func() { o.choose(`[name=axis]`, 0) }},
		{"a box hidden", func() { o.clicking(`.names summary`)(); o.tick("cell block 4").MustClick() }},
		{"and shown, by key", func() { o.tick("cell block 4").MustFocus(); o.press(input.Space) }},
		{"the other layout", o.clicking(`[name=layout][value="2"]`)},
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
	o.choose(`#other`, 2)
	require.NoError(t, o.Wait(evaluating(`() => document.querySelectorAll('canvas').length === 2`)))
	require.NotEqual(t, in.Layouts[0].Report.Spare, in.Layouts[1].Report.Spare)
	require.Equal(t, in.Layouts[0].title(geom.Millimetre)+"|"+in.Layouts[1].title(geom.Millimetre),
		o.eval(`() => [...document.querySelectorAll('.stage-title')].map((e) => e.textContent).join('|')`))
	o.choose(`#other`, 0)
	require.NoError(t, o.Wait(evaluating(`() => document.querySelectorAll('canvas').length === 1`)))
	o.quiet()
}

func TestUnitsSwitch(t *testing.T) {
	in := example(t)
	o := open(t, in, 900)
	o.settle()
	text := func() string { return o.eval(`() => document.querySelector('main').innerText`) }
	require.Contains(t, text(), "8.07 mm")
	require.NotContains(t, text(), "/16 in")
	o.clicking(`[name=unit][value=in]`)()
	require.NotRegexp(t, `\d mm`, text())
	require.Contains(t, text(), "5/16 in to spare", "8.07 mm rounded to less")
	require.Contains(t, text(), "Rounded to 1/16 in to the safe side")
	for _, want := range answer.CheckLines(in.Layouts[0].Report, geom.Inch) {
		require.Contains(t, text(), want)
	}
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

// Where the browser has no WebGL all but the picture works.
func TestWithoutWebGL(t *testing.T) {
	path := filepath.Join(t.TempDir(), "report.html")
	var b bytes.Buffer
	require.NoError(t, Write(&b, example(t)))
	blinded := strings.Replace(b.String(), "<script>", "<script>HTMLCanvasElement.prototype.getContext = () => null;\n", 1)
	require.NoError(t, os.WriteFile(path, []byte(blinded), 0o600))
	o := openFile(t, path, 700)
	require.Contains(t, o.eval(`() => document.getElementById('stages').textContent`), "no WebGL")
	o.clicking(`[name=layout][value="2"]`)()
	o.clicking(`[name=unit][value=in]`)()
	require.Equal(t, "title-2", o.eval(`() => document.querySelector('article.chosen').getAttribute('aria-labelledby')`))
	o.mutex.Lock()
	defer o.mutex.Unlock()
	for _, trouble := range o.trouble {
		require.Contains(t, trouble, "WebGL", "three.js says so itself; nothing else may")
	}
}

func TestFortyBoxesTurn(t *testing.T) {
	problem, layout := crate(t, "cell", 40)
	o := open(t, inputOf(t, problem, layout), 900)
	o.settle()
	o.changes("turned", o.pressing(`canvas`, input.ArrowLeft))
	o.quiet()
}

func TestNarrowWindow(t *testing.T) {
	o := open(t, example(t), 360)
	o.settle()
	require.Equal(t, "0", o.eval(`() => String(document.documentElement.scrollWidth - document.documentElement.clientWidth)`))
	require.Empty(t, o.eval(smallText))
	o.quiet()
}

func TestNoSmallTextInAWideWindow(t *testing.T) {
	o := open(t, example(t), 1280)
	o.settle()
	require.Empty(t, o.eval(smallText))
}

// smallText names the texts that are less than 12 px high as they are shown.
const smallText = `() => {
  const small = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const e = walk.currentNode.parentElement;
    if (!walk.currentNode.data.trim() || !e.checkVisibility() || ['SCRIPT', 'STYLE', 'NOSCRIPT'].includes(e.tagName)) continue;
    const scale = e.ownerSVGElement && e.getScreenCTM ? Math.sqrt(Math.abs(e.getScreenCTM().a * e.getScreenCTM().d - e.getScreenCTM().b * e.getScreenCTM().c)) : 1;
    if (parseFloat(getComputedStyle(e).fontSize) * scale < 11.99) small.push(e.tagName + ': ' + walk.currentNode.data);
  }
  return small.join('\n');
}`

// axe-core, the accessibility checker of Deque Systems, finds nothing serious.
func TestAccessible(t *testing.T) {
	axe, err := os.ReadFile("testdata/axe.min.js")
	require.NoError(t, err)
	for _, scheme := range []string{"light", "dark"} {
		o := open(t, example(t), 900)
		require.NoError(t, proto.EmulationSetEmulatedMedia{Features: []*proto.EmulationMediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}.Call(o.Page))
		o.settle()
		_, err = o.Evaluate(evaluating("() => {" + string(axe) + "}"))
		require.NoError(t, err)
		found := o.eval(`async () => (await axe.run()).violations.filter((v) => ['serious', 'critical'].includes(v.impact))
		  .map((v) => v.id + ': ' + v.nodes.map((n) => n.html.slice(0, 200) + ' ' + n.failureSummary).join('\n')).join('\n\n')`)
		require.Empty(t, found, scheme)
	}
}

// A printed page has all the tables and drawings, each layout on sheets of its own.
func TestPrints(t *testing.T) {
	in := example(t)
	o := open(t, in, 900)
	o.settle()
	for paper, size := range map[string][2]float64{"A4": {8.27, 11.69}, "letter": {8.5, 11}} { // inches; ISO 216, ANSI Y14.1
		pdf, err := o.PDF(&proto.PagePrintToPDF{PaperWidth: &size[0], PaperHeight: &size[1], PreferCSSPageSize: true})
		require.NoError(t, err)
		var b bytes.Buffer
		_, err = b.ReadFrom(pdf)
		require.NoError(t, err)
		data := b.Bytes()
		path := filepath.Join(t.TempDir(), "page.pdf")
		require.NoError(t, os.WriteFile(path, data, 0o600))
		text := squeeze(pdfText(t, path))
		for _, l := range in.Layouts {
			require.Contains(t, text, squeeze(l.title(geom.Millimetre)), paper)
			for _, n := range l.Report.Relations[:mostGaps] {
				require.Contains(t, text, squeeze(fmt.Sprintf("%v – %v", n.A, n.B)), paper)
			}
			for _, at := range l.Layout.Placements {
				require.Contains(t, text, squeeze(pack.Part{Box: at.Box, Number: at.Number}.String()), paper)
			}
		}
		require.Equal(t, 2, strings.Count(text, squeeze("From the top (front to the right, left up)")), paper)
		require.Equal(t, 3, strings.Count(text, squeeze(in.Problem.Frame.Hash)), "on the sheets of each layout and at the end")
		require.Contains(t, text, "2031-05-17")
		requireNothingCutOff(t, path, size)
	}
}

// requireNothingCutOff requires that every word is on the paper.
func requireNothingCutOff(t *testing.T, path string, inches [2]float64) {
	t.Helper()
	out, err := exec.Command("pdftotext", "-bbox", path, "-").Output()
	require.NoError(t, err)
	words := 0
	for _, line := range strings.Split(string(out), "\n") {
		var x0, y0, x1, y1 float64
		if n, _ := fmt.Sscanf(strings.TrimSpace(line), `<word xMin="%f" yMin="%f" xMax="%f" yMax="%f">`, &x0, &y0, &x1, &y1); n == 4 {
			words++
			require.True(t, x0 > 0 && y0 > 0 && x1 < inches[0]*72 && y1 < inches[1]*72, line)
		}
	}
	require.Greater(t, words, 500)
}

func pdfText(t *testing.T, path string) string {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
		t.Skip("pdftotext is missing")
	}
	out, err := exec.Command("pdftotext", "-layout", path, "-").Output()
	require.NoError(t, err)
	return string(out)
}

// squeeze leaves out white space, for lines break anywhere.
func squeeze(text string) string { return strings.Join(strings.Fields(text), "") }

// picture is what the canvas shows when it has been drawn.
func (o *opened) picture() image.Image {
	o.t.Helper()
	r, err := o.Eval(`async () => {
		const canvas = document.querySelector('canvas');
		canvas.scrollIntoView({ block: 'center' });
		await new Promise((r) => requestAnimationFrame(() => requestAnimationFrame(r)));
		const b = canvas.getBoundingClientRect();
		return [b.x + scrollX, b.y + scrollY, b.width, b.height];
	}`)
	require.NoError(o.t, err)
	b := r.Value.Arr()
	shot, err := proto.PageCaptureScreenshot{
		Format: proto.PageCaptureScreenshotFormatPng, OptimizeForSpeed: true,
		Clip: &proto.PageViewport{X: b[0].Num(), Y: b[1].Num(), Width: b[2].Num(), Height: b[3].Num(), Scale: 1},
	}.Call(o)
	require.NoError(o.t, err)
	img, err := png.Decode(bytes.NewReader(shot.Data))
	require.NoError(o.t, err)
	return img
}

// colours counts the different ones.
func colours(img image.Image) int {
	seen := map[[3]uint32]bool{}
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y += 3 {
		for x := b.Min.X; x < b.Max.X; x += 3 {
			r, g, b, _ := img.At(x, y).RGBA()
			seen[[3]uint32{r, g, b}] = true
		}
	}
	return len(seen)
}

// differences counts the points that are clearly not the same.
func differences(a, b image.Image) int {
	n := 0
	r := a.Bounds()
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			r1, g1, b1, _ := a.At(x, y).RGBA()
			r2, g2, b2, _ := b.At(x, y).RGBA()
			if apart(r1, r2)+apart(g1, g2)+apart(b1, b2) > 0x1800 {
				n++
			}
		}
	}
	return n
}

func apart(a, b uint32) uint32 { return max(a, b) - min(a, b) }

// settle waits until the picture is there.
func (o *opened) settle() {
	o.t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); {
		if colours(o.picture()) > 20 {
			return
		}
	}
	require.Fail(o.t, "the picture stays blank")
}

// enough is how many points of the picture a change moves: the outline of a small part.
const enough = 60

// changes requires that the picture changes after an action, and leaves it at rest.
func (o *opened) changes(what string, do func()) {
	o.t.Helper()
	before := o.picture()
	do()
	for end := time.Now().Add(patience / 3); time.Now().Before(end); {
		if differences(before, o.picture()) >= enough {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
	require.Fail(o.t, "the picture does not change", what)
}

// BenchmarkWrite is the time of a page of three layouts of 40 boxes.
func BenchmarkWrite(b *testing.B) {
	problem, layout := crate(b, "cell", 40)
	in := inputOf(b, problem, layout, layout, layout)
	for b.Loop() {
		if err := Write(io.Discard, in); err != nil {
			b.Fatal(err)
		}
	}
}
