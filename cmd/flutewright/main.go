// Command flutewright is the planning and technical desk of a corrugated-board
// box plant: a desk in the browser, and the same engines from the shell.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"time"
	_ "time/tzdata" // a plant's time zone must be known on any machine

	"github.com/alecthomas/kong"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/exchange/schema"
)

// cli is the map of commands, one file each, in the order of the material's way.
type cli struct {
	Serve    serveCmd    `cmd:"" help:"Open the desk in the browser on your own data."`
	Demo     demoCmd     `cmd:"" help:"Open the desk on an invented plant, planned."`
	Blank    blankCmd    `cmd:"" help:"Compute and draw a blank from a box's inside size."`
	Strength strengthCmd `cmd:"" help:"Estimate compression strength and what a stack may bear."`
	Plan     planCmd     `cmd:"" help:"Plan an order file the whole way, to runs, rolls, jobs, loads and tags."`
	Trim     trimCmd     `cmd:"" help:"Combine orders across the web: the corrugator engine alone."`
	Jobs     jobsCmd     `cmd:"" help:"Sequence jobs on machines with set-up and due times, or a flow shop."`
	Webs     websCmd     `cmd:"" help:"Price sets of web widths on past orders: which are worth keeping."`
	Pallet   palletCmd   `cmd:"" help:"Lay one layer of equal cases or bundles on a deck."`
	Tag      tagCmd      `cmd:"" help:"Number a unit load by GS1 and print its barcode."`
	Schema   schemaCmd   `cmd:"" help:"Print the JSON Schema of a document."`
	Copy     copyCmd     `cmd:"" help:"Write everything that a desk's data folder holds as one file."`
	Restore  restoreCmd  `cmd:"" help:"Make a data folder from such a file."`
}

// env is what a command may touch of the world.
type env struct {
	ctx    context.Context
	stdin  io.Reader
	stdout io.Writer
	stderr io.Writer
	clock  func() time.Time // nil: the machine's own
}

// now is the time of day.
func (e *env) now() time.Time {
	if e.clock == nil {
		return time.Now()
	}
	return e.clock()
}

// Exit statuses of the public face.
const (
	exitOK      = 0
	exitFailed  = 1 // our own failure
	exitInput   = 2 // wrong input: one line per fault on standard error
	exitNothing = 3 // nothing can be planned; the answer with its reasons is written all the same
)

// errNothingPlanned ends a command with exit status 3 after its answer is written.
var errNothingPlanned = errors.New("none of the orders can be planned")

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(&env{ctx, os.Stdin, os.Stdout, os.Stderr, nil}, os.Args[1:])
	stop()
	os.Exit(code)
}

// run is main without the process: it parses the arguments, runs one command
// and returns the exit status.
func run(e *env, args []string) int {
	var c cli
	code := -1
	parser, err := kong.New(&c,
		kong.Name("flutewright"),
		kong.Description("Plan a corrugated-board box plant: boxes, runs, rolls, jobs, loads and tags."),
		kong.UsageOnError(),
		kong.Vars{"usual": usualAddress, "documents": strings.Join(schema.Names(), ", ")},
		kong.Writers(e.stdout, e.stderr),
		kong.Exit(func(status int) { code = status }),
		kong.Bind(e),
	)
	if err != nil {
		fmt.Fprintln(e.stderr, "flutewright:", err)
		return exitFailed
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	k, err := parser.Parse(args)
	if code >= 0 { // --help or --version has written its text
		return code
	}
	if err != nil {
		fmt.Fprintf(e.stderr, "flutewright: %v\nSee flutewright --help.\n", err)
		return exitInput
	}
	return report(e, k.Run())
}

// report turns a command's error into lines on standard error and an exit status.
func report(e *env, err error) int {
	if err == nil {
		return exitOK
	}
	for _, line := range fault.Lines(err) {
		fmt.Fprintln(e.stderr, "flutewright:", line)
	}
	switch {
	case errors.Is(err, errNothingPlanned):
		return exitNothing
	case errors.Is(err, fault.Invalid), errors.Is(err, fault.NotFound), errors.Is(err, fault.Refused),
		errors.Is(err, fault.Infeasible), errors.Is(err, fs.ErrNotExist), errors.Is(err, fs.ErrPermission):
		return exitInput
	}
	return exitFailed
}
