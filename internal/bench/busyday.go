package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/store"
)

// A day of a busy plant: common practice, no published source.
const (
	busyPlanned = 440     // lines of two days, in the plan in force
	busyStacks  = 500     // stacks of sheets on the floor
	busyFacts   = 200_000 // in the ledger, most of them of orders that have gone
)

// busyDay enters a book, plans its first two days in every area, and fills the
// ledger. It returns a planned line of which boxes were made.
func busyDay(ctx context.Context, d *desk.Desk, s *store.Store) (order.Line, error) {
	book := stretched(demo.Generated(demo.Size{Lines: 2500, Items: 10000, Rolls: 2000, Seed: 3}))
	slices.SortStableFunc(book.Lines, func(a, b order.Line) int { return a.Due.Compare(b.Due) })
	later := book.Lines[busyPlanned:]
	book.Lines = book.Lines[:busyPlanned:busyPlanned]
	if err := d.SetUp(ctx, book, "bench"); err != nil {
		return order.Line{}, err
	}
	if err := told(ctx, s, standing(book.Lines)); err != nil {
		return order.Line{}, err
	}
	made, err := inForce(ctx, d)
	if err != nil {
		return order.Line{}, err
	}
	for _, l := range later {
		if err := d.SaveLine(ctx, l, 0, "bench", ""); err != nil {
			return order.Line{}, err
		}
	}
	i := slices.IndexFunc(book.Lines, func(l order.Line) bool {
		return l.Quantity >= 2000 && l.Due.After(demo.Now) && slices.ContainsFunc(made.Clock.Jobs, func(j jobs.Job) bool { return j.Release == l.Key && j.Machine == "FFG-1" })
	})
	if i < 0 {
		return order.Line{}, errors.New("no planned line of 2,000 boxes or more")
	}
	if err := told(ctx, s, busyLedger(book.Lines[i])); err != nil {
		return order.Line{}, err
	}
	return book.Lines[i], nil
}

// inForce makes a plan and puts it in force in every area.
func inForce(ctx context.Context, d *desk.Desk) (*plan.Plan, error) {
	id, err := d.StartPlan(ctx, desk.PlanOptions{Seconds: 10, Seed: 1}, "bench")
	if err != nil {
		return nil, err
	}
	heads, err := d.WatchPlan(ctx, id)
	if err != nil {
		return nil, err
	}
	for range heads { // each step; the channel closes at the end
	}
	p, _, err := d.Plan(ctx, id)
	if err != nil {
		return nil, err
	}
	snap, err := d.Snapshot(ctx)
	if err != nil {
		return nil, err
	}
	for _, area := range snap.Areas() {
		if err := d.PutInForce(ctx, id, area, "bench"); err != nil {
			return nil, err
		}
	}
	return p, nil
}

// told puts facts into the ledger as they stand, in lots.
func told(ctx context.Context, s *store.Store, facts []trace.Fact) error {
	for lot := range slices.Chunk(facts, 50_000) {
		if _, err := s.Apply(ctx, desk.Change{At: demo.Now, Who: "bench", Facts: lot}); err != nil {
			return err
		}
	}
	return nil
}

// standing is the stacks on the floor, which the plan starts from.
func standing(lines []order.Line) []trace.Fact {
	out := make([]trace.Fact, busyStacks)
	for i := range out {
		out[i] = trace.Fact{ID: ident.Fact(fmt.Sprintf("stands-%d", i)), At: demo.Now.Add(-time.Hour), Kind: trace.StackFound, Source: "import",
			Release: lines[i%len(lines)].Key, Stack: ident.Stack(fmt.Sprintf("S%d", i)), Good: 200, Place: fmt.Sprintf("L%02d", 1+i%24)}
	}
	return out
}

// busyLedger is months of facts of orders that have gone, then the job that made most of l.
func busyLedger(l order.Line) []trace.Fact {
	gone := []trace.Kind{trace.JobStarted, trace.JobCounted, trace.JobCounted, trace.Bundled, trace.JobEnded, trace.UnitFound, trace.UnitShipped}
	out := make([]trace.Fact, 0, busyFacts)
	for i := range busyFacts - busyStacks - 2 {
		lot := i / len(gone)
		f := trace.Fact{ID: ident.Fact(fmt.Sprintf("gone-%d", i)), At: demo.Now.Add(-time.Duration(busyFacts-i) * 20 * time.Second), Kind: gone[i%len(gone)],
			Source: "import", Release: ident.NewRelease(fmt.Sprintf("%07d", 3100000+lot), "", ""), Good: 200, Machine: "FFG-1"}
		if f.Kind == trace.UnitFound || f.Kind == trace.UnitShipped {
			f.Unit, f.Machine = ident.Unit(fmt.Sprintf("U%d", lot)), ""
		}
		out = append(out, f)
	}
	for i, k := range []trace.Kind{trace.JobStarted, trace.JobEnded} {
		f := trace.Fact{ID: ident.Fact(fmt.Sprintf("made-%d", i)), At: demo.Now.Add(-time.Duration(30-20*i) * time.Minute), Kind: k, Source: "import", Release: l.Key, Machine: "FFG-1"}
		if k == trace.JobEnded {
			f.Good = l.Quantity * 9 / 10
		}
		out = append(out, f)
	}
	return out
}
