package desk

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/trace"
)

// mostSeconds is the longest budget of a plan: a night shift.
const mostSeconds = 8 * 3600

// StartPlan starts a plan of the book and ledger as they are now, in the
// background, and returns its number at once. Watch it with WatchPlan.
func (d *Desk) StartPlan(ctx context.Context, o PlanOptions, who string) (ident.Plan, error) {
	h, s, err := d.readyToPlan(ctx, o, who)
	if err != nil {
		return 0, err
	}
	if h.ID, err = d.Store.NewPlan(ctx, h); err != nil {
		return 0, fmt.Errorf("start plan: %w", err)
	}
	return h.ID, d.launch(ctx, h, s)
}

// RestartPlan starts an interrupted plan again, with its options, from the
// book as it is now. fault.Conflict in any other state.
func (d *Desk) RestartPlan(ctx context.Context, id ident.Plan, who string) error {
	old, err := d.PlanHead(ctx, id)
	if err != nil {
		return err
	}
	h, s, err := d.readyToPlan(ctx, old.Options, who)
	if err != nil {
		return err
	}
	h.ID = id
	if err := d.Store.RestartPlan(ctx, h); err != nil {
		return fmt.Errorf("restart plan %d: %w", id, err)
	}
	return d.launch(ctx, h, s)
}

// CancelPlan ends a running plan, which keeps the best so far. fault.NotFound
// if there is no such plan; nothing happens if it has ended.
func (d *Desk) CancelPlan(ctx context.Context, id ident.Plan) error {
	if d.Worker.Cancel(workID(id)) {
		return nil
	}
	_, err := d.Store.PlanHead(ctx, id)
	return err
}

func (d *Desk) readyToPlan(ctx context.Context, o PlanOptions, who string) (PlanHead, *Snapshot, error) {
	if d.Make == nil {
		return PlanHead{}, nil, errors.New("desk: no planner")
	}
	if !(o.Seconds >= 0 && o.Seconds <= mostSeconds) {
		return PlanHead{}, nil, fault.Violations{{Field: "seconds", Value: fmt.Sprint(o.Seconds), Rule: fmt.Sprintf("must be 0 to %d", mostSeconds)}}
	}
	s, err := d.Snapshot(ctx)
	if err != nil {
		return PlanHead{}, nil, err
	}
	if !s.Stated {
		return PlanHead{}, nil, fmt.Errorf("no plant is stated yet: set it up first: %w", fault.Refused)
	}
	if err := d.decidedByHand(s, o); err != nil {
		return PlanHead{}, nil, err
	}
	if s, err = d.fillStock(ctx, s, who); err != nil {
		return PlanHead{}, nil, err
	}
	return PlanHead{
		Started: d.Clock(), Who: named(who), Note: o.Note, Options: o,
		Revision: s.Revision, State: PlanRunning,
	}, s, nil
}

func workID(id ident.Plan) string { return "plan " + strconv.FormatInt(int64(id), 10) }

// launch hands the plan to the worker. Whatever happens then, finish is called once.
func (d *Desk) launch(ctx context.Context, h PlanHead, s *Snapshot) error {
	d.live.begin(h)
	var out outcome
	work := func(ctx context.Context) (err error) {
		out, err = d.makePlan(ctx, h, s.Book)
		return err
	}
	keep := context.WithoutCancel(ctx)
	err := d.Worker.Start(workID(h.ID), work, func(err error) { d.finish(keep, h, out, err) })
	if err != nil {
		d.finish(keep, h, outcome{}, err)
		return fmt.Errorf("start plan %d: %w", h.ID, err)
	}
	return nil
}

// outcome is what the planner brought home.
type outcome struct {
	plan *plan.Plan
	cut  bool // it was told to end before its time
}

func (d *Desk) makePlan(ctx context.Context, h PlanHead, b plant.Book) (outcome, error) {
	front, err := d.front(ctx, h, b)
	if err != nil {
		return outcome{}, err
	}
	p, err := d.Make(ctx, b, plan.Options{
		Now: h.Started, Seconds: h.Options.Seconds, Seed: h.Options.Seed, Choices: h.Options.Choices, Front: front,
		OnProgress: func(p plan.Progress) { d.live.progress(h.ID, p) },
	})
	cut := ctx.Err() != nil
	if p != nil && cut && errors.Is(err, ctx.Err()) {
		err = nil // cancelled, with the best so far
	}
	if err != nil {
		return outcome{}, err
	}
	if p == nil {
		return outcome{}, cmp.Or(ctx.Err(), errors.New("the planner returned nothing"))
	}
	if err := d.Check(b, p); err != nil {
		return outcome{}, fmt.Errorf("the plan broke a rule and is not kept: %w", err)
	}
	return outcome{p, cut}, nil
}

// finish keeps how the plan ended and tells the watchers.
func (d *Desk) finish(ctx context.Context, h PlanHead, out outcome, err error) {
	p := out.plan
	if now, ok := d.live.head(h.ID); ok {
		h.Progress = now.Progress
	}
	h.Ended = d.Clock()
	switch {
	case err != nil:
		h.State, h.Fault, p = PlanFailed, planFault(err), nil
		d.Log.Error("plan failed", "plan", h.ID, "error", err)
	case out.cut:
		h.State = PlanCancelled
	default:
		h.State = PlanReady
	}
	if p != nil {
		h.Summary, h.Totals = p.Summary, p.Totals
	}
	if err := d.Store.EndPlan(ctx, h, p); err != nil {
		d.Log.Error("plan could not be kept", "plan", h.ID, "error", err)
		h.State, h.Fault, p = PlanFailed, "the plan was made but could not be stored", nil
	}
	if p != nil {
		d.plans.put(cachedPlan{p, h})
	}
	d.live.end(h)
}

// planFault words a failure for people: faults with a kind as they are, all else blandly.
func planFault(err error) string {
	var kind fault.Kind
	var vs fault.Violations
	switch {
	case errors.Is(err, context.Canceled):
		return "cancelled before a first plan was found"
	case errors.As(err, &kind), errors.As(err, &vs):
		return err.Error()
	}
	return "an internal error ended the planning; the log has the details"
}

func noBody(h PlanHead) error {
	return fmt.Errorf("plan %d is %s and holds nothing to show: %w", h.ID, h.State, fault.Refused)
}

// decidedByHand judges what a person has chosen for a plan.
func (d *Desk) decidedByHand(s *Snapshot, o PlanOptions) error {
	var vs fault.Violations
	for _, a := range o.Broken {
		vs.Require(slices.Contains(s.Areas(), a), "broken", a, fmt.Sprintf("must be one of %v", s.Areas()))
	}
	if len(o.Broken) > 0 {
		decided(&vs, o.By)
	}
	if !o.Choices.None() {
		vs.Under("choices", o.Choices.Check(s.Book))
	}
	return vs.Err()
}

// front is what the plans in force have frozen, less what a named person breaks.
func (d *Desk) front(ctx context.Context, h PlanHead, b plant.Book) (plan.Front, error) {
	if len(b.Plant.Freezes) == 0 && b.Floor.RunOn == nil {
		return plan.Front{}, nil
	}
	ruling, err := d.Store.Ruling(ctx)
	if err != nil {
		return plan.Front{}, fmt.Errorf("plans in force: %w", err)
	}
	inForce := map[string]*plan.Plan{}
	for area, id := range ruling {
		if inForce[area], _, err = d.Plan(ctx, id); err != nil {
			return plan.Front{}, fmt.Errorf("plan in force for %s: %w", area, err)
		}
	}
	var swaps []trace.Fact
	if id, ok := ruling[AreaCorrugator]; ok {
		facts, err := d.Store.Facts(ctx, FactQuery{Plan: id, Limit: mostSwaps})
		if err != nil {
			return plan.Front{}, fmt.Errorf("swaps: %w", err)
		}
		for _, f := range facts {
			if f.Kind == trace.RunsSwapped || f.Kind == trace.Correction {
				swaps = append(swaps, f)
			}
		}
	}
	return plan.FrontOf(b, h.Started, inForce, ruling, swaps, h.Options.Broken, h.Options.By), nil
}

// mostSwaps bounds the facts of one plan that are looked through for swaps.
const mostSwaps = 20_000
