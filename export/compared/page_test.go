package compared

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/export/internal/chromium"
	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/compare"
)

// crowd is a comparison of so many rows that go in, invented, many of them alike.
func crowd(t testing.TB, n int, seed uint64) Comparison {
	t.Helper()
	f, err := frame.Read(strings.NewReader(`{format: 1, frame: "bay <1> & more", opening: {outline: [[0, 0], [500, 0], [500, 300], [0, 300]], across: 200}}`), "f")
	require.NoError(t, err)
	c := Comparison{Frame: f, Catalogue: &pack.Catalogue{Name: "shop", Currency: "EUR"}, Fixed: compare.FixedOf(nil)}
	c.Wish, err = compare.ParseWish("12-80 V, 100 Wh", "EUR")
	require.NoError(t, err)
	c.Header = Header{Rows: n, Part: 1, Of: 1}
	g := rand.New(rand.NewPCG(33, seed))
	for i := range n {
		b := pack.Battery{Kind: pack.Kind{
			Name: fmt.Sprintf("Wammow block %d Ah <%d>", 5+g.IntN(40), i), Volts: 12, AmpHours: float64(5 + g.IntN(40)), Mass: 2 + 10*g.Float64(),
			Stands: []pack.Stand{pack.Upright},
		}, Price: float64(g.IntN(90))}
		b.Size.X, b.Size.Y, b.Size.Z = 100, 60, 80
		b.Tilts = append(b.Tilts, 0)
		o := compare.Outcome{Verdict: compare.Verdict(g.IntN(3)), Spare: 20*g.Float64() - 4}
		if o.Verdict.GoesIn() {
			o.Spare += 4
		}
		c.Catalogue.Batteries = append(c.Catalogue.Batteries, b)
		c.Rows = append(c.Rows, compare.Row{Entry: compare.Entry{Row: i, Battery: b, Count: 2 + g.IntN(5), Joined: compare.Joined{Series: 2, Parallel: 1}}, Outcome: o})
	}
	return c
}

// overlaps are the names of the picture that lie over another name, over a mark, or beyond the edge, as
// the browser measures them.
const overlaps = `() => {
	const boxes = [...document.querySelectorAll('svg text.name')].map(e => [e.textContent, e.getBBox()]);
	const marks = [...document.querySelectorAll('svg circle, svg path, svg rect[stroke]')].map(e => ['mark', e.getBBox()]);
	const edge = document.querySelector('svg').viewBox.baseVal, bad = [];
	const meet = (a, b) => a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
	boxes.forEach(([name, box], i) => {
		// Two pixels above and below the letters are the font's own.
		const core = {x: box.x, y: box.y + 2, width: box.width, height: box.height - 4};
		for (const [other, o] of boxes.slice(i + 1).concat(marks)) {
			const inner = other === 'mark' ? o : {x: o.x, y: o.y + 2, width: o.width, height: o.height - 4};
			if (meet(core, inner)) bad.push(name + ' over ' + other);
		}
		if (box.x < 0 || box.x + box.width > edge.width) bad.push(name + ' beyond the edge');
	});
	return {names: boxes.length, bad};
}`

func TestMain(m *testing.M) { chromium.Main(m) }

// In the picture no name lies over another or over a mark, and the page can be used by all, as Chromium
// and axe-core see it.
func TestPictureAndPageInABrowser(t *testing.T) {
	axe, err := os.ReadFile("../page/testdata/axe.min.js")
	require.NoError(t, err)
	p := chromium.Page(t)
	for i, n := range []int{1, 12, 30, 70} {
		path := filepath.Join(t.TempDir(), "compare.html")
		var page bytes.Buffer
		require.NoError(t, crowd(t, n, uint64(i)).WritePage(&page))
		require.NoError(t, os.WriteFile(path, page.Bytes(), 0o600))
		p.MustNavigate("file://" + path).MustWaitLoad()
		seen := p.MustEval(overlaps)
		require.Empty(t, seen.Get("bad").Arr(), "%d rows", n)
		if n > 1 {
			require.Greater(t, seen.Get("names").Int(), 5, "%d rows", n)
		}
		p.MustEval("source => { const s = document.createElement('script'); s.textContent = source; document.head.append(s) }", string(axe))
		found := p.MustEval("async () => (await axe.run()).violations.map(v => v.id + ': ' + v.nodes.map(n => n.html).join(' '))")
		require.Empty(t, found.Arr())
	}
}

// What is printed agrees between the forms, and names what others beat.
func TestFormsAgree(t *testing.T) {
	c := crowd(t, 25, 7)
	var words, cells, object bytes.Buffer
	require.NoError(t, c.WriteTable(&words))
	require.NoError(t, c.WriteCSV(&cells))
	require.NoError(t, c.WriteJSON(&object))
	by := compare.Beaten(c.Rows)
	beaten := 0
	for i, r := range c.Rows {
		require.Contains(t, words.String(), r.Name())
		require.Contains(t, cells.String(), fmt.Sprintf("%s,%d,", r.Battery.Name, r.Count))
		if by[i] >= 0 {
			beaten++
		}
	}
	require.Greater(t, beaten, 2)
	require.Equal(t, beaten, strings.Count(object.String(), `"beaten_by": {`))
	require.Equal(t, 26, strings.Count(cells.String(), "\n"))

	// Of a part it is not known which beat which.
	c.Header.Rows++
	object.Reset()
	require.NoError(t, c.WriteJSON(&object))
	require.Zero(t, strings.Count(object.String(), `"beaten_by": {`))
}
