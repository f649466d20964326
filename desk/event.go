package desk

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/whatnow"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// WhatNow is an event with its answers, kept until others push it out.
type WhatNow struct {
	ID       int64
	At       time.Time
	Who      string
	Event    whatnow.Event
	Plan     ident.Plan // in force when it was asked
	Revision int64      // of book and ledger, the event's own facts included
	Result   whatnow.Result
	Taken    ident.Plan // the plan that was made of an answer; 0: none was taken
	once     string     // of the form that asked
}

// askedMost is how many events are kept with their answers: a shift's.
const askedMost = 40

// whatNowSearch is how long ways on are sought; what is found by then is made
// into whole plans and answered.
const whatNowSearch = 2500 * time.Millisecond

// asked keeps the newest events; a restart forgets them, the facts stay.
type asked struct {
	mu   sync.Mutex
	last int64
	list []*WhatNow // oldest first
}

func (a *asked) keep(w *WhatNow) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.last++
	w.ID = a.last
	a.list = append(a.list, w)
	a.list = a.list[max(0, len(a.list)-askedMost):]
}

func (a *asked) find(id int64) (WhatNow, bool) {
	a.mu.Lock()
	defer a.mu.Unlock()
	for _, w := range a.list {
		if w.ID == id {
			return *w, true
		}
	}
	return WhatNow{}, false
}

// sent finds what a form has asked already.
func (a *asked) sent(once string) (WhatNow, bool) {
	a.mu.Lock()
	defer a.mu.Unlock()
	for _, w := range a.list {
		if once != "" && w.once == once {
			return *w, true
		}
	}
	return WhatNow{}, false
}

func (a *asked) took(id int64, p ident.Plan) {
	a.mu.Lock()
	defer a.mu.Unlock()
	for _, w := range a.list {
		if w.ID == id {
			w.Taken = p
		}
	}
}

// WhatNow records what happened, as far as it is a fact — a machine stopped, a
// roll that must not be used — under the id once, which the asking form carries so
// that sending it twice changes nothing, and answers it from the plan
// in force. What no fact tells of is taken to have gone to plan, and the answer
// says how much that is. fault.Violations for an event that cannot be,
// fault.NotFound without a plan.
func (d *Desk) WhatNow(ctx context.Context, e whatnow.Event, once string, who string) (WhatNow, error) {
	if w, again := d.asked.sent(once); again {
		return w, nil // the form was sent twice
	}
	s, err := d.Snapshot(ctx)
	if err != nil {
		return WhatNow{}, err
	}
	in, head, err := d.Current(ctx)
	if err != nil {
		return WhatNow{}, err
	}
	p := whatnow.Problem{Book: s.Book, Plan: in, ID: head.ID, Now: d.Clock(), Event: e, Silent: true}
	search, end := context.WithTimeout(ctx, whatNowSearch)
	defer end()
	res, err := whatnow.Solve(search, p, whatnow.Options{Seed: 1})
	if err != nil {
		return WhatNow{}, err
	}
	if err := whatnow.Check(p, res); err != nil {
		return WhatNow{}, fmt.Errorf("what now: %w", err)
	}
	if err := d.recordEvent(ctx, s, e, p.Now, once, who); err != nil {
		return WhatNow{}, err
	}
	if s, err = d.Snapshot(ctx); err != nil {
		return WhatNow{}, err
	}
	w := &WhatNow{At: p.Now, Who: named(who), Event: e, Plan: head.ID, Revision: s.Revision, Result: res, once: once}
	d.asked.keep(w)
	return *w, nil
}

// Asked returns an event with its answers; fault.NotFound when it was pushed out.
func (d *Desk) Asked(id int64) (WhatNow, error) {
	w, ok := d.asked.find(id)
	if !ok {
		return w, fmt.Errorf("event %d: it is no longer kept; state it again: %w", id, fault.NotFound)
	}
	return w, nil
}

// recordEvent takes the event's facts into the ledger. A repeat of once changes nothing.
func (d *Desk) recordEvent(ctx context.Context, s *Snapshot, e whatnow.Event, at time.Time, once, who string) error {
	fact := trace.Fact{ID: ident.Fact("event-" + once), At: at, Source: "desk", Who: named(who), Reason: e.Cause}
	switch e.Kind {
	case whatnow.MachineDown:
		fact.Kind, fact.Machine, fact.Until = trace.Stopped, e.Machine, e.Until.UTC()
		if fact.Reason == "" {
			fact.Reason = "stopped"
		}
		_, err := d.Record(ctx, fact)
		return err
	case whatnow.PaperGone:
		if fact.Reason == "" {
			fact.Reason = "not to be used"
		}
		for _, r := range s.Rolls {
			if r.Hold || !(e.Roll != "" && r.ID == e.Roll || e.Roll == "" && r.Paper == e.Paper && r.Width == e.Web) {
				continue
			}
			f := fact
			f.ID, f.Kind, f.Roll = ident.Fact(fmt.Sprintf("event-%s-%s", once, r.ID)), trace.Held, r.ID
			if _, err := d.Record(ctx, f); err != nil {
				return err
			}
		}
	}
	return nil
}

// Chosen is the answer that a person takes.
type Chosen struct {
	Event  int64
	Answer int      // place among the answers, from 0
	By     string   // who agreed, where someone must; else who decides
	Areas  []string // to put the plan in force for; none: it stays a draft
}

// TakeAnswer makes a plan of an answer: its order lines go into the book, its
// plan is kept under a number, and rules the areas that were chosen.
// fault.Conflict if book or ledger have moved since it was worked out, or if an
// answer was taken already; fault.Violations if someone must agree and nobody is named.
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
	switch {
	case w.Taken != 0:
		return 0, fmt.Errorf("an answer to this event was taken already, as plan %d: %w", w.Taken, fault.Conflict)
	case s.Revision != w.Revision:
		return 0, fmt.Errorf("the book or the ledger has changed since these answers were worked out; ask again: %w", fault.Conflict)
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
