// Command bench measures the product on made-up books of a real plant's size
// and writes docs/benchmark.md. It is never part of the tests.
package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"runtime"
	"time"

	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
)

func main() {
	out := flag.String("out", "docs/benchmark.md", "file to write")
	only := flag.String("only", "", "the one table to measure: plans, trims, peers, replans, ledgers, first, moments or pages; it is printed, the file is left (peers are run, and kept in docs/peers.json)")
	run := flag.Bool("peers", false, "run the general solvers again; else their last figures are shown (docs/peers.json)")
	flag.Parse()
	var b bytes.Buffer
	if *only == "" {
		fmt.Fprintf(&b, "# Benchmark\n\nWritten by `make bench`. %s/%s, %d cores, %s.\n\n", runtime.GOOS, runtime.GOARCH, runtime.NumCPU(), runtime.Version())
	}
	amiss := measure(&b, *only, *run)
	if *only == "" {
		if err := os.WriteFile(*out, b.Bytes(), 0o644); err != nil {
			fmt.Fprintln(os.Stderr, "bench:", err)
			os.Exit(1)
		}
	}
	if _, err := os.Stdout.Write(b.Bytes()); err != nil {
		amiss = errors.Join(amiss, err)
	}
	if amiss != nil {
		fmt.Fprintln(os.Stderr, "bench:", amiss)
		os.Exit(1)
	}
}

// measure writes every table, or the one of that name. A table that fails does
// not keep the others from being measured.
func measure(b *bytes.Buffer, only string, run bool) error {
	known := false
	var amiss error
	for _, table := range []struct {
		name  string
		write func(*bytes.Buffer) error
	}{
		{"plans", func(b *bytes.Buffer) error { plans(b); return nil }}, {"trims", trims}, {"peers", func(b *bytes.Buffer) error { return besideTable(b, run || only == "peers") }}, {"replans", replans}, {"ledgers", ledgers}, {"first", firstDay}, {"moments", moments}, {"pages", pages},
	} {
		if only != "" && table.name != only {
			continue
		}
		known = true
		if err := table.write(b); err != nil {
			amiss = errors.Join(amiss, fmt.Errorf("%s: %w", table.name, err))
		}
	}
	if !known {
		return fmt.Errorf("no table is called %q", only)
	}
	return amiss
}

// plans measures books planned end to end.
func plans(b *bytes.Buffer) {
	fmt.Fprintf(b, "## Books planned end to end\n\nFrom the order book to runs, rolls, set-ups, jobs and loads, every station's own check in it. Wanted: the demo book in\n5 s with at most 2.7 %% waste, 220 lines in 10 s, 2,200 lines in 60 s. Waste is side trim and rejects over web area. The 2.7 %% was set by a\nrelaxation that weighs paper alone, so the demo stands here at each price that a corrugator minute can have: a plan of least\nmoney wastes more paper the dearer its minutes are.\n\n")
	fmt.Fprintf(b, "| book | lines | trim search s | whole s | first legal plan s | runs | planned | left | waste %% | gap to bound %% | late |\n|---|---|---|---|---|---|---|---|---|---|---|\n")
	for _, c := range []struct {
		name    string
		book    plant.Book
		seconds float64
		minute  plan.Minute
	}{
		{"the demo, paper alone", demo.Book(), 3, plan.MinuteFree},
		{"the demo, idle minutes", demo.Book(), 3, plan.MinuteIdle},
		{"the demo, bottleneck", demo.Book(), 3, plan.MinuteBottleneck},
		{"a day, seed 1", demo.Generated(demo.Size{Lines: 220, Rolls: 2000, Seed: 1}), 5, plan.MinuteStated},
		{"a day, seed 2", demo.Generated(demo.Size{Lines: 220, Rolls: 2000, Seed: 2}), 5, plan.MinuteStated},
		{"two weeks, seed 1", stretched(demo.Generated(demo.Size{Lines: 2200, Rolls: 6600, Seed: 1})), 30, plan.MinuteStated},
	} {
		start := time.Now()
		first := 0.0
		p, err := plan.Make(context.Background(), c.book, plan.Options{Now: demo.Now, Seconds: c.seconds, Seed: 1, Minute: c.minute, OnProgress: func(p plan.Progress) {
			if first == 0 && p.Stage == "runs" {
				first = time.Since(start).Seconds()
			}
		}})
		if err != nil {
			fmt.Fprintf(b, "| %s | %d | failed: %v |\n", c.name, len(c.book.Lines), err)
			continue
		}
		fmt.Fprintf(b, "| %s | %d | %.0f | %.1f | %.2f | %d | %d | %d | %.2f | %.2f | %d |\n", c.name, len(c.book.Lines), c.seconds, time.Since(start).Seconds(), first,
			len(p.Runs), p.Summary.Planned, p.Summary.Unplanned, p.Totals.WastePct, p.Totals.GapPct, p.Summary.Late)
	}
	b.WriteString("\nLines are left where no legal run makes them: a web too wide for them alone and no partner, or paper that is not there; the\nplan says which. A generated book has no deliveries on the way.\n\n")
}
