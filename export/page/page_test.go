package page

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/go-rod/rod/lib/proto"
	"github.com/stretchr/testify/require"

	"rackwright/export/answer"
	"rackwright/geom"
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
