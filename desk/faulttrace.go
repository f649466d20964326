package desk

import (
	"cmp"
	"context"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/trace"
)

// Traced is the way of a release back through the plant.
type Traced struct {
	Plan   ident.Plan
	Runs   []TracedRun
	Rolls  []TracedRoll
	Stacks []trace.Stack // that still stand on the floor
	Jobs   []TracedJob
	Beside []ident.Release // made on the same runs, of the same paper
}

// TracedRun is a run that made it.
type TracedRun struct {
	Plan  ident.Plan
	Run   int
	Start time.Time // as told, or by its planned minutes before its end as told; else as planned
	End   time.Time
	Told  bool
	Begun bool // by now: as told; or by the plan's clock, unless earlier runs were told and neither it nor a later one
}

// TracedRoll is a roll that went into it.
type TracedRoll struct {
	Roll  ident.Roll
	Stand string
	Run   int
	Held  bool
	Told  bool      // it was mounted then; else by the plan's list
	From  time.Time // while the run was on, where it was told
	Until time.Time
}

// TracedJob is a job that made it.
type TracedJob struct {
	Machine ident.Machine
	Told    trace.Progress
	Good    int
}

// traced follows a release back: by the ledger where it was told, else by the plan.
func (d *Desk) traced(ctx context.Context, s *Snapshot, p *plan.Plan, id ident.Plan, r ident.Release) (Traced, error) {
	t := Traced{Plan: id}
	if err := ctx.Err(); err != nil {
		return t, err
	}
	held := map[ident.Roll]bool{}
	for _, x := range s.Rolls {
		held[x.ID] = x.Hold
	}
	mounts, err := d.mountings(ctx, p)
	if err != nil {
		return t, err
	}
	for _, x := range p.Runs {
		if !slices.Contains(releasesOn(x), r) {
			continue
		}
		run := tracedRun(s, p, id, x.Seq, d.Now())
		t.Runs = append(t.Runs, run)
		for _, b := range releasesOn(x) {
			if b != r && !slices.Contains(t.Beside, b) {
				t.Beside = append(t.Beside, b)
			}
		}
		for _, u := range rollsOfRun(p, mounts, run, d.Now()) {
			u.Held = held[u.Roll]
			t.Rolls = append(t.Rolls, u)
		}
	}
	for _, st := range s.Floor.Stacks {
		if st.Release == r {
			t.Stacks = append(t.Stacks, st)
		}
	}
	for k, told := range s.Floor.Jobs {
		if k.Release == r {
			t.Jobs = append(t.Jobs, TracedJob{Machine: k.Machine, Told: told, Good: told.Good[r]})
		}
	}
	if len(t.Jobs) == 0 {
		for _, j := range p.Clock.Jobs {
			if j.Release == r {
				t.Jobs = append(t.Jobs, TracedJob{Machine: j.Machine})
			}
		}
	}
	slices.SortFunc(t.Jobs, func(a, b TracedJob) int { return cmp.Compare(a.Machine, b.Machine) })
	return t, nil
}

func tracedRun(s *Snapshot, p *plan.Plan, id ident.Plan, seq int, now time.Time) TracedRun {
	v, took := TracedRun{Plan: id, Run: seq}, time.Duration(0)
	for _, t := range p.Clock.Runs {
		if t.Run == seq {
			v.Start, v.End, took = t.Start, t.End, t.Minutes.Duration()
		}
	}
	if told := s.Floor.RunsDone[trace.Run{Plan: id, Run: seq}]; !told.Started.IsZero() || !told.Ended.IsZero() {
		v.Start, v.End, v.Told, v.Begun = told.Started, told.Ended, true, true
		if v.Start.IsZero() { // only its end was told
			v.Start = v.End.Add(-took)
		}
		return v
	}
	earlier, later := false, false
	for r := range s.Floor.RunsDone {
		earlier, later = earlier || r.Plan == id && r.Run < seq, later || r.Plan == id && r.Run > seq
	}
	v.Begun = !v.Start.IsZero() && !v.Start.After(now) && (later || !earlier)
	return v
}
