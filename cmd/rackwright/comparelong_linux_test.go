package main

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"rackwright/pack/search"
)

// forty is a catalogue of forty invented batteries, from small to too large for the courier.
func forty() string {
	g := rand.New(rand.NewPCG(40, 5))
	var b strings.Builder
	b.WriteString("name,length,width,height,mass,volts,amp_hours,price,stand,accuracy,plus,minus\n")
	for i := range 40 {
		l, w, h := 110+4*g.IntN(30), 60+3*g.IntN(25), 80+3*g.IntN(30)
		ah := l * w * h / 90_000
		fmt.Fprintf(&b, "number %d,%d,%d,%d,%.1f,12,%d,%d,upright on-side on-end,1,top 20 18 12 6,top %d 18 12 6\n", i+1, l, w, h, 0.33*float64(ah), ah, 20+2*ah, l-20)
	}
	return b.String()
}

// processor is how many seconds of processor time this program has taken.
func processor() float64 {
	var u syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u)
	return float64(u.Utime.Sec+u.Stime.Sec) + float64(u.Utime.Usec+u.Stime.Usec)/1e6
}

// Forty batteries in five counts each in the courier: how much processor time that takes, of which two
// cores have 1,200 s in ten minutes, is told, not tested. Every written proof stands up to the check,
// every layout to the judge, and in a sample of thirty nothing is left out that a search as fit makes
// it, with the same counted work, finds to go in.
func TestFortyBatteries(t *testing.T) {
	if os.Getenv("RACKWRIGHT_COMPARE") == "" {
		t.Skip("RACKWRIGHT_COMPARE=1 compares forty batteries, for some twenty minutes of processor time")
	}
	dir := t.TempDir()
	shop, out := filepath.Join(dir, "forty.csv"), filepath.Join(dir, "out")
	require.NoError(t, os.WriteFile(shop, []byte(forty()), 0o600))
	const courier = "../../testdata/courier/frame.yaml"
	before, since := processor(), time.Now()
	printed, errs := did(t, t.Context(), "compare", courier, shop, "--want", "1 Wh", "--counts", "2-6", "--with", "../../testdata/courier/pack.yaml", "--out", out, "--json")
	t.Logf("%.0f s of processor time, %.0f s by the clock", processor()-before, time.Since(since).Seconds())
	require.Empty(t, errs)
	var got struct {
		Rows []struct {
			Battery, Verdict string
			Count            int
			Files            []string
		}
	}
	require.NoError(t, json.Unmarshal([]byte(printed), &got))
	seen := map[string]int{}
	for _, r := range got.Rows {
		seen[r.Verdict]++
		packPath := filepath.Join(out, r.Files[0])
		switch r.Verdict {
		case "sure", "tight":
			require.Equal(t, exitFits, run(t.Context(), []string{"check", courier, packPath, filepath.Join(out, r.Files[1]), "--quiet"}, streams{out: os.Stdout, err: os.Stderr}))
		case "proven no":
			require.Equal(t, exitFits, run(t.Context(), []string{"check", courier, packPath, "--proof", filepath.Join(out, r.Files[1]), "--quiet"}, streams{out: os.Stdout, err: os.Stderr}))
		}
	}
	t.Logf("%d rows: %v", len(got.Rows), seen)
	require.Len(t, got.Rows, 200)
	for i := range 30 {
		r := got.Rows[i*len(got.Rows)/30]
		p, err := problem(t.Context(), courier, filepath.Join(out, r.Files[0]))
		require.NoError(t, err)
		alone, err := search.Fit(context.Background(), p, search.Settings{Seed: 1, Stand: &search.Stand{Keep: -1}, Work: 4_000_000_000})
		require.NoError(t, err)
		in := r.Verdict == "sure" || r.Verdict == "tight"
		require.False(t, alone.Verdict.Fits() && !in, "%s × %d: fit alone finds a layout, compare says %s", r.Battery, r.Count, r.Verdict)
	}
}
