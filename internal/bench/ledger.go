package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/store"
	"github.com/flutewright/flutewright/work"
)

// ledgers measures the state of the floor from a long ledger, and a typed fact on it.
func ledgers(b *bytes.Buffer) error {
	book := stretched(demo.Generated(demo.Size{Lines: 2500, Items: 10000, Rolls: 2000, Seed: 3}))
	fmt.Fprint(b, "## The ledger\n\n2,500 open lines. The state of the floor is every release's counts, stacks, jobs, rolls and stops. Wanted: the state from\n1,000,000 facts in under 5 s, a typed fact acknowledged in under 20 ms with 200,000 facts in the ledger.\n\n| facts | folded in memory s | first snapshot from the store s | a typed fact ms, 95 % of 200 | and the next page's snapshot ms, 95 % |\n|---|---|---|---|---|\n")
	for _, n := range []int{200_000, 1_000_000} {
		facts := manyFacts(book, n)
		start := time.Now()
		state := trace.StateOf(facts, func(ident.Release) trace.Way { return trace.Way{} })
		folded := time.Since(start).Seconds()
		if len(state.Accounts) != len(book.Lines) {
			return fmt.Errorf("%d releases have accounts, %d lines", len(state.Accounts), len(book.Lines))
		}
		first, typed, next, err := longLedger(book, facts)
		if err != nil {
			return err
		}
		fmt.Fprintf(b, "| %d | %.1f | %.1f | %.1f | %.1f |\n", n, folded, first, percentile(typed, 95), percentile(next, 95))
	}
	b.WriteString("\n")
	return nil
}

// manyFacts are facts as a plant's terminals would send them over months, spread over all lines.
func manyFacts(book plant.Book, n int) []trace.Fact {
	kinds := []trace.Kind{trace.StackMade, trace.StackMoved, trace.JobStarted, trace.JobCounted, trace.JobCounted, trace.Bundled, trace.JobEnded, trace.UnitFound}
	out := make([]trace.Fact, n)
	for i := range out {
		l := book.Lines[i/len(kinds)%len(book.Lines)]
		f := trace.Fact{
			ID: ident.Fact(fmt.Sprintf("long-%d", i)), At: demo.Now.Add(-time.Duration(n-i) * 2 * time.Second), Kind: kinds[i%len(kinds)],
			Source: "import", Release: l.Key, Good: 20, Waste: i % 2, Machine: "FFG-1",
		}
		switch f.Kind {
		case trace.StackMade, trace.StackMoved:
			f.Stack, f.Place = ident.Stack(fmt.Sprintf("S%d", i/len(kinds))), fmt.Sprintf("L%02d", 1+i%24)
			f.Machine, f.Waste = "", 0
		case trace.UnitFound:
			f.Unit = ident.Unit(fmt.Sprintf("U%d", i))
		}
		out[i] = f
	}
	return out
}

// longLedger fills a data folder, opens a desk on it anew and types facts.
func longLedger(book plant.Book, facts []trace.Fact) (first float64, typed, next []float64, err error) {
	dir, err := os.MkdirTemp("", "flutewright-ledger-*")
	if err != nil {
		return 0, nil, nil, err
	}
	defer os.RemoveAll(dir)
	ctx := context.Background()
	s, err := store.Open(ctx, dir)
	if err != nil {
		return 0, nil, nil, err
	}
	log := slog.New(slog.NewTextHandler(io.Discard, nil))
	r := work.New(log)
	open := func() (*desk.Desk, error) {
		return desk.New(desk.Deps{Store: s, Clock: func() time.Time { return demo.Now }, Worker: r, Orders: exchange.Orders{}, Tables: exchange.Tables{}, Make: plan.Make, Check: plan.Check, Log: log})
	}
	defer func() { err = errors.Join(err, r.Shutdown(ctx), s.Close()) }()
	d, err := open()
	if err != nil {
		return 0, nil, nil, err
	}
	if err := d.SetUp(ctx, book, "bench"); err != nil {
		return 0, nil, nil, err
	}
	for from := 0; from < len(facts); from += 50_000 {
		if _, err := s.Apply(ctx, desk.Change{At: demo.Now, Who: "bench", Facts: facts[from:min(from+50_000, len(facts))]}); err != nil {
			return 0, nil, nil, err
		}
	}
	if d, err = open(); err != nil {
		return 0, nil, nil, err
	}
	start := time.Now()
	if _, err := d.Snapshot(ctx); err != nil {
		return 0, nil, nil, err
	}
	first = time.Since(start).Seconds()
	for i := range 200 {
		f := trace.Fact{ID: ident.Fact(fmt.Sprintf("typed-%d", i)), At: demo.Now, Kind: trace.JobCounted, Source: "desk", Who: "bench",
			Release: book.Lines[i*7%len(book.Lines)].Key, Machine: "FFG-1", Good: 10}
		start := time.Now()
		if _, err := d.Record(ctx, f); err != nil {
			return 0, nil, nil, err
		}
		typed = append(typed, ms(start))
		start = time.Now()
		if _, err := d.Snapshot(ctx); err != nil {
			return 0, nil, nil, err
		}
		next = append(next, ms(start))
	}
	return first, typed, next, nil
}
