// Command rackwright fits battery boxes, charger and controller into the frame
// opening of a vehicle that is being converted to electric drive.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"
	"syscall"

	"github.com/spf13/pflag"
)

// Exit statuses.
const (
	exitFits    = 0 // it fits, or the check holds
	exitNoFit   = 1 // it does not: proven, or the check fails
	exitUsage   = 2 // a wrong command line or file, or output that cannot be written
	exitUnknown = 3 // no fit found, and not proven that there is none
)

// command is one of the program's commands. run gets the arguments that are not flags.
type command struct {
	name, args, summary, example string
	flags                        func(*pflag.FlagSet) func(ctx context.Context, s streams, args []string) (int, error)
	least, most                  int // arguments
}

// streams are where a command reads and writes.
type streams struct {
	out, err io.Writer
	terminal bool // err is a terminal
}

func commands() []command {
	return []command{newCommand(), fitCommand(), checkCommand(), mockCommand(), reportCommand(), balanceCommand(), surveyCommand(), wireCommand(), rackCommand(), compareCommand(), benchCommand()}
}

// memory is what the program keeps itself to by collecting garbage more often, unless
// GOMEMLIMIT says otherwise: an old laptop has to do.
const memory = 384 << 20

// garbage is how many percent of what is in use are added before garbage is collected, as long as
// memory is not short, unless GOGC says otherwise. With the usual 100 the search does a tenth less in
// the same time.
const garbage = 400

func main() {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(memory)
	}
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(garbage)
	}
	ctx, stop := signal.NotifyContext(context.Background(), endings()...)
	go func() { // a second signal ends the program at once
		<-ctx.Done()
		stop()
	}()
	os.Exit(run(ctx, os.Args[1:], streams{os.Stdout, os.Stderr, isTerminal(os.Stderr)}))
}

// endings are the signals that end a search with what it has. A terminal that is closed is one,
// unless the program was started so as to outlive it (nohup).
func endings() []os.Signal {
	list := []os.Signal{os.Interrupt, syscall.SIGTERM}
	if !signal.Ignored(syscall.SIGHUP) {
		list = append(list, syscall.SIGHUP)
	}
	return list
}

// run carries out a command line and returns the exit status.
func run(ctx context.Context, args []string, s streams) int {
	if len(args) == 0 {
		usage(s.err)
		return exitUsage
	}
	switch args[0] {
	case "--help", "-h":
		usage(s.out)
		return exitFits
	case "help":
		return help(args[1:], s)
	case "--version":
		fmt.Fprintln(s.out, "rackwright", version)
		return exitFits
	}
	for _, c := range commands() {
		if c.name == args[0] {
			return c.run(withLast(ctx), args[1:], s)
		}
	}
	fmt.Fprintf(s.err, "rackwright: %q is no command; see rackwright --help\n", args[0])
	return exitUsage
}

const version = "0.1"

func usage(w io.Writer) {
	fmt.Fprint(w, `rackwright fits battery boxes, charger and controller into the opening of a frame,
and says how many millimetres are to spare.

Usage: rackwright COMMAND [OPTIONS] FILES

`)
	for _, c := range commands() {
		fmt.Fprintf(w, "  %-29s %s\n", c.name+" "+c.args, c.summary)
	}
	fmt.Fprint(w, `
rackwright COMMAND --help tells the options of each, rackwright help what there is to read.
Start with:

  rackwright new bike
  rackwright fit bike.frame.yaml bike.pack.yaml
`)
}

// run parses the flags of a command and runs it.
func (c command) run(ctx context.Context, args []string, s streams) int {
	flags := pflag.NewFlagSet(c.name, pflag.ContinueOnError)
	flags.SetOutput(io.Discard)
	flags.SortFlags = false
	do := c.flags(flags)
	help := flags.BoolP("help", "h", false, "show this text")
	err := flags.Parse(args)
	if *help || errors.Is(err, pflag.ErrHelp) {
		c.help(s.out, flags)
		return exitFits
	}
	if err == nil && (flags.NArg() < c.least || flags.NArg() > c.most) {
		err = fmt.Errorf("it takes %s, but the names given are %d", c.args, flags.NArg())
	}
	if err != nil {
		fmt.Fprintf(s.err, "rackwright %s: %s\n  for example: %s\n", c.name, harmless(err.Error()), c.example)
		return exitUsage
	}
	status, err := do(ctx, s, flags.Args())
	if errors.Is(err, errStopped) {
		status = exitUnknown
	}
	if err != nil {
		fmt.Fprintf(s.err, "rackwright %s: %s\n", c.name, harmless(err.Error()))
	}
	return status
}

func (c command) help(w io.Writer, flags *pflag.FlagSet) {
	fmt.Fprintf(w, "%s\n\nUsage: rackwright %s %s\n\nExample:\n  %s\n\nOptions:\n%s", c.summary, c.name, c.args, c.example, options(flags))
}

// options lists options without what only a programmer reads: that a switch may be given
// true or false, and that a list begins empty.
func options(flags *pflag.FlagSet) string {
	const truth = "[=true|false]"
	text := strings.ReplaceAll(flags.FlagUsages(), truth, strings.Repeat(" ", len(truth)))
	return strings.ReplaceAll(text, " (default [])", "")
}

func isTerminal(f *os.File) bool {
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
