package drawing

import (
	"bytes"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"
)

// What fits on a page is whole on one, beside others and clear of them; only what is larger is
// cut up, and what is small goes into what that leaves free.
func TestPiecesThatFitAreNeverSplit(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	paper := Papers[0]
	for range 20 {
		var set Set
		fit := 0
		for i := range 3 + rng.IntN(9) {
			d := Drawing{Title: strconv.Itoa(i), Size: r2.Point{X: 20 + 230*rng.Float64(), Y: 20 + 150*rng.Float64()}}
			if i == 0 {
				d.Size = r2.Point{X: 300, Y: 220}
			} else {
				fit++
			}
			d.Rect(Cut, r2.RectFromPoints(r2.Point{}, d.Size))
			set.Pieces = append(set.Pieces, d)
		}
		all, err := set.Sheets(paper)
		require.NoError(t, err)
		whole, tiles := 0, 0
		for _, s := range all.pages {
			window := r2.RectFromPoints(r2.Point{}, paper.window())
			require.True(t, window.Contains(s.whole.Bounds()) || len(s.whole.Paths) == 0)
			for i, a := range s.taken {
				for _, b := range s.taken[i+1:] {
					require.False(t, a.InteriorIntersects(b))
				}
				if s.tile != nil { // asked of the whole drawing
					by := s.tile.shown(s.col, s.row).Lo()
					require.False(t, s.tile.drawing.Touches(r2.RectFromPoints(a.Lo().Add(by), a.Hi().Add(by))))
				}
			}
			whole += len(s.whole.Paths)
			if s.tile != nil {
				tiles++
			}
		}
		require.Equal(t, fit, whole)
		require.Equal(t, 2, tiles, "300 × 220 on two windows of 182 × 259")
		require.LessOrEqual(t, all.Pages(), tiles+fit)
	}
}

// Words that no page showed in full are moved onto one: each is read whole by pdftotext.
func TestWordsAreNotCutByPages(t *testing.T) {
	judge(t, "pdftotext")
	d := Drawing{Size: r2.Point{X: 400, Y: 300}}
	d.Rect(Cut, r2.RectFromPoints(r2.Point{}, d.Size))
	for i := range 9 {
		d.Text(r2.Point{X: 80 + 30*float64(i), Y: 30 + 30*float64(i)}, Least, 200, 0, "words number "+strconv.Itoa(i))
	}
	var b bytes.Buffer
	require.NoError(t, d.WriteTiles(&b, Papers[0]))
	grid, err := newTiling(d, Papers[0])
	require.NoError(t, err)
	require.Zero(t, grid.cutWords())
	file := filepath.Join(t.TempDir(), "x.pdf")
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
	out, err := exec.Command("pdftotext", file, "-").Output()
	require.NoError(t, err)
	for i := range 9 {
		require.Contains(t, strings.ReplaceAll(string(out), "\n", " "), "words number "+strconv.Itoa(i))
	}
}
