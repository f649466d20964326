package promise

import (
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
)

// Check judges an answer from the problem: runs and jobs by their stations' own
// checks, no run before its paper, nothing in the frozen front moved, no other
// order's sheets taken away, the release's sheets made, and the date, the float
// and the bound as the clock has them. It shares no code with Solve.
func Check(p Problem, r Result) error {
	if r.Refusal != "" {
		return nil
	}
	if len(r.Clock.Runs) != len(r.Plan) || len(r.Clock.Finishes) != len(p.Clock.Releases) || len(r.Plan) < p.Front {
		return fmt.Errorf("%w: %d runs with %d times, %d finishes, %d frozen", fault.Infeasible, len(r.Plan), len(r.Clock.Runs), len(r.Clock.Finishes), p.Front)
	}
	for _, part := range []func(Problem, Result) error{checkRuns, checkPaper, checkFront, checkClock, checkDates} {
		if err := part(p, r); err != nil {
			return fmt.Errorf("%w: %w", fault.Infeasible, err)
		}
	}
	return nil
}

func checkRuns(p Problem, r Result) error {
	before, after := sheets(p.Clock.Runs), sheets(r.Plan)
	for _, o := range p.Trim.Orders {
		least := int(float64(o.Sheets) * (1 - o.UnderPct/100))
		if o.Order == p.Clock.Releases[p.Ask].Key.String() {
			if after[o.Order] < least {
				return fmt.Errorf("%d sheets of %s for %d wanted", after[o.Order], o.Order, o.Sheets)
			}
			continue
		}
		if after[o.Order] < before[o.Order] {
			return fmt.Errorf("%s had %d sheets planned and is left %d", o.Order, before[o.Order], after[o.Order])
		}
	}
	wide := p.Trim.Admitting(r.Plan)
	return runs.Check(wide, runs.Of(wide, r.Plan))
}

func sheets(list []runs.Run) map[string]int {
	out := map[string]int{}
	for _, r := range list {
		for _, l := range r.Lanes {
			out[l.Order] += l.Sheets
		}
	}
	return out
}

// checkPaper draws run by run on what has come by each start.
func checkPaper(p Problem, r Result) error {
	drawn := map[string]float64{}
	for i, run := range r.Plan {
		start := r.Clock.Runs[i].Start
		for _, g := range p.Trim.Grades {
			if g.Grade != run.Grade {
				continue
			}
			for _, ply := range g.Plies {
				up := ply.TakeUp
				if up == 0 {
					up = 1
				}
				key := fmt.Sprintf("%s at %s", ply.Paper, run.Web)
				drawn[key] += run.Length.Metres() * up
				have, named, open := 0.0, false, false
				for _, a := range p.Paper {
					named = named || a.Paper == ply.Paper
					if a.Paper == ply.Paper && a.Web == run.Web && !a.At.After(start) {
						have += a.Metres.Metres()
						open = open || a.Metres == 0 && !a.At.IsZero()
					}
				}
				if named && !open && drawn[key] > have+0.01 && slices.ContainsFunc(run.Lanes, func(l runs.Lane) bool { return l.Order == p.Clock.Releases[p.Ask].Key.String() }) {
					return fmt.Errorf("run %d starts at %v and lacks %.0f m of %s", i+1, start, drawn[key]-have, key)
				}
			}
		}
	}
	return nil
}

// checkFront compares the runs that are frozen with those of the plan in force.
func checkFront(p Problem, r Result) error {
	ask := p.Clock.Releases[p.Ask].Key.String()
	front := p.Front
	if r.Breaks {
		front = p.Going
	}
	for i := range front {
		a, b := p.Clock.Runs[i], r.Plan[i]
		same := a.Web == b.Web && a.Grade == b.Grade && a.Length == b.Length && len(a.Lanes) == len(b.Lanes)
		for k := range a.Lanes {
			same = same && k < len(b.Lanes) && a.Lanes[k].Order == b.Lanes[k].Order && a.Lanes[k].Outs == b.Lanes[k].Outs
		}
		if !same {
			return fmt.Errorf("run %d is frozen and has changed for %s", i+1, ask)
		}
	}
	return nil
}

func checkClock(p Problem, r Result) error {
	c := p.Clock
	c.Runs, c.PaperAt = r.Plan, nil
	if r.Breaks {
		c.Frozen = nil
	}
	if r.Clock.Overtime == 0 {
		c.Overtime = plant.Overtime{}
	}
	return jobs.Check(c, r.Clock)
}

func checkDates(p Problem, r Result) error {
	ask := p.Clock.Releases[p.Ask]
	fin := r.Clock.Finishes[p.Ask]
	at := fin.AtDock
	if ask.DueAt == "gate" {
		at = fin.AtGate
	}
	if fin.Release != ask.Key || !at.Equal(r.At) || r.Yes != !r.At.After(ask.Due) {
		return fmt.Errorf("%s is there at %v by the clock, %v by the answer", ask.Key, at, r.At)
	}
	if d := ask.Due.Sub(r.At) - r.Float.Duration(); d.Abs() > time.Millisecond {
		return fmt.Errorf("float of %v stated, %v by the dates", r.Float.Duration(), ask.Due.Sub(r.At))
	}
	if r.NotBefore.After(r.At) {
		return fmt.Errorf("there at %v, before %v, which no plan beats", r.At, r.NotBefore)
	}
	for i, s := range r.Steps {
		if s.End.Before(s.Start) || i > 0 && s.Start.Before(r.Steps[i-1].Start) {
			return fmt.Errorf("step %s ends before it starts, or before the step before it", s.What)
		}
	}
	if d := r.InTime; d != nil && (r.Yes || d.At.After(ask.Due)) {
		return fmt.Errorf("in time at %v for %v", d.At, ask.Due)
	}
	if d := r.DaySooner; d != nil && (d.Gain < 24*60 || !d.At.Before(r.At)) {
		return fmt.Errorf("a day sooner gains %.0f min", float64(d.Gain))
	}
	return nil
}
