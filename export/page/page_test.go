package page

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/export/answer"
	"rackwright/export/internal/chromium"
	"rackwright/export/view"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/outcome"
)

func TestSameBytesEveryTime(t *testing.T) {
	in := example(t)
	var a, b bytes.Buffer
	require.NoError(t, Write(&a, in))
	require.NoError(t, Write(&b, in))
	require.Equal(t, a.Bytes(), b.Bytes())
}

// The pages of the examples, with as many layouts as are offered, are lighter than a
// megabyte (2²⁰ bytes), with room for the words on what else was found.
func TestPagesAreLight(t *testing.T) {
	const megabyte, words = 1 << 20, 10_000
	for name, layout := range map[string]string{
		"courier": "../../testdata/courier/layout.yaml", "trail": "testdata/trail-layout.yaml", "cargo": "testdata/cargo-layout.yaml",
	} {
		problem, one := layoutOfExample(t, name, layout)
		var b bytes.Buffer
		require.NoError(t, Write(&b, inputOf(t, problem, one, one, one)))
		require.Less(t, b.Len(), megabyte-words, name)
	}
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
	require.Contains(t, text(), "10.15 mm")
	require.NotContains(t, text(), "/16 in")
	o.clicking(`[name=unit][value=in]`)()
	require.NotRegexp(t, `\d mm`, text())
	require.Contains(t, text(), "3/8 in to spare", "10.15 mm rounded to less")
	require.Contains(t, text(), "Rounded to 1/16 in to the safe side")
	require.Contains(t, text(), answer.HoldsWords(in.Problem, outcome.Judge(in.Problem, in.Layouts[0].Layout), geom.Inch))
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
	require.Greater(t, o.count(".plates .plate-name"), 2, "where words on faces are too small, plates bear the names")
	o.quiet()
}

func TestNoSmallTextInAWideWindow(t *testing.T) {
	o := open(t, example(t), 1280)
	o.settle()
	require.Empty(t, o.eval(smallText))
}

// What is read aloud is in the unit that is chosen: of the 3D picture, and of drawings.
func TestAlternativesFollowTheUnit(t *testing.T) {
	o := open(t, example(t), 900)
	o.settle()
	aloud := func() string {
		return o.eval(`() => document.querySelector('canvas').getAttribute('aria-label') + '\n'
		  + [...document.querySelectorAll('article svg')].flatMap((svg) => svg.getAttribute('aria-labelledby').split(' ')
		    .map((id) => document.getElementById(id).textContent)).join('\n')`)
	}
	inches, millimetres := `\d in\b`, `\d mm\b`
	require.Regexp(t, millimetres, aloud())
	require.NotRegexp(t, inches, aloud())
	o.clicking(`[name=unit][value=in]`)()
	require.Regexp(t, inches, aloud())
	require.NotRegexp(t, millimetres, aloud())
	o.clicking(`[name=unit][value=mm]`)()
	require.NotRegexp(t, inches, aloud())
	o.quiet()
}

// In a page of a pack in inches they are in inches from the start.
func TestAlternativesStartInTheUnitOfThePack(t *testing.T) {
	in := example(t)
	p := *in.Problem.Pack
	p.Unit = geom.Inch
	in.Problem.Pack = &p
	var b bytes.Buffer
	require.NoError(t, Write(&b, in))
	titles := regexp.MustCompile(`<desc [^>]*>([^<]*)</desc>`).FindAllStringSubmatch(b.String(), -1)
	require.NotEmpty(t, titles)
	for _, m := range titles {
		require.NotRegexp(t, `\d mm\b`, m[1])
	}
}

// Clearances and gaps are rounded to inches as in the printed table of all clearances, and
// what is left as in the printed sentence on what is to spare.
func TestInchesAreThoseOfThePrintedAnswer(t *testing.T) {
	in := example(t)
	in.Problem.Pack.Unit = geom.Inch
	report := in.Layouts[0].Report
	rows, _ := gapRows(report)
	var b bytes.Buffer
	require.NoError(t, answer.WriteCheck(&b, in.Problem, in.Layouts[0].Layout, outcome.Judge(in.Problem, in.Layouts[0].Layout)))
	const number = ` +(-?(?:\d+ \d+/\d+|\d+/\d+|\d+))`
	printed := regexp.MustCompile(`(?m)^`+number+number+number+number+` +(.*)$`).FindAllStringSubmatch(b.String(), -1)
	require.Greater(t, len(printed), len(rows), b.String())
	for i, row := range rows {
		require.Equal(t, printed[i][5], row.Between)
		require.Equal(t, printed[i][2]+" in", row.Gap.In, row.Between)
		require.Equal(t, printed[i][3]+" in", row.Required.In, row.Between)
		require.Equal(t, answer.SpareWords(report.Relations[i].Left, geom.Inch), row.Left.In+" to spare")
	}
	m := view.Measures(in.Problem, in.Layouts[0].Judged)[0]
	require.Equal(t, rows[0].Gap.In+", needs "+strings.TrimSuffix(rows[0].Required.In, " in"), m.Words(geom.Inch))
}

// What rounding has taken from a sixteenth does not cost one, what is short is never
// told as less, and what there is is never called nothing.
func TestRoundingOfInches(t *testing.T) {
	const sixteenth = geom.MillimetresPerInch / 16
	rows, _ := gapRows(pack.Report{Relations: []pack.Relation{
		{Gap: 3*sixteenth - 1e-6, Required: 2 * sixteenth, Left: sixteenth - 1e-6},
		{Gap: 2*sixteenth - 0.01, Required: sixteenth + 0.01, Left: sixteenth - 0.02},
		{Gap: -sixteenth - 0.01, Required: 0, Left: -sixteenth - 0.01},
	}})
	words := func(i int) []string { return []string{rows[i].Gap.In, rows[i].Required.In, rows[i].Left.In} }
	require.Equal(t, []string{"3/16 in", "1/8 in", "1/16 in"}, words(0))
	require.Equal(t, []string{"1/16 in", "1/8 in", "less than 1/16 in"}, words(1))
	require.Equal(t, []string{"1/8 in overlap", "0 in", "1/8 in short"}, words(2))
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
	for n, at := range []struct {
		scheme string
		width  int
		of     func(testing.TB) Input
	}{{"dark", 1280, withRack}, {"light", 360, withRack}, {"light", 1280, example}, {"dark", 360, example}} {
		if n >= 2 && !chromium.Long() {
			break
		}
		o := open(t, at.of(t), at.width)
		o.prefers(at.scheme)
		o.settle()
		_, err = o.Evaluate(evaluating("() => {" + string(axe) + "}"))
		require.NoError(t, err)
		found := o.eval(`async () => (await axe.run()).violations.filter((v) => ['serious', 'critical'].includes(v.impact))
		  .map((v) => v.id + ': ' + v.nodes.map((n) => n.html.slice(0, 200) + ' ' + n.failureSummary).join('\n')).join('\n\n')`)
		require.Empty(t, found, at.scheme, at.width)
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
