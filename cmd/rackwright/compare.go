package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"rackwright/export/answer"
	"rackwright/export/compared"
	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/compare"
	"rackwright/pack/entry"
)

func compareCommand() command {
	return command{
		name: "compare", args: "FRAME CATALOGUE", least: 2, most: math.MaxInt,
		summary: "find out which batteries of a catalogue go in, and which is best",
		example: "rackwright compare bike.frame.yaml bike.catalogue.yaml --want '72 V, 3 kWh' --with bike.pack.yaml --out compared",
		flags: func(set *pflag.FlagSet) func(context.Context, streams, []string) (int, error) {
			var f compareFlags
			set.StringVar(&f.want, "want", "", "`wish`, "+compare.Grammar)
			set.StringVar(&f.with, "with", "", "`pack` file whose gaps count, and whose boxes that are no batteries go in as well, such as the charger")
			set.StringVar(&f.counts, "counts", fmt.Sprintf("1-%d", pack.MaxBoxes), "`from-to`: how many of a battery to try")
			set.DurationVar(&f.time, "time", 4*time.Second, "`work` for each row, as much as takes about so long on one core; it is counted, so the same is found on any machine with the same kind of processor. What is to be sure, or proven, takes some more")
			set.Uint64Var(&f.seed, "seed", 1, "`start` of the search's random numbers")
			f.entryFlags.add(set)
			set.StringVar(&f.out, "out", "", "`folder` to write the page, the tables and each row's pack, layout and proof to; a run that was stopped goes on from what is in it")
			set.BoolVar(&f.force, "force", false, "begin anew, and replace what is in the folder")
			set.StringVar(&f.given, "shard", "", "`part` of the work, such as 3/16: writes one file of rows to --out. A job of an array finds its own")
			set.IntVar(&f.parts, "parts", 0, "`number` of jobs, where the array does not tell it to each")
			set.BoolVar(&f.merge, "merge", false, "put parts together: those in --out, or the files named behind the catalogue")
			set.BoolVar(&f.json, "json", false, "print one JSON object instead of words")
			set.BoolVar(&f.csv, "csv", false, "print a table in CSV instead of words")
			set.BoolVar(&f.quiet, "quiet", false, "print no words but errors; --json and --csv are printed all the same")
			return f.run
		},
	}
}

// compareFlags are the options of compare.
type compareFlags struct {
	want, with, counts, out, given string
	time                           time.Duration
	seed                           uint64
	parts                          int
	force, merge, json, csv, quiet bool
	entryFlags
}

// comparing is a comparison under way.
type comparing struct {
	*compareFlags
	s     streams
	job   compare.Job
	about compared.Comparison // without rows
	shard compare.Shard
}

func (f *compareFlags) run(ctx context.Context, s streams, args []string) (int, error) {
	c, err := f.prepare(ctx, s, args)
	if err != nil {
		return exitUsage, err
	}
	var outcomes map[int]compare.Outcome
	var stopped error
	if f.merge {
		outcomes, err = c.merged(ctx, args[2:])
	} else {
		outcomes, stopped, err = c.fitted(ctx)
	}
	if err != nil {
		return exitUsage, err
	}
	found := compared.Finished(c.job.Entries, outcomes)
	c.about.Rows = found
	if stopped == nil && c.shard == compare.Whole {
		switch c.about.Rows, err = compare.Derive(ctx, c.job, found); {
		case err != nil && ctx.Err() != nil:
			stopped, c.about.Rows = err, found
		case err != nil:
			return exitUsage, err
		}
	}
	var written []string
	err = nil
	if stopped == nil && f.out != "" {
		written, err = c.write(found)
	}
	if err := errors.Join(err, c.print(written)); err != nil {
		return exitUsage, err
	}
	if stopped != nil {
		c.tellStopped()
	}
	if c.shard == compare.Whole {
		return c.status(), nil
	}
	if stopped != nil {
		return exitUnknown, nil
	}
	return exitFits, nil // whatever is in the part: who starts jobs would start it again
}

// prepare reads the files and finds out what is to be done.
func (f *compareFlags) prepare(ctx context.Context, s streams, args []string) (*comparing, error) {
	tool, err := f.settings()
	if err != nil {
		return nil, err
	}
	c := &comparing{compareFlags: f, s: s, shard: compare.Whole}
	if err := c.chooseShard(args); err != nil {
		return nil, err
	}
	fr, cat, with, err := f.read(ctx, args)
	if err != nil {
		return nil, err
	}
	if strings.TrimSpace(f.want) == "" {
		return nil, fmt.Errorf("say with --want what the pack is to have, %s", compare.Grammar)
	}
	wish, err := compare.ParseWish(f.want, cat.Currency)
	if err != nil {
		return nil, err
	}
	counts, err := compare.ParseCounts(f.counts)
	if err != nil {
		return nil, fmt.Errorf("--counts: %w", err)
	}
	fixed := compare.FixedOf(with)
	c.job = compare.Job{
		Frame: fr, Fixed: fixed, Entries: compare.Entries(fr, cat, fixed.Kinds, wish, counts),
		Settings: compare.Settings{Work: f.time, Seed: f.seed, AnyEntry: f.any(), Tool: tool},
	}
	if len(c.job.Entries) == 0 {
		return nil, wish.Nothing(cat, counts)
	}
	if err := c.reachable(args[1], tool); err != nil {
		return nil, err
	}
	c.about = compared.Comparison{Frame: fr, Catalogue: cat, Fixed: fixed, Wish: wish, Header: c.header(cat, counts)}
	return c, nil
}

// leastWork is the least that makes sense.
const leastWork = 10 * time.Millisecond

// chooseShard finds out which part of the work this is.
func (c *comparing) chooseShard(args []string) error {
	switch {
	case c.time < leastWork:
		return fmt.Errorf("--time is at least %s", leastWork)
	case c.json && c.csv:
		return errors.New("give --json or --csv, not both")
	case len(args) > 2 && !c.merge:
		return fmt.Errorf("it takes FRAME CATALOGUE; files of parts such as %s are put together with --merge", harmless(args[2]))
	case c.merge && c.given != "":
		return errors.New("--merge puts all parts together: leave out --shard")
	case c.merge && len(args) == 2 && c.out == "":
		return errors.New("--merge takes the parts that are in --out, or files named behind the catalogue")
	case c.merge:
		return nil
	case c.given != "":
		shard, err := compare.ParseShard(c.given)
		c.shard = shard
		if err != nil {
			return fmt.Errorf("--shard: %w", err)
		}
	default:
		shard, by, found, err := compare.ShardOfJob(os.Getenv, c.parts)
		if err != nil {
			return err
		}
		c.shard = shard
		if found && !c.quiet {
			fmt.Fprintf(c.s.err, "rackwright compare: part %s, as %s says\n", shard, by)
		}
	}
	if c.shard != compare.Whole && c.out == "" {
		return errors.New("a part writes its rows to a folder, where --merge finds them: give --out")
	}
	return nil
}

// read reads frame, catalogue and the pack with fixed boxes. Errors of all are told at once.
func (f *compareFlags) read(ctx context.Context, args []string) (*frame.Frame, *pack.Catalogue, *pack.Pack, error) {
	fr, ferr := readFrame(ctx, args[0])
	cat, cerr := readCatalogue(ctx, args[1])
	var with *pack.Pack
	var werr error
	if f.with != "" {
		with, werr = readPack(ctx, f.with)
	}
	all := errors.Join(ferr, cerr, werr)
	if errors.Is(all, errStopped) {
		return nil, nil, nil, errStopped
	}
	if err := confused(args, ferr, cerr); err != nil {
		return nil, nil, nil, err
	}
	return fr, cat, with, all
}

// confused is an error where one kind of file stands for another: that says more than that every key
// is wrong.
func confused(args []string, ferr, cerr error) error {
	const order = "nothing was done: the frame file comes first, then the catalogue, but "
	switch {
	case hasKey(ferr, "batteries"):
		return fmt.Errorf(order+"%s is a catalogue", args[0])
	case hasKey(ferr, "boxes"):
		return fmt.Errorf(order+"%s is a pack file", args[0])
	case hasKey(cerr, "opening"):
		return fmt.Errorf(order+"%s is a frame file", args[1])
	case hasKey(cerr, "boxes"):
		return fmt.Errorf(order+"%s is a pack file, which --with takes; rackwright new --catalogue writes a catalogue", args[1])
	}
	return nil
}

// readCatalogue reads a catalogue in CSV, if it is called so, or in YAML.
func readCatalogue(ctx context.Context, path string) (*pack.Catalogue, error) {
	if strings.EqualFold(filepath.Ext(path), ".csv") {
		return fileOf(ctx, path, pack.ReadCatalogueCSV)
	}
	return fileOf(ctx, path, pack.ReadCatalogue)
}

// reachable is an error that names posts of batteries that the tool reaches in no layout.
func (c *comparing) reachable(path string, tool entry.Settings) error {
	if c.any() {
		return nil
	}
	var errs []error
	last := ""
	for _, e := range c.job.Entries {
		if e.Battery.Name == last {
			continue
		}
		last = e.Battery.Name
		p, err := c.job.Fixed.Problem(c.job.Frame, e)
		if errors.Is(err, pack.ErrProblem) {
			continue // too large: told in its row
		}
		if err != nil {
			return err
		}
		hidden, err := entry.HiddenPosts(p, tool)
		if err != nil {
			return err
		}
		for _, h := range hidden {
			errs = append(errs, fmt.Errorf("%s:%d: %s", path, e.Battery.Line, answer.HiddenWords(h, tool.Tool)))
		}
	}
	return errors.Join(errs...)
}

func (c *comparing) header(cat *pack.Catalogue, counts compare.Counts) compared.Header {
	return compared.Header{
		Format: 1, Program: version, Frame: c.job.Frame.Hash, Catalogue: cat.Hash, With: c.job.Fixed.Hash,
		Want: c.want, Least: counts.Least, Most: counts.Most, Seconds: c.time.Seconds(), Seed: c.seed,
		Entry: c.entry, Tool: c.tool, Rows: len(c.job.Entries), Part: c.shard.Part, Of: c.shard.Of,
	}
}

// fitted fits what is left of the part, and returns all outcomes of it; stopped is why it ended
// before that, if it did.
func (c *comparing) fitted(ctx context.Context) (outcomes map[int]compare.Outcome, stopped, err error) {
	book, err := c.open(ctx)
	if err != nil {
		return nil, nil, err
	}
	defer book.close()
	job := c.job
	job.Entries = nil
	for _, e := range c.job.Entries {
		if _, done := book.outcomes[e.Row]; !done && c.shard.Has(e.Row) {
			job.Entries = append(job.Entries, e)
		}
	}
	left := newTimeLeft(c.s, c.quiet, len(book.outcomes), c.time)
	err = compare.Run(ctx, job, left.workers, book.add, left.show)
	left.line.clear()
	if err != nil && ctx.Err() != nil {
		return book.outcomes, ctx.Err(), nil
	}
	return book.outcomes, nil, err
}

// status is 0 where something goes in, 1 where nothing can, else 3.
func (c *comparing) status() int {
	switch {
	case c.about.GoIn() > 0:
		return exitFits
	case len(c.about.Rows) > 0 && c.about.Closed() == c.about.Header.Rows:
		return exitNoFit
	}
	return exitUnknown
}

func (c *comparing) print(written []string) error {
	var err error
	switch {
	case c.json:
		err = c.about.WriteJSON(c.s.out)
	case c.csv:
		err = c.about.WriteCSV(c.s.out)
	case c.quiet:
	case c.shard != compare.Whole:
		_, err = fmt.Fprintf(c.s.out, "Part %s: %d rows are done. When all parts are, put them together with --merge instead of --shard.\n", c.shard, len(c.about.Rows))
	default:
		err = c.about.WriteTable(c.s.out)
	}
	if err != nil {
		return fmt.Errorf("the answer could not be printed: %w", err)
	}
	if c.json || c.csv || c.quiet {
		return nil
	}
	for _, path := range written {
		fmt.Fprintf(c.s.out, "Written: %q\n", path)
	}
	return nil
}

// tellStopped says how to go on.
func (c *comparing) tellStopped() {
	hint := "with --out it could go on from here"
	if c.out != "" {
		hint = "the same command goes on from here"
	}
	fmt.Fprintf(c.s.err, "rackwright compare: stopped with %d rows done; %s\n", len(c.about.Rows), hint)
}

// timeLeft tells on the terminal how far a run is.
type timeLeft struct {
	line    *progress
	before  int // rows that were done already
	workers int
	each    time.Duration
	since   time.Time
	looking bool
}

func newTimeLeft(s streams, quiet bool, before int, each time.Duration) *timeLeft {
	return &timeLeft{line: newProgress(s, quiet), before: before, workers: runtime.GOMAXPROCS(0), each: each, looking: true}
}

// show shows a stage, and how long it may take from what it took so far.
func (t *timeLeft) show(now compare.Stage) {
	if now.Looking {
		t.line.note(fmt.Sprintf("%d of %d looked at", now.Done, now.Of))
		return
	}
	if t.looking {
		t.looking, t.since = false, time.Now()
	}
	left := time.Duration(now.Of-now.Done) * t.each / time.Duration(t.workers)
	if now.Done > t.workers {
		left = time.Since(t.since) * time.Duration(now.Of-now.Done) / time.Duration(now.Done)
	}
	t.line.note(fmt.Sprintf("%d of %d searched, about %s left", now.Done, now.Of, left.Round(time.Second)))
}
