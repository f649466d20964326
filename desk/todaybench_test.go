package desk_test

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/trace"
)

// planOfAll is a plan made by hand of a whole book: two lines a run, five plies
// each, one job a line; nothing in it is worked out.
func planOfAll(b plant.Book, now time.Time) *plan.Plan {
	p := &plan.Plan{Now: now}
	machines := b.Plant.Machines
	for i, l := range b.Lines {
		seq := i/2 + 1
		at := now.Add(time.Duration(seq) * 8 * time.Minute)
		if i%2 == 0 {
			p.Runs = append(p.Runs, runs.Run{Seq: seq, Grade: b.Plant.Grades[seq%len(b.Plant.Grades)].Code, Web: 2200 * quantity.Millimetre, Length: quantity.FromMetres(1500)})
			p.Clock.Runs = append(p.Clock.Runs, jobs.RunTime{Run: seq, Start: at, End: at.Add(8 * time.Minute)})
			for ply := range 5 {
				r := b.Rolls[(i+ply)%len(b.Rolls)]
				p.Rolls.Needs = append(p.Rolls.Needs, rolls.PlyNeed{Run: seq, Ply: ply + 1, Stand: fmt.Sprint("stand ", ply), Paper: r.Paper, Web: r.Width, Metres: quantity.FromMetres(1500), Rolls: []rolls.RollUse{{Roll: r.ID, Metres: quantity.FromMetres(1400)}}})
			}
		}
		run := &p.Runs[seq-1]
		run.Lanes = append(run.Lanes, runs.Lane{Order: l.Key.String(), Level: 1, Outs: 2, Cuts: 800, Sheets: 1600})
		p.Demands = append(p.Demands, plan.Demand{Release: l.Key, Item: l.Item, Customer: l.Customer, Wanted: 1600, PerSheet: 1, Boxes: l.Quantity})
		p.Clock.Jobs = append(p.Clock.Jobs, jobs.Job{Release: l.Key, Step: 1, Machine: machines[i%len(machines)].Code, Sheets: 1600, Pieces: 1550, Start: at.Add(2 * time.Hour), End: at.Add(3 * time.Hour), LatestStart: l.Due})
		p.Clock.Finishes = append(p.Clock.Finishes, jobs.Finish{Release: l.Key, Due: l.Due, MadeAt: at.Add(3 * time.Hour), AtDock: at.Add(4 * time.Hour), LatestExit: l.Due.Add(-6 * time.Hour), Float: quantity.InMinutes(l.Due.Sub(at.Add(4 * time.Hour)))})
	}
	return p
}

// BenchmarkToday is the page of 05:50 on 2,500 open lines with 200,000 facts in
// the ledger, each time with one new fact; 2 s are allowed.
func BenchmarkToday(b *testing.B) {
	h := bigHouse(b)
	book := h.snapshot(b).Book
	p := planOfAll(book, h.now)
	h.make = func(context.Context, plant.Book, plan.Options) (*plan.Plan, error) { return p, nil }
	id, err := h.StartPlan(b.Context(), desk.PlanOptions{}, "Ana")
	if err != nil {
		b.Fatal(err)
	}
	heads, err := h.WatchPlan(b.Context(), id)
	if err != nil {
		b.Fatal(err)
	}
	for range heads {
	}
	if err := h.PutInForce(b.Context(), id, desk.AreaCorrugator, "Ana"); err != nil {
		b.Fatal(err)
	}
	machines := book.Plant.Machines
	for part := range 20 {
		c := desk.Change{At: h.now, Who: "Ana"}
		for i := range 10_000 {
			n := part*10_000 + i
			l := book.Lines[n%len(book.Lines)]
			c.Facts = append(c.Facts, trace.Fact{
				ID: ident.Fact(fmt.Sprint("f", n)), At: h.now.Add(-time.Duration(n) * time.Second).UTC(), Kind: trace.JobCounted, Source: "desk", Who: "Ana",
				Machine: machines[n%len(book.Lines)%len(machines)].Code, Release: l.Key, Good: 10, Waste: n % 3,
			})
		}
		if _, err := h.store.Apply(b.Context(), c); err != nil {
			b.Fatal(err)
		}
	}
	h.snapshot(b)
	n := 0
	b.ResetTimer()
	for b.Loop() {
		n++
		if _, err := h.Record(b.Context(), trace.Fact{ID: ident.Fact(fmt.Sprint("new", n)), At: h.now, Kind: trace.JobCounted, Source: "desk", Machine: machines[0].Code, Release: book.Lines[n%2500].Key, Good: 1}); err != nil {
			b.Fatal(err)
		}
		if _, err := h.Today(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
}
