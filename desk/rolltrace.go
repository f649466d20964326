package desk

import (
	"math"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/trace"
)

// rollTrace follows one roll forward.
type rollTrace struct {
	s      *Snapshot
	now    time.Time
	mounts []trace.Mounting
	at     map[ident.Release]int
	out    RollFault
}

// look says what book and ledger know of the roll itself.
func (t *rollTrace) look() (known bool) {
	for _, r := range t.s.Rolls {
		if r.ID == t.out.Roll {
			known, t.out.Held = true, r.Hold
		}
	}
	for _, m := range t.mounts {
		if m.Roll == t.out.Roll {
			known, t.out.Told = true, true
			t.out.Spans = append(t.out.Spans, m)
		}
	}
	return known
}

// run adds the orders of a run that drew from the roll, or will; false where neither list nor ledger says so.
func (t *rollTrace) run(p *plan.Plan, id ident.Plan, r runs.Run) (bool, error) {
	run := RollRun{TracedRun: tracedRun(t.s, p, id, r.Seq, t.now)}
	drew, mounted := false, true
	for _, u := range rollsOfRun(p, t.mounts, run.TracedRun, t.now) {
		if u.Roll != t.out.Roll {
			continue
		}
		drew, mounted = true, mounted && u.Told
		if run.From.IsZero() || u.From.Before(run.From) {
			run.From = u.From
		}
		if u.Until.After(run.Until) {
			run.Until = u.Until
		}
	}
	if !drew {
		if slices.Contains(runsOfRoll(p, t.out.Roll), r.Seq) {
			t.out.Spared = append(t.out.Spared, r.Seq)
			return true, nil
		}
		return false, nil
	}
	share := 1.0
	if run.Mounted = mounted; mounted {
		end := run.End
		if end.IsZero() || end.After(t.now) {
			end = t.now
		}
		share = min(1, run.Until.Sub(run.From).Seconds()/end.Sub(run.Start).Seconds())
	}
	for _, l := range r.Lanes {
		key, err := ident.ParseRelease(l.Order)
		if err != nil {
			return false, err
		}
		t.order(key, run, int(math.Ceil(float64(l.Sheets)*share)))
	}
	return true, nil
}

func (t *rollTrace) order(key ident.Release, run RollRun, sheets int) {
	i, there := t.at[key]
	if !there {
		i = len(t.out.Orders)
		t.at[key] = i
		done := t.s.Done[key]
		t.out.Orders = append(t.out.Orders, RollOrder{Release: key, Told: true, Made: done.Finished(), Shipped: done.Shipped})
	}
	o := &t.out.Orders[i]
	if n := len(o.Runs); n == 0 || o.Runs[n-1].Plan != run.Plan || o.Runs[n-1].Run != run.Run {
		o.Runs = append(o.Runs, run)
	}
	o.Sheets += sheets
	o.Boxes = o.Sheets * max(1, t.s.way(key).PerSheet)
	o.Told = o.Told && run.Mounted
	o.Begun = o.Begun || run.Begun
}
