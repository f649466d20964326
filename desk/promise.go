package desk

import (
	"context"
	"fmt"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/promise"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/trace"
)

const (
	scatterBack  = 14 * 24 * time.Hour // how far back ended runs and jobs are looked at
	scatterFacts = 20_000              // at most so many facts, the newest
	scatterLeast = 0.2                 // a run or job that took less of what was planned, or more
	scatterMost  = 5                   // than so many times it, was typed wrong or is another matter
)

// Promise answers when a release can be at its gate or dock, set into the plan
// in force as it stands now; nothing is kept. fault.Violations for a question
// that cannot be, fault.NotFound where there is no plan yet.
func (d *Desk) Promise(ctx context.Context, ask plan.Ask) (*plan.Promised, PlanHead, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return nil, PlanHead{}, err
	}
	p, head, err := d.Current(ctx)
	if err != nil {
		return nil, PlanHead{}, err
	}
	now := d.Clock()
	if !ask.Due.IsZero() && ask.Due.Before(now) && ask.Release == (ident.Release{}) {
		return nil, head, fault.Violations{{Field: "due", Value: ask.Due.Format(time.RFC3339), Rule: "is over", Remedy: "ask for a time to come"}}
	}
	front, err := d.front(ctx, PlanHead{Started: now}, s.Book)
	if err != nil {
		return nil, head, err
	}
	scatter, err := d.scatter(ctx, s, now)
	if err != nil {
		return nil, head, err
	}
	got, err := plan.Promise(ctx, plan.Exchanged(s.Book, p.Exchanges), p, ask, front, scatter, now, promise.Options{Seed: 1})
	return got, head, err
}

// scatter is how long ended runs and jobs have really taken, in manned time, by
// what they would have been planned to take.
func (d *Desk) scatter(ctx context.Context, s *Snapshot, now time.Time) (promise.Scatter, error) {
	out := promise.Scatter{Machines: map[ident.Machine][]float64{}}
	facts, err := d.Store.Facts(ctx, FactQuery{Since: now.Add(-scatterBack), Limit: scatterFacts})
	if err != nil {
		return out, fmt.Errorf("scatter: %w", err)
	}
	clock, err := calendar.Compile(s.Plant.Calendar)
	if err != nil {
		return out, nil // a calendar that cannot be is refused where the plan is worked out
	}
	for job, took := range trace.Jobs(facts) {
		m, ok := s.Machine(job.Machine)
		if !ok || took.Started.IsZero() || took.Ended.IsZero() {
			continue
		}
		manned, err := clock.Windows(now, m.Shifts, nil)
		if err != nil {
			continue
		}
		out.Machines[m.Code] = taken(out.Machines[m.Code], manned.Between(took.Started, took.Ended), s.jobPlanned(job, m, took))
	}
	manned, err := clock.Windows(now, s.Plant.Corrugator.Shifts, nil)
	if err != nil {
		return out, nil
	}
	for run, took := range trace.Runs(facts) {
		if took.Started.IsZero() || took.Ended.IsZero() {
			continue
		}
		p, _, err := d.Plan(ctx, run.Plan)
		if err != nil {
			continue // its plan is not kept any more
		}
		for _, t := range p.Clock.Runs {
			if t.Run == run.Run {
				out.Corrugator = taken(out.Corrugator, manned.Between(took.Started, took.Ended), t.Minutes)
			}
		}
	}
	return out, nil
}

// taken adds a share where it can be one.
func taken(list []float64, took time.Duration, planned quantity.Minutes) []float64 {
	if planned <= 0 {
		return list
	}
	if share := took.Minutes() / float64(planned); share >= scatterLeast && share <= scatterMost {
		return append(list, share)
	}
	return list
}

// jobPlanned is what a job of so many good pieces takes at the planned speed,
// set up on a machine that stands right.
func (s *Snapshot) jobPlanned(job trace.Job, m convert.Machine, took trace.Progress) quantity.Minutes {
	l, ok := s.Line(job.Release)
	if !ok {
		return 0
	}
	i, ok := s.Item(l.Item)
	if !ok {
		return 0
	}
	fed := took.Good[job.Release]/max(i.PiecesPerSheet, 1) + took.Waste
	return convert.SetUpMinutes(m, convert.Spec{Style: i.Style, Colours: i.Colours, Plate: i.Plate, Die: i.Die}, nil) + convert.RunMinutes(m, fed)
}
