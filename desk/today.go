package desk

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
)

// Matter is one thing that needs a decision, in one sentence with its numbers.
type Matter struct {
	Kind    string         // late, short, hold, paper, machine, behind, new, strength, load, tool, calendar …
	Text    string         // without capital and full stop
	Money   quantity.Money // sales value of the open orders it touches; 0: none hangs on it
	ActBy   time.Time      // the latest hour to act; zero: none follows
	Breaks  bool           // breaks something in the day ahead; the others can wait their turn
	Release ident.Release  // what it is about, where it is one thing
	Roll    ident.Roll
	Machine ident.Machine
}

// Today is what needs a decision, worst first.
type Today struct {
	Since   time.Time // the shift that began then is the last one looked back on
	Matters []Matter
	Plan    *plan.Plan // that the matters are read against; nil: there is none
	Head    PlanHead
	Forced  bool // the plan is in force on the corrugator
}

// dayAhead is how far Today looks forward for what breaks.
const dayAhead = 24 * time.Hour

// Today sets book and ledger against the plan in force and returns what needs
// a decision. First comes what breaks something in the day ahead, then what
// can wait; within each by the money at stake, which counts half for every
// dayAhead that is still left to act in.
func (d *Desk) Today(ctx context.Context) (Today, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return Today{}, err
	}
	now := d.Clock()
	t := Today{Since: s.lastShift(now)}
	p, head, err := d.Current(ctx)
	switch {
	case errors.Is(err, fault.NotFound):
	case err != nil:
		return Today{}, err
	default:
		ruling, err := d.Store.Ruling(ctx)
		if err != nil {
			return Today{}, err
		}
		t.Plan, t.Head, t.Forced = p, head, ruling[AreaCorrugator] == head.ID
	}
	shorts, err := d.Shorts(ctx)
	if err != nil && !errors.Is(err, fault.NotFound) {
		return Today{}, err
	}
	lanes, err := d.SheetFloor(ctx)
	if err != nil && !errors.Is(err, fault.Invalid) { // a plant that states no lanes is not limited by them
		return Today{}, err
	}
	t.Matters = mattersOf(s, t, shorts, lanes, now)
	return t, nil
}

// mattersOf is Today as a pure function of book, ledger, plan, what is foretold and moment; lanes is nil where there are none.
func mattersOf(s *Snapshot, t Today, shorts []Short, lanes *SheetFloor, now time.Time) []Matter {
	l := newLooking(s, t, now)
	l.orders()
	l.counts(shorts)
	l.lanes(lanes)
	l.held()
	l.machines()
	if t.Plan != nil {
		l.paper()
		l.calls(t.Plan)
		l.behind()
		l.machinesBehind()
		l.rest()
	}
	slices.SortStableFunc(l.found, func(a, b Matter) int {
		switch {
		case a.Breaks && !b.Breaks:
			return -1
		case b.Breaks && !a.Breaks:
			return 1
		}
		return cmp.Or(cmp.Compare(b.weight(now), a.weight(now)), cmp.Compare(a.Text, b.Text))
	})
	return l.found
}

// weight is the money at stake, halved for every dayAhead until the latest hour
// to act; a matter without such an hour counts as a week away.
func (m Matter) weight(now time.Time) float64 {
	left := 7 * dayAhead
	if !m.ActBy.IsZero() {
		left = max(0, m.ActBy.Sub(now))
	}
	return float64(m.Money) * math.Exp2(-float64(left)/float64(dayAhead))
}
