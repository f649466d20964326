package desk

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/trace"
)

// mountedBefore is how long before a plan a roll that its runs draw from may have
// been mounted.
const mountedBefore = 14 * 24 * time.Hour

// mountings are the rolls told on stands since shortly before a plan.
func (d *Desk) mountings(ctx context.Context, p *plan.Plan) ([]trace.Mounting, error) {
	facts, err := d.Store.Facts(ctx, FactQuery{Rolls: true, Since: p.Now.Add(-mountedBefore), Limit: mostWaste})
	if err != nil {
		return nil, err
	}
	return trace.MountingsOf(facts), nil
}

// rollsOfRun are the rolls that a run drew from, stand by stand: those told to be
// mounted while it was on, or, for a stand of which nothing was told, those of the
// plan's list. A run that has not begun has the plan's.
func rollsOfRun(p *plan.Plan, mounts []trace.Mounting, run TracedRun, now time.Time) []TracedRoll {
	end := run.End
	if end.IsZero() || end.After(now) {
		end = now
	}
	var out []TracedRoll
	for _, n := range p.Rolls.Needs {
		if n.Run != run.Run {
			continue
		}
		told := false
		for _, m := range mounts {
			if !strings.EqualFold(m.Stand, n.Stand) || run.Start.IsZero() || !run.Begun {
				continue
			}
			if from, until, some := m.Within(run.Start, end); some {
				told = true
				out = append(out, TracedRoll{Roll: m.Roll, Stand: n.Stand, Run: run.Run, Told: true, From: from, Until: until})
			}
		}
		for _, u := range n.Rolls {
			if u.Roll != "" && !told {
				out = append(out, TracedRoll{Roll: u.Roll, Stand: n.Stand, Run: run.Run})
			}
		}
	}
	return out
}

// RollFault is what was made of a roll.
type RollFault struct {
	Roll   ident.Roll
	Plan   ident.Plan
	Held   bool
	Told   bool             // it was told on a stand
	Spans  []trace.Mounting // when
	Spared []int            // runs of the plan that were to draw from it, and had others on that stand by what was told
	Orders []RollOrder
}

// RollOrder is an order on runs that drew from a roll.
type RollOrder struct {
	Release ident.Release
	Runs    []RollRun
	Begun   bool // one of the runs has
	Told    bool // by what was told on the stands, in all of these runs; else by the plan's list
	Sheets  int  // made while it was on, by its part of the run's time; all of the run's where that is not told
	Boxes   int  // that these give
	Made    int  // boxes there are of the order
	Shipped int
	Trucks  []int // of the plan that take it
}

// RollRun is a run that drew from a roll.
type RollRun struct {
	TracedRun
	Mounted bool // told
	From    time.Time
	Until   time.Time // while it was on
}

// FaultOfRoll returns which orders a roll went into, or will: by what was told on
// the stands, also of runs of earlier plans, and where nothing was told of a stand
// by the plan's list. fault.NotFound for a roll that neither book nor plan nor
// ledger knows.
func (d *Desk) FaultOfRoll(ctx context.Context, id ident.Roll) (RollFault, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return RollFault{}, err
	}
	p, head, err := d.Current(ctx)
	if err != nil {
		return RollFault{}, err
	}
	mounts, err := d.mountings(ctx, p)
	if err != nil {
		return RollFault{}, err
	}
	t := rollTrace{s: s, now: d.Now(), mounts: mounts, at: map[ident.Release]int{}, out: RollFault{Roll: id, Plan: head.ID}}
	known := t.look()
	plans, err := d.plansOf(ctx, s, p, head.ID, t.out.Spans, t.now)
	if err != nil {
		return RollFault{}, err
	}
	for _, of := range plans {
		for _, r := range of.plan.Runs {
			if of.id != head.ID && !of.runs[r.Seq] {
				continue
			}
			drew, err := t.run(of.plan, of.id, r)
			if err != nil {
				return RollFault{}, err
			}
			known = known || drew
		}
	}
	if !known {
		return RollFault{}, fmt.Errorf("roll %q: %w", id, fault.NotFound)
	}
	for i := range t.out.Orders {
		t.out.Orders[i].Trucks = trucksOf(p, t.out.Orders[i].Release)
	}
	return t.out, nil
}

// planOf is a plan with those of its runs that were on while a roll was.
type planOf struct {
	plan *plan.Plan
	id   ident.Plan
	runs map[int]bool
}

// plansOf are the current plan and earlier ones of which runs were told while a roll was on a stand.
func (d *Desk) plansOf(ctx context.Context, s *Snapshot, p *plan.Plan, id ident.Plan, spans []trace.Mounting, now time.Time) ([]planOf, error) {
	earlier := map[ident.Plan]map[int]bool{}
	for r, told := range s.Floor.RunsDone {
		end := told.Ended
		if end.IsZero() {
			end = now
		}
		for _, m := range spans {
			if _, _, some := m.Within(told.Started, end); some && r.Plan != id && !told.Started.IsZero() {
				if earlier[r.Plan] == nil {
					earlier[r.Plan] = map[int]bool{}
				}
				earlier[r.Plan][r.Run] = true
			}
		}
	}
	out := []planOf{{plan: p, id: id}}
	for of, told := range earlier {
		before, _, err := d.Plan(ctx, of)
		if errors.Is(err, fault.NotFound) || errors.Is(err, fault.Refused) {
			continue // its orders cannot be known
		}
		if err != nil {
			return nil, err
		}
		out = append(out, planOf{before, of, told})
	}
	slices.SortFunc(out[1:], func(a, b planOf) int { return cmp.Compare(b.id, a.id) })
	return out, nil
}

// runsOfRoll are the runs for which a plan names a roll, each once.
func runsOfRoll(p *plan.Plan, id ident.Roll) []int {
	var out []int
	for _, n := range p.Rolls.Needs {
		for _, u := range n.Rolls {
			if u.Roll == id && !slices.Contains(out, n.Run) {
				out = append(out, n.Run)
			}
		}
	}
	return out
}

// trucksOf are the trucks of a plan that take units of a release.
func trucksOf(p *plan.Plan, r ident.Release) []int {
	var out []int
	for _, t := range p.Trucks.Trucks {
		for _, part := range t.Parts {
			if part.Release == r && !slices.Contains(out, t.Number) {
				out = append(out, t.Number)
			}
		}
	}
	return out
}
