package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os/exec"
	"runtime"
	"time"

	"github.com/spf13/pflag"

	"rackwright/export/answer"
	"rackwright/export/bench"
	"rackwright/pack"
	"rackwright/pack/search"
)

func benchCommand() command {
	return command{
		name: "bench", args: "FRAME PACK [LAYOUT]", least: 2, most: 3,
		summary: "move boxes by hand in a browser, with the judge watching",
		example: "rackwright bench bike.frame.yaml bike.pack.yaml mock-ups/layout-1.yaml",
		flags: func(set *pflag.FlagSet) func(context.Context, streams, []string) (int, error) {
			f := benchFlags{}
			set.IntVar(&f.port, "port", 0, "`number` of the port on this computer; 0 for a free one")
			set.BoolVar(&f.noOpen, "no-open", false, "only print the address, open no browser")
			set.StringVar(&f.save, "save", "by-hand.yaml", "`file` that a new layout is saved to, where none is given")
			set.DurationVar(&f.time, "time", 10*time.Second, "most `time` that fitting the rest takes")
			return f.run
		},
	}
}

// benchFlags are the options of bench.
type benchFlags struct {
	port   int
	noOpen bool
	save   string
	time   time.Duration
}

// headerTime is how long a page's request may take to say what it asks.
const headerTime = 10 * time.Second

func (f *benchFlags) run(ctx context.Context, s streams, args []string) (int, error) {
	if f.port < 0 || f.port > 65535 {
		return exitUsage, fmt.Errorf("--port is from 0 to 65535, not %d", f.port)
	}
	if f.time <= 0 {
		return exitUsage, errors.New("--time has to be more than 0")
	}
	files, err := f.files(args)
	if err != nil {
		return exitUsage, err
	}
	work, err := files.Read(ctx, bench.Parts{Frame: true, Pack: true, Layout: true})
	if err != nil {
		return exitUsage, err
	}
	filed := work.Layout.Placements != nil
	if !filed {
		if work.Layout, err = f.first(ctx, work.Problem); err != nil {
			return exitUsage, err
		}
	}
	listener, err := net.Listen("tcp", fmt.Sprintf("127.0.0.1:%d", f.port))
	if err != nil {
		return exitUsage, fmt.Errorf("the bench cannot be set up at port %d: %w; give another --port, or none", f.port, err)
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	token := rand.Text()
	server := bench.NewServer(bench.NewDesk(work, filed), listener.Addr().String(), token, f.fit, files)
	address := fmt.Sprintf("http://%s/?token=%s", listener.Addr(), token)
	fmt.Fprintf(s.out, "The bench is at %s\nOnly this computer can reach it. Ctrl-C ends it; what is not saved is then lost.\n", address)
	if !f.noOpen {
		open(address)
	}
	go files.watch(ctx, server)
	return exitFits, serve(ctx, listener, server.Handler(ctx))
}

// serve answers until ctx ends.
func serve(ctx context.Context, listener net.Listener, handler http.Handler) error {
	web := http.Server{Handler: handler, ReadHeaderTimeout: headerTime}
	go func() {
		<-ctx.Done()
		web.Close()
	}()
	if err := web.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// open shows an address in the browser, where there is a way to; it is printed in any case.
func open(address string) {
	way := map[string][]string{"windows": {"rundll32", "url.dll,FileProtocolHandler"}, "darwin": {"open"}}[runtime.GOOS]
	if way == nil {
		way = []string{"xdg-open"}
	}
	c := exec.Command(way[0], append(way[1:], address)...)
	if c.Start() == nil {
		go func() { _ = c.Wait() }() // whether it opened is seen on the screen
	}
}

// first is a layout to begin with where none is given: the nearest to a fit that a short search finds.
func (f *benchFlags) first(ctx context.Context, p pack.Problem) (pack.Layout, error) {
	l, _, err := f.fit(ctx, p, func(string) {})
	if err != nil {
		return l, err
	}
	l.FrameHash, l.PackHash = p.Frame.Hash, p.Pack.Hash
	return l, nil
}

// fit is the search behind the bench.
func (f *benchFlags) fit(ctx context.Context, p pack.Problem, told func(string)) (pack.Layout, string, error) {
	limited, cancel := context.WithTimeout(ctx, f.time)
	defer cancel()
	last := time.Time{}
	r, err := search.Fit(limited, p, search.Settings{Layouts: 1, Seed: 1, Progress: func(now search.Progress) {
		if time.Since(last) > redraw {
			last = time.Now()
			told(fmt.Sprintf("%s: %s", now.Note, spareAndBound(now, p.Pack.Unit)))
		}
	}})
	switch {
	case err != nil:
		return pack.Layout{}, "", err
	case len(r.Layouts) == 0:
		return pack.Layout{}, "", errors.New("no layout was found in this time")
	case r.Verdict == pack.ProvenNoFit:
		return r.Layouts[0].Layout, "It does not fit like this: that is proven. Here is the nearest.", nil
	case r.Spare < 0 || !r.Verdict.Fits():
		return r.Layouts[0].Layout, "No fit found, which is no proof that there is none. Here is the nearest.", nil
	}
	return r.Layouts[0].Layout, "The rest is fitted: " + answer.SpareWords(r.Spare, p.Pack.Unit) + ".", nil
}
