package compare_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/certificate"
	"rackwright/pack/compare"
	"rackwright/pack/entry"
	"rackwright/pack/search"
	"rackwright/pack/search/model"
)

func frameOf(t testing.TB, text string) *frame.Frame {
	t.Helper()
	f, err := frame.Read(strings.NewReader(text), "frame.yaml")
	require.NoError(t, err)
	return f
}

func catalogueOf(t testing.TB, rows string) *pack.Catalogue {
	t.Helper()
	c, err := pack.ReadCatalogueCSV(strings.NewReader("name,length,width,height,mass,volts,amp_hours,price\n"+rows), "shop.csv")
	require.NoError(t, err)
	return c
}

var all = compare.Counts{Least: 1, Most: pack.MaxBoxes}

func TestWishes(t *testing.T) {
	for text, words := range map[string]string{
		"72 V, 3 kWh":              "64.8 to 79.2 V, at least 3 kWh",
		"60-84V,3–5 kWh":           "60 to 84 V, 3 to 5 kWh",
		"at least 48 V, 800 Wh":    "at least 48 V, at least 0.8 kWh",
		"45 kg, €900":              "at most 45 kg of batteries, at most 900 €",
		"100 lb, 12.5 money":       "at most 45.36 kg of batteries, at most 12.5 €",
		"up to 60 V, at most 2kWh": "at most 60 V, at most 2 kWh",
	} {
		w, err := compare.ParseWish(text, "€")
		require.NoError(t, err, text)
		require.Equal(t, words, w.Words("€"), text)
	}
	for text, words := range map[string]string{
		"":              "no number with its unit",
		"72":            "has no unit",
		"3,5 kWh":       "decimals have a point",
		"84-60 V":       "from the greater to the lesser",
		"72 V, 48 V":    "says volts twice",
		"3 furlongs":    "no unit of a wish",
		"20-30 kg":      "only the most",
		"at least 9 kg": "only the most",
		"900 USD":       "USD is no unit of a wish: V, kWh, Wh, kg, lb, EUR",
	} {
		_, err := compare.ParseWish(text, "EUR")
		require.ErrorContains(t, err, words, text)
	}
}

// Which counts meet a wish, worked out by hand.
func TestEntries(t *testing.T) {
	f := frameOf(t, `{format: 1, frame: f, opening: {outline: [[0, 0], [500, 0], [500, 300], [0, 300]], across: 200}}`)
	c := catalogueOf(t, "block,100,100,100,5,12,20,40\ncell,100,30,90,1,3.2,50,\nhuge,400,250,200,50,12,200,300\n")
	rows := func(want string, counts compare.Counts) (list []string) {
		w, err := compare.ParseWish(want, "EUR")
		require.NoError(t, err)
		for _, e := range compare.Entries(f, c, nil, w, counts) {
			require.Equal(t, len(list), e.Row)
			list = append(list, e.Name()+" "+e.Joined.String())
		}
		return list
	}
	// 43.2 to 52.8 V: 4 blocks, 14 to 16 cells; 30 million mm³ are the whole opening: 36 blocks are the
	// first that have more. Of the huge one two strings of four have too much already.
	require.Equal(t, []string{
		"block × 8 4s2p", "block × 12 4s3p", "block × 16 4s4p", "block × 20 4s5p", "block × 24 4s6p", "block × 28 4s7p", "block × 32 4s8p",
		"cell × 14 14s", "cell × 15 15s", "cell × 16 16s", "cell × 28 14s2p", "cell × 30 15s2p", "cell × 32 16s2p", "cell × 42 14s3p", "cell × 45 15s3p", "cell × 48 16s3p", "cell × 56 14s4p", "cell × 60 15s4p", "cell × 64 16s4p",
		"huge × 4 4s",
	}, rows("48 V, 1.8 kWh", all))
	require.Equal(t, []string{"block × 4 4s", "block × 8 4s2p"}, rows("48 V, 45 kg, 400 EUR", all), "of the cell the price is not known")
	require.Equal(t, []string{"block × 2 2s", "block × 3 3s", "cell × 2 2s", "cell × 3 3s", "huge × 2 2s"}, rows("100 Wh", compare.Counts{Least: 2, Most: 3}))
	// Six batteries of 12 V make 36 V as three pairs and 72 V in one string: nearest to the middle.
	require.Equal(t, []string{"block × 6 6s"}, rows("30-80 V", compare.Counts{Least: 6, Most: 6})[:1])

	w, err := compare.ParseWish("500 V, 1 kWh", "")
	require.NoError(t, err)
	require.Empty(t, compare.Entries(f, c, nil, w, compare.Counts{Least: 1, Most: 8}))
	require.ErrorContains(t, w.Nothing(c, compare.Counts{Least: 1, Most: 8}), "block: of 12 V each, no number in series gives 450 to 550 V")
}

// Beaten agrees with a comparison of each with each, written from what the word means.
func TestBeatenAgainstAllPairs(t *testing.T) {
	g := rand.New(rand.NewPCG(33, 1))
	beaten := 0
	for range 400 {
		rows := make([]compare.Row, g.IntN(25))
		for i := range rows {
			b := pack.Battery{Kind: pack.Kind{Name: fmt.Sprint(i), Volts: 12, AmpHours: float64(1 + g.IntN(4)), Mass: float64(g.IntN(4))}, Price: float64(g.IntN(4) - 1)}
			rows[i] = compare.Row{
				Entry:   compare.Entry{Row: i, Battery: b, Count: 1 + g.IntN(2)},
				Outcome: compare.Outcome{Verdict: compare.Verdict(g.IntN(5)), Spare: float64(g.IntN(4))},
			}
		}
		by := compare.Beaten(rows)
		for i, r := range rows {
			any := false
			for k, o := range rows {
				b := allPairs(o, r)
				any = any || b
				if by[i] == k {
					require.True(t, b, "%v is said to beat %v", o, r)
					require.Equal(t, -1, by[k], "who beats is not beaten")
				}
			}
			require.Equal(t, any, by[i] >= 0, "%v", r)
			if any {
				beaten++
			}
		}
	}
	require.Greater(t, beaten, 100)
}

// allPairs tells whether one row beats another.
func allPairs(a, b compare.Row) bool {
	goesIn := func(r compare.Row) bool { return r.Verdict == compare.Sure || r.Verdict == compare.Tight }
	sure := func(r compare.Row) bool { return r.Verdict == compare.Sure }
	if !goesIn(a) || !goesIn(b) || (a.Battery.Mass > 0) != (b.Battery.Mass > 0) || (a.Battery.Price < 0) != (b.Battery.Price < 0) {
		return false
	}
	n, m := float64(a.Count), float64(b.Count)
	worse := !sure(a) && sure(b) || a.Spare < b.Spare || n*a.Battery.AmpHours < m*b.Battery.AmpHours
	better := sure(a) && !sure(b) || a.Spare > b.Spare || n*a.Battery.AmpHours > m*b.Battery.AmpHours
	worse = worse || n*a.Battery.Mass > m*b.Battery.Mass
	better = better || n*a.Battery.Mass < m*b.Battery.Mass
	if a.Battery.Price >= 0 {
		worse = worse || n*a.Battery.Price > m*b.Battery.Price
		better = better || n*a.Battery.Price < m*b.Battery.Price
	}
	return better && !worse
}

// Every row is in exactly one part.
func TestParts(t *testing.T) {
	for of := 1; of <= 20; of++ {
		for row := range 50 {
			in := 0
			for part := 1; part <= of; part++ {
				if (compare.Shard{Part: part, Of: of}).Has(row) {
					in++
				}
			}
			require.Equal(t, 1, in)
		}
	}
	for _, text := range []string{"5/4", "0/4", "-1/4", "1/0", "4", "a/b", "1/20000", "1/4/2"} {
		_, err := compare.ParseShard(text)
		require.Error(t, err, text)
	}
	s, err := compare.ParseShard("3/16")
	require.NoError(t, err)
	require.Equal(t, compare.Shard{Part: 3, Of: 16}, s)
}

// What job arrays put into the environment: Slurm by its manual (job_array.html), indexed Jobs of
// Kubernetes by theirs.
func TestPartOfAJob(t *testing.T) {
	for _, c := range []struct {
		env   map[string]string
		parts int
		want  string // the part, or words of the error
	}{
		{map[string]string{}, 0, ""},
		{map[string]string{"SLURM_ARRAY_TASK_ID": "3", "SLURM_ARRAY_TASK_COUNT": "16", "SLURM_ARRAY_TASK_MIN": "0"}, 0, "4/16"},
		{map[string]string{"SLURM_ARRAY_TASK_ID": "16", "SLURM_ARRAY_TASK_COUNT": "16", "SLURM_ARRAY_TASK_MIN": "1"}, 16, "16/16"},
		{map[string]string{"SLURM_ARRAY_TASK_ID": "7", "SLURM_ARRAY_TASK_COUNT": "4", "SLURM_ARRAY_TASK_MIN": "1", "SLURM_ARRAY_TASK_STEP": "2"}, 0, "4/4"},
		{map[string]string{"SLURM_ARRAY_TASK_ID": "5", "SLURM_ARRAY_TASK_COUNT": "1", "SLURM_ARRAY_TASK_MIN": "5"}, 16, "such as --shard 5/16"},
		{map[string]string{"SLURM_ARRAY_TASK_ID": "5"}, 0, "not of how many"},
		{map[string]string{"SLURM_ARRAY_TASK_ID": "x", "SLURM_ARRAY_TASK_COUNT": "4"}, 0, "no number"},
		{map[string]string{"SLURM_ARRAY_TASK_ID": "9", "SLURM_ARRAY_TASK_COUNT": "4", "SLURM_ARRAY_TASK_MIN": "1"}, 0, "there is no part 9"},
		{map[string]string{"JOB_COMPLETION_INDEX": "0"}, 16, "1/16"},
		{map[string]string{"JOB_COMPLETION_INDEX": "15", "JOB_COMPLETIONS": "16"}, 0, "16/16"},
		{map[string]string{"JOB_COMPLETION_INDEX": "2"}, 0, "not of how many"},
	} {
		s, by, found, err := compare.ShardOfJob(func(name string) string { return c.env[name] }, c.parts)
		switch {
		case c.want == "":
			require.False(t, found)
		case strings.Contains(c.want, " "):
			require.ErrorContains(t, err, c.want)
		default:
			require.NoError(t, err)
			require.Equal(t, c.want, s.String())
			require.Contains(t, c.env, by)
		}
	}
}

// A row's pack file reads back to the boxes that it was made of, whatever they have.
func TestPackFilesReadBack(t *testing.T) {
	const text = `format: 1
pack: p
gaps: {beside: 4, bar: 12, entry: 1.5}
boxes:
  - name: "battery \"b\" × 2"
    size: [150.25, 112, 7 5/8 in]
    accuracy: 0.5
    swell: 0.25
    mass: 3.6
    stand: [upright, on-side]
    tilt: [0, -12.3]
    posts:
      - {name: plus, face: top, at: [22, 18], diameter: 12, height: 8, polarity: "+", bolt: M6}
      - {name: spare, face: left, at: [128, 94], diameter: 12, unused: true}
    volts: 12.8
    amp_hours: 25
    charge_volts: 14.6
  - {name: charger, count: 2, size: [168, 84, 62], carries: 12, within: {x: [0, 500], z: [-10, 300.5]}, flooded: true}
`
	p, err := pack.Read(strings.NewReader(text), "p.yaml")
	require.NoError(t, err)
	fixed := compare.FixedOf(p)
	require.Equal(t, []string{`battery "b" × 2`}, fixed.Left)
	e := compare.Entry{Battery: pack.Battery{Kind: p.Kinds[0]}, Count: 5, Joined: compare.Joined{Series: 5, Parallel: 1}}
	again, err := pack.Read(strings.NewReader(fixed.PackFile(e)), "again.yaml")
	require.NoError(t, err)
	require.Equal(t, p.Gaps, again.Gaps)
	want := append([]pack.Kind{}, p.Kinds...)
	want[0].Count = 5
	for _, kinds := range [][]pack.Kind{want, again.Kinds} {
		for i := range kinds {
			for k := range kinds[i].Posts {
				kinds[i].Posts[k].Line = 0
			}
		}
	}
	require.Equal(t, want, again.Kinds)
	require.Equal(t, pack.DefaultGaps(), compare.FixedOf(nil).Gaps)
}

// crates are openings with batteries of a random shop: some go in, some do not, of some it is not
// known.
func crates(t *testing.T, n int) (jobs []compare.Job) {
	g := rand.New(rand.NewPCG(33, 30))
	for range n {
		f := frameOf(t, fmt.Sprintf(`{format: 1, frame: f, accuracy: 1, opening: {outline: [[0, 0], [%d, 0], [%d, 240], [%d, 250]], across: %d}}`,
			300+g.IntN(100), 340+g.IntN(60), g.IntN(40), 180+g.IntN(60)))
		c := catalogueOf(t, fmt.Sprintf("b,%d,%d,%d,5,12,20,40\n", 90+g.IntN(60), 60+g.IntN(60), 70+g.IntN(60)))
		w, err := compare.ParseWish("1 Wh", "")
		require.NoError(t, err)
		counts := compare.Counts{Least: 2 + g.IntN(9), Most: 64}
		entries := compare.Entries(f, c, nil, w, counts)
		require.NotEmpty(t, entries)
		entries[0].Row = 0
		jobs = append(jobs, compare.Job{
			Frame: f, Fixed: compare.FixedOf(nil), Entries: entries[:1],
			Settings: compare.Settings{Work: 40 * time.Millisecond, Seed: 1},
		})
	}
	return jobs
}

// outcomeOf is what comes of the one entry of a job.
func outcomeOf(t *testing.T, job compare.Job, workers int) (o compare.Outcome) {
	t.Helper()
	var done atomic.Int32
	require.NoError(t, compare.Run(context.Background(), job, workers, func(_ compare.Entry, of compare.Outcome) error {
		done.Add(1)
		o = of
		return nil
	}, func(compare.Stage) {}))
	require.EqualValues(t, 1, done.Load())
	return o
}

// No battery is left out that a search alone, with the same work, finds to go in; what goes in stands
// up to the judge, and what is proven not to, to the check of its file.
func TestNothingIsLeftOut(t *testing.T) {
	seen := map[compare.Verdict]int{}
	for _, job := range crates(t, 30) {
		o := outcomeOf(t, job, 2)
		seen[o.Verdict]++
		p, err := job.Fixed.Problem(job.Frame, job.Entries[0])
		require.NoError(t, err)
		alone, err := search.Fit(context.Background(), p, search.Settings{Seed: 1, Work: model.Effort(job.Settings.Work)})
		require.NoError(t, err)
		require.False(t, alone.Verdict.Fits() && !o.Verdict.GoesIn(), "%s: fit alone says %v, compare %v", job.Entries[0].Name(), alone.Verdict, o.Verdict)
		switch {
		case o.Verdict.GoesIn():
			report := pack.Check(p, o.Layout)
			require.True(t, report.Holds())
			require.InDelta(t, report.Spare, o.Spare, 1e-6)
			if o.Verdict == compare.Sure {
				require.True(t, pack.Check(p.AtWorst(), o.Layout).Holds())
			}
		case o.Verdict == compare.ProvenNo:
			require.Equal(t, pack.ProvenNoFit, alone.Verdict)
			proof, err := certificate.Read(bytes.NewReader(o.Proof), "proof")
			require.NoError(t, err)
			require.NoError(t, certificate.Verify(p, proof))
			require.True(t, math.IsInf(o.Spare, -1))
		}
	}
	require.Greater(t, seen[compare.Sure]+seen[compare.Tight], 5, "%v", seen)
	require.Greater(t, seen[compare.ProvenNo], 5, "%v", seen)
}

// The same comes of a row every time.
func TestTheSameEveryTime(t *testing.T) {
	for _, job := range crates(t, 6) {
		require.Equal(t, outcomeOf(t, job, 1), outcomeOf(t, job, 3))
	}
}

// What has to end gives nothing for what it has not finished; an error of who keeps the rows ends
// it.
func TestRunEnds(t *testing.T) {
	job := crates(t, 1)[0]
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	none := func(compare.Entry, compare.Outcome) error { t.Error("nothing was finished"); return nil }
	require.ErrorIs(t, compare.Run(ctx, job, 2, none, func(compare.Stage) {}), context.Canceled)
	full := func(compare.Entry, compare.Outcome) error { return os.ErrPermission }
	require.ErrorIs(t, compare.Run(context.Background(), job, 2, full, func(compare.Stage) {}), os.ErrPermission)
}

// What is more than can be searched is a row that says so, and no end of the others.
func TestTooLargeIsARow(t *testing.T) {
	var path, posts []string
	for i := range frame.MaxPath {
		path = append(path, fmt.Sprintf("[%d, %d, -40]", 20*i, i%2))
	}
	for i := range pack.MaxPosts {
		posts = append(posts, fmt.Sprintf("{name: p%d, face: top, at: [%d, 20], diameter: 6}", i, 10+8*i))
	}
	f := frameOf(t, "{format: 1, frame: f, opening: {outline: [[0, 0], [600, 0], [600, 300], [0, 300]], across: 200}, rails: [{name: r, diameter: 20, path: ["+strings.Join(path, ", ")+"]}]}")
	c, err := pack.ReadCatalogue(strings.NewReader("{format: 1, catalogue: c, batteries: [{name: b, size: [120, 60, 80], volts: 12, amp_hours: 7, stand: [upright, on-side, on-end, inverted], tilt: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9], posts: ["+strings.Join(posts, ", ")+"]}]}"), "c")
	require.NoError(t, err)
	w, err := compare.ParseWish("1 Wh", "")
	require.NoError(t, err)
	job := compare.Job{Frame: f, Fixed: compare.FixedOf(nil), Entries: compare.Entries(f, c, nil, w, compare.Counts{Least: 2, Most: 2}), Settings: compare.Settings{Work: time.Millisecond}}
	o := outcomeOf(t, job, 1)
	require.Equal(t, compare.NotKnown, o.Verdict)
	require.Equal(t, compare.TooLarge, o.Reason)
}

// Of one battery fewer are never worse than more: rows of a search that was cut short are filled in
// from one another, with layouts that hold; and more than what does not go in does not go in.
func TestRowsOfOneBatteryAgree(t *testing.T) {
	f := frameOf(t, `{format: 1, frame: f, accuracy: 1, opening: {outline: [[0, 0], [420, 0], [460, 240], [30, 250]], across: 230}}`)
	c := catalogueOf(t, "b,97,71,83,5,12,20,40\nother,90,70,80,5,12,20,40\n")
	w, err := compare.ParseWish("1 Wh", "")
	require.NoError(t, err)
	job := compare.Job{Frame: f, Fixed: compare.FixedOf(nil), Entries: compare.Entries(f, c, nil, w, compare.Counts{Least: 7, Most: 12}), Settings: compare.Settings{Work: 30 * time.Millisecond, Seed: 1}}
	rows := make([]compare.Row, len(job.Entries))
	require.NoError(t, compare.Run(context.Background(), job, 2, func(e compare.Entry, o compare.Outcome) error {
		rows[e.Row] = compare.Row{Entry: e, Outcome: o}
		return nil
	}, func(compare.Stage) {}))
	most := 0
	for i := range rows { // as if the search had found only the largest that goes in
		if rows[i].Verdict.GoesIn() {
			most = i
		}
	}
	require.Greater(t, most, 0)
	for i := range most {
		if rows[i].Battery.Name == rows[most].Battery.Name {
			rows[i].Outcome = compare.Outcome{Spare: -1, Bound: math.Inf(1)}
		}
	}
	before := append([]compare.Row{}, rows...)
	got, err := compare.Derive(context.Background(), job, rows)
	require.NoError(t, err)
	require.Equal(t, before, rows, "what is given stays as it is")
	filled := 0
	for i, r := range got {
		if i+1 < len(got) && got[i+1].Battery.Name == r.Battery.Name && got[i+1].Verdict.GoesIn() {
			require.True(t, r.Verdict.GoesIn(), "%s", r.Name())
			require.GreaterOrEqual(t, r.Spare, got[i+1].Spare-0.011)
		}
		if !r.Verdict.GoesIn() || rows[i].Verdict.GoesIn() {
			continue
		}
		filled++
		p, err := job.Fixed.Problem(f, r.Entry)
		require.NoError(t, err)
		report := pack.Check(p, r.Layout)
		require.True(t, report.Holds())
		require.InDelta(t, report.Spare, r.Spare, 1e-9)
		require.Equal(t, p.Pack.Hash, r.Layout.PackHash)
		faults, err := entry.Verify(p, r.Layout, r.Order)
		require.NoError(t, err)
		require.Empty(t, faults)
		require.Equal(t, r.Verdict == compare.Sure, pack.Check(p.AtWorst(), r.Layout).Holds())
	}
	require.Positive(t, filled)

	no := []compare.Row{
		{Entry: job.Entries[0], Outcome: compare.Outcome{Verdict: compare.ProvenNo, Spare: math.Inf(-1), Bound: -1}},
		{Entry: job.Entries[1], Outcome: compare.Outcome{Spare: -1, Bound: 3}},
	}
	got, err = compare.Derive(context.Background(), job, no)
	require.NoError(t, err)
	require.Equal(t, compare.No, got[1].Verdict)
	require.Equal(t, "not even 7 go in, which is proven", got[1].Reason)
}
