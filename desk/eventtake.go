package desk

import (
	"context"
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/whatnow"
	"github.com/flutewright/flutewright/plant/order"
)

// Chosen is the answer that a person takes.
type Chosen struct {
	Event  int64
	Answer int      // place among the answers, from 0
	By     string   // who agreed, where someone must; else who decides
	Areas  []string // to put the plan in force for; none: it stays a draft
}

// TakeAnswer makes a plan of an answer: its order lines go into the book, its
// plan is kept under a number, and rules the areas that were chosen.
// Where book or ledger have moved since, the same way on is worked out again.
// fault.Conflict if there is none any more, or if an answer was taken already; fault.Violations if someone must agree and nobody is named.
func (d *Desk) TakeAnswer(ctx context.Context, c Chosen, who string) (ident.Plan, error) {
	w, err := d.Asked(c.Event)
	if err != nil {
		return 0, err
	}
	if c.Answer < 0 || c.Answer >= len(w.Result.Answers) {
		return 0, fault.NotFound
	}
	a := w.Result.Answers[c.Answer]
	s, err := d.Snapshot(ctx)
	if err != nil {
		return 0, err
	}
	if w.Taken != 0 {
		return 0, fmt.Errorf("an answer to this event was taken already, as plan %d: %w", w.Taken, fault.Conflict)
	}
	if s.Revision != w.Revision {
		if a, err = d.stillThere(ctx, s, w, a); err != nil {
			return 0, err
		}
	}
	var vs fault.Violations
	if len(a.Agree) > 0 {
		decided(&vs, c.By)
	}
	for _, area := range c.Areas {
		vs.Require(slices.Contains(s.Areas(), area), "area", area, fmt.Sprintf("must be one of %v", s.Areas()))
	}
	if err := vs.Err(); err != nil {
		return 0, err
	}
	if err := d.enterLines(ctx, s, a.Lines, c.By, who, a.Title); err != nil {
		return 0, err
	}
	id, err := d.keepAnswer(ctx, a, c, who)
	if err != nil {
		return 0, err
	}
	d.asked.took(c.Event, id)
	for _, area := range c.Areas {
		if err := d.PutInForce(ctx, id, area, agreedBy(who, c.By)); err != nil {
			return id, err
		}
	}
	return id, nil
}

// stillThere works the answers out again where book or ledger have moved on,
// as they do all day, and returns the one of the same title: the same way on
// from where the plant stands now. fault.Conflict if there is none any more, or
// if another plan rules.
func (d *Desk) stillThere(ctx context.Context, s *Snapshot, w WhatNow, was whatnow.Answer) (whatnow.Answer, error) {
	in, head, err := d.Current(ctx)
	if err != nil {
		return was, err
	}
	if head.ID != w.Plan {
		return was, fmt.Errorf("plan %d rules now, and these answers go on from plan %d; ask again: %w", head.ID, w.Plan, fault.Conflict)
	}
	res, err := d.waysOn(ctx, s, in, head.ID, d.Clock(), w.Event)
	if err != nil {
		return was, err
	}
	for _, a := range res.Answers {
		if a.Title == was.Title && len(a.Agree) <= len(was.Agree) {
			return a, nil
		}
	}
	return was, fmt.Errorf("the book or the ledger has changed and this way on is not the same any more; ask again: %w", fault.Conflict)
}

func agreedBy(who, by string) string {
	if by == "" || by == who {
		return named(who)
	}
	return named(who) + ", agreed by " + by
}

// enterLines puts an answer's order lines into the book in one change.
func (d *Desk) enterLines(ctx context.Context, s *Snapshot, lines []order.Line, by, who, why string) error {
	c := Change{Who: agreedBy(who, by), Why: why}
	var vs fault.Violations
	for _, l := range lines {
		if l.Parent != "" && l.Cost == 0 {
			l.Cost = s.CostOf(l)
		}
		vs = append(vs, checkLine(l, s)...)
		p, err := put(KindLine, l.Key.String(), l, s.Version(KindLine, l.Key.String()))
		if err != nil {
			return err
		}
		p.Asleep = s.sleeps(l)
		c.Puts = append(c.Puts, p)
	}
	if err := vs.Err(); err != nil || len(c.Puts) == 0 {
		return err
	}
	return d.apply(ctx, c)
}

// keepAnswer keeps an answer's plan under a new number.
func (d *Desk) keepAnswer(ctx context.Context, a whatnow.Answer, c Chosen, who string) (ident.Plan, error) {
	if d.Check != nil {
		if err := d.Check(a.Book, a.Plan); err != nil {
			return 0, fmt.Errorf("the plan broke a rule and is not kept: %w", err)
		}
	}
	s, err := d.Snapshot(ctx)
	if err != nil {
		return 0, err
	}
	o := PlanOptions{Note: a.Title, Choices: a.Choices}
	for _, g := range a.Agree {
		if g.Area != "" {
			o.Broken, o.By = append(o.Broken, g.Area), c.By
		}
	}
	h := PlanHead{Started: d.Clock(), Who: agreedBy(who, c.By), Note: a.Title, Options: o, Revision: s.Revision, State: PlanRunning}
	if h.ID, err = d.Store.NewPlan(ctx, h); err != nil {
		return 0, fmt.Errorf("keep the answer: %w", err)
	}
	h.Ended, h.State, h.Summary, h.Totals = d.Clock(), PlanReady, a.Plan.Summary, a.Plan.Totals
	if err := d.Store.EndPlan(ctx, h, a.Plan); err != nil {
		return 0, fmt.Errorf("keep the answer: %w", err)
	}
	d.plans.put(cachedPlan{a.Plan, h})
	return h.ID, nil
}
