package main

import (
	"fmt"
	"os"
	"time"

	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/demo"
)

// demoCmd opens the desk on the invented plant, planned.
type demoCmd struct {
	Listen  string  `help:"Address to listen on (default: ${usual}, or a free port)." placeholder:"HOST:PORT"`
	Seconds float64 `help:"Seconds to search for the first plan." default:"4"`
	Once    bool    `help:"End as soon as the desk is ready." hidden:""`
}

// Run sets the invented plant up in a temporary folder, plans it and serves it.
func (c *demoCmd) Run(e *env) error {
	dir, err := os.MkdirTemp("", "flutewright-demo-")
	if err != nil {
		return err
	}
	begun := time.Now()
	clock := func() time.Time { return demo.Now.Add(time.Since(begun)).Round(time.Second) } // the demo's Monday morning runs on
	d, err := openDesk(e, dir, clock)
	if err != nil {
		return err
	}
	defer d.close()
	if err := d.SetUp(e.ctx, demo.Book(), "demo"); err != nil {
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
