package main

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/demo"
)

const (
	replanSeconds = 0.9 // of search after a change
	anewSeconds   = 5.0 // of a plan from nothing, beside it
)

// replans measures what a change of a plan in force costs and how long its answer takes.
func replans(b *bytes.Buffer) error {
	fmt.Fprintf(b, "## Replanning\n\nA day of 220 lines is planned in %.0f s of search, the first three runs are frozen, and one thing changes. Wanted: an answer under 1 s, at most\n0.2 %% dearer than the same orders planned anew from nothing (in %.0f s). Orders that stand in other runs than before have moved. Orders left have no\nlegal run in either.\n\n", anewSeconds, anewSeconds)
	b.WriteString("| change | s | left | left anew | dearer than anew % | orders moved | runs kept |\n|---|---|---|---|---|---|---|\n")
	ctx := context.Background()
	was, err := plan.Trim(demo.Generated(demo.Size{Lines: 220, Rolls: 2000, Seed: 1}), plan.Options{Now: demo.Now})
	if err != nil {
		return err
	}
	before, err := runs.Solve(ctx, was, runs.Options{Seed: 1, Seconds: anewSeconds})
	if err != nil {
		return err
	}
	frozen := []int{1, 2, 3}
	held := map[string]bool{} // orders of the frozen runs: they do not change
	for _, r := range before.Runs[:len(frozen)] {
		for _, l := range r.Lanes {
			held[l.Order] = true
		}
	}
	free := slices.IndexFunc(was.Orders, func(o runs.Order) bool { return !held[o.Order] && len(o.BarredWebs) == 0 })
	web := mostRun(before, len(frozen))
	for _, c := range []struct {
		name   string
		change func(p *runs.Problem)
	}{
		{"a rush order", func(p *runs.Problem) {
			o := p.Orders[free]
			o.Order += "-rush"
			p.Orders = append(p.Orders, o)
		}},
		{"an order cut to half", func(p *runs.Problem) { p.Orders[free].Sheets /= 2 }},
		{"an order gone", func(p *runs.Problem) { p.Orders = slices.Delete(p.Orders, free, free+1) }},
		{fmt.Sprintf("the web run most, %.0f mm, gone", web.Millimetres()), func(p *runs.Problem) { p.BarredWebs = append(p.BarredWebs, web) }},
	} {
		now := was
		now.Orders, now.BarredWebs = slices.Clone(was.Orders), slices.Clone(was.BarredWebs)
		c.change(&now)
		start := time.Now()
		ways, err := runs.Replan(ctx, now, before, frozen, runs.Options{Seed: 1, Seconds: replanSeconds})
		took := time.Since(start).Seconds()
		if err != nil {
			return fmt.Errorf("%s: %w", c.name, err)
		}
		now.Frozen = append(slices.Clone(now.Frozen), before.Runs[:len(frozen)]...)
		anew, err := runs.Solve(ctx, now, runs.Options{Seed: 1, Seconds: anewSeconds})
		if err != nil {
			return fmt.Errorf("%s: %w", c.name, err)
		}
		best := ways[0]
		fmt.Fprintf(b, "| %s | %.2f | %d | %d | %.3f | %d | %d of %d |\n", c.name, took, len(best.Answer.Unplanned), len(anew.Unplanned),
			gap(float64(best.Answer.Totals.Cost), float64(anew.Totals.Cost)), len(best.Moves), best.Kept, len(before.Runs))
	}
	b.WriteString("\n")
	return nil
}

// mostRun is the web that a plan runs most metres on, its first runs aside.
func mostRun(a runs.Answer, aside int) quantity.Length {
	metres := map[quantity.Length]quantity.Distance{}
	var best quantity.Length
	for _, r := range a.Runs[aside:] {
		if metres[r.Web] += r.Length; metres[r.Web] > metres[best] {
			best = r.Web
		}
	}
	return best
}
