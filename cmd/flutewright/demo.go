package main

import (
	"context"
	"fmt"
	"os"
	"sync/atomic"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
)

// demoCmd opens the desk on the invented plant, planned.
type demoCmd struct {
	Listen  string  `help:"Address to listen on (default: ${usual}, or a free port)." placeholder:"HOST:PORT"`
	Seconds float64 `help:"Seconds to search for the first plan." default:"4"`
	Once    bool    `help:"End as soon as the desk is ready." hidden:""`

	clock  func() time.Time               // nil: the demo's Monday morning, running on
	agreed map[ident.Item][]ident.Machine // routes agreed on beside the book's own
	rounds int                            // of the search, so that the plan is the same each time; 0: by the clock
}

// Run sets the invented plant up in a temporary folder, plans it and serves it.
func (c *demoCmd) Run(e *env) error {
	dir, err := os.MkdirTemp("", "flutewright-demo-")
	if err != nil {
		return err
	}
	if c.clock == nil {
		c.clock = runningFrom(demo.Now)
	}
	var at atomic.Pointer[time.Time] // while the book is entered, its own moments
	d, err := openDesk(e, dir, func() time.Time {
		if t := at.Load(); t != nil {
			return *t
		}
		return c.clock()
	})
	if err != nil {
		return err
	}
	defer d.close()
	if c.rounds > 0 {
		d.Make = func(ctx context.Context, b plant.Book, o plan.Options) (*plan.Plan, error) {
			o.Rounds = c.rounds
			return plan.Make(ctx, b, o)
		}
	}
	if err := enter(e, d, &at, c.agreed); err != nil {
		return err
	}
	l, err := listen(e.ctx, c.Listen)
	if err != nil {
		return err
	}
	d.warn(e, l)
	fmt.Fprintln(e.stdout, "Planning the invented plant …")
	h, err := c.plan(e, d)
	if err != nil {
		return err
	}
	fmt.Fprintf(e.stdout, "%d orders planned on %d runs with %.1f %% waste.\nThe desk stands at http://%s/ and keeps its data in %s\nEnd it with Ctrl-C.\n",
		h.Summary.Planned, h.Totals.Runs, h.Totals.WastePct, l.Addr(), dir)
	if c.Once {
		return l.Close()
	}
	return d.serve(e.ctx, l, nil)
}

// runningFrom is a clock that shows t now and runs on.
func runningFrom(t time.Time) func() time.Time {
	begun := time.Now()
	return func() time.Time { return t.Add(time.Since(begun)).Round(time.Second) }
}

// enter takes in the demo's book as it stood on Friday, then what came in
// since, each at its moment, so that the desk knows what is new.
func enter(e *env, d *openedDesk, at *atomic.Pointer[time.Time], agreed map[ident.Item][]ident.Machine) error {
	book, came := demo.Weekend()
	for i, it := range book.Items {
		if route, ok := agreed[it.Code]; ok {
			book.Items[i].Route = route
		}
	}
	at.Store(&demo.Entered)
	if err := d.SetUp(e.ctx, book, "demo"); err != nil {
		return err
	}
	for _, a := range came {
		at.Store(&a.At)
		if err := d.SaveLine(e.ctx, a.Line, 0, "demo", a.Line.Note); err != nil {
			return err
		}
	}
	at.Store(nil)
	return nil
}

func (c *demoCmd) plan(e *env, d *openedDesk) (desk.PlanHead, error) {
	id, err := d.StartPlan(e.ctx, desk.PlanOptions{Seconds: c.Seconds, Seed: 1, Note: "first plan of the demo"}, "demo")
	if err != nil {
		return desk.PlanHead{}, err
	}
	heads, err := d.WatchPlan(e.ctx, id)
	if err != nil {
		return desk.PlanHead{}, err
	}
	for range heads { // each step; the channel closes at the end
	}
	if err := e.ctx.Err(); err != nil {
		return desk.PlanHead{}, err
	}
	h, err := d.PlanHead(e.ctx, id)
	if err == nil && !h.State.Usable() {
		err = fmt.Errorf("the demo could not be planned: %s", h.Fault)
	}
	return h, err
}
