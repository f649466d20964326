package desk

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/whatnow"
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

// searchFor is how long ways on are sought; what is found by then is made into
// whole plans and answered. Someone waits on the telephone for a rush order.
func searchFor(k whatnow.Kind) time.Duration {
	switch k {
	case whatnow.Rush:
		return 500 * time.Millisecond
	case whatnow.Short:
		return 1400 * time.Millisecond
	}
	return 2200 * time.Millisecond
}

// asked keeps the newest events; a restart forgets them, the facts stay. They
// are numbered by the second they were asked in, so that an old address never
// shows another event.
type asked struct {
	mu   sync.Mutex
	last int64
	list []*WhatNow // oldest first
}

func (a *asked) keep(w *WhatNow) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.last = max(a.last+1, w.At.Unix())
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
	now := d.Clock()
	res, err := d.waysOn(ctx, s, in, head.ID, now, e)
	if err != nil {
		return WhatNow{}, err
	}
	if err := d.recordEvent(ctx, s, e, now, once, who); err != nil {
		return WhatNow{}, err
	}
	if s, err = d.Snapshot(ctx); err != nil {
		return WhatNow{}, err
	}
	w := &WhatNow{At: now, Who: named(who), Event: e, Plan: head.ID, Revision: s.Revision, Result: res, once: once}
	d.asked.keep(w)
	return *w, nil
}

// waysOn works the answers out, and holds them to their check.
func (d *Desk) waysOn(ctx context.Context, s *Snapshot, in *plan.Plan, id ident.Plan, now time.Time, e whatnow.Event) (whatnow.Result, error) {
	p := whatnow.Problem{Book: plan.Exchanged(s.Book, in.Exchanges), Plan: in, ID: id, Now: now, Event: e, Silent: true}
	search, end := context.WithTimeout(ctx, searchFor(e.Kind))
	defer end()
	res, err := whatnow.Solve(search, p, whatnow.Options{Seed: 1})
	if err != nil {
		return res, err
	}
	if err := whatnow.Check(p, res); err != nil {
		return res, fmt.Errorf("what now: %w", err)
	}
	for i := range res.Answers { // the papers that stand in for others go on doing so
		a := &res.Answers[i]
		a.Choices.Exchanges = slices.Concat(in.Exchanges, a.Choices.Exchanges)
		a.Plan.Exchanges = a.Choices.Exchanges
	}
	return res, nil
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
