package desk

import (
	"context"
	"sync"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
)

// PlanState says how far a plan is.
type PlanState string

const (
	PlanRunning     PlanState = "running"
	PlanReady       PlanState = "ready"
	PlanCancelled   PlanState = "cancelled"   // by a person; holds the best so far and can be used
	PlanInterrupted PlanState = "interrupted" // the process died; can be started again
	PlanFailed      PlanState = "failed"
)

// Usable reports whether the plan has a body that may be put in force.
func (s PlanState) Usable() bool { return s == PlanReady || s == PlanCancelled }

// Ended reports whether nothing about the plan can change any more.
func (s PlanState) Ended() bool { return s.Usable() || s == PlanFailed }

// PlanOptions are what a person chooses for a plan. The zero value works.
type PlanOptions struct {
	Seconds float64 `json:"seconds,omitempty"` // wall-clock budget; 0: the planner's own
	Seed    uint64  `json:"seed,omitempty"`
	Note    string  `json:"note,omitempty"`

	Choices plan.Choices `json:"choices,omitzero"` // by hand; the engines plan around them
	Broken  []string     `json:"broken,omitempty"` // areas whose freeze is broken
	By      string       `json:"by,omitempty"`     // who agreed to that
	From    ident.Plan   `json:"from,omitempty"`   // the plan that is priced beside it: made without the last choice
}

// PlanHead is a plan without its body.
type PlanHead struct {
	ID       ident.Plan    `json:"plan"`
	Started  time.Time     `json:"started"`
	Ended    time.Time     `json:"ended,omitzero"`
	Who      string        `json:"who"`
	Note     string        `json:"note,omitempty"`
	Options  PlanOptions   `json:"options"`
	Revision int64         `json:"revision"` // of the book and ledger it was made from
	State    PlanState     `json:"state"`
	Progress plan.Progress `json:"progress"`
	Summary  plan.Summary  `json:"summary"`
	Totals   runs.Totals   `json:"totals"`
	Fault    string        `json:"fault,omitempty"` // why it failed, in words
}

// PlanHead returns a plan's head, with live progress while it runs. fault.NotFound.
func (d *Desk) PlanHead(ctx context.Context, id ident.Plan) (PlanHead, error) {
	if h, ok := d.live.head(id); ok {
		return h, nil
	}
	return d.Store.PlanHead(ctx, id)
}

// Plans returns the heads of all plans, newest first.
func (d *Desk) Plans(ctx context.Context) ([]PlanHead, error) {
	heads, err := d.Store.PlanHeads(ctx)
	if err != nil {
		return nil, err
	}
	for i, h := range heads {
		if now, ok := d.live.head(h.ID); ok {
			heads[i] = now
		}
	}
	return heads, nil
}

// planCache keeps the last decoded plans; a plan that ended never changes.
type planCache struct {
	mu    sync.Mutex
	order []ident.Plan
	plans map[ident.Plan]cachedPlan
}

type cachedPlan struct {
	plan *plan.Plan
	head PlanHead
}

// cachedPlans is enough to lay two plans side by side while a third is shown.
const cachedPlans = 4

func (c *planCache) get(id ident.Plan) (cachedPlan, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	p, ok := c.plans[id]
	return p, ok
}

func (c *planCache) put(p cachedPlan) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.plans == nil {
		c.plans = map[ident.Plan]cachedPlan{}
	}
	if _, known := c.plans[p.head.ID]; !known {
		c.order = append(c.order, p.head.ID)
	}
	c.plans[p.head.ID] = p
	if len(c.order) > cachedPlans {
		delete(c.plans, c.order[0])
		c.order = c.order[1:]
	}
}

// Plan returns a usable plan; it is shared and must not be changed.
// fault.NotFound if there is no such plan, fault.Refused if it has no body.
func (d *Desk) Plan(ctx context.Context, id ident.Plan) (*plan.Plan, PlanHead, error) {
	if p, ok := d.plans.get(id); ok {
		return p.plan, p.head, nil
	}
	p, h, err := d.Store.Plan(ctx, id)
	if err != nil {
		return nil, PlanHead{}, err
	}
	if p == nil {
		return nil, h, noBody(h)
	}
	d.plans.put(cachedPlan{p, h})
	return p, h, nil
}
