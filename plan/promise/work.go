package promise

import (
	"context"
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
)

// manner is how a candidate is worked through.
type manner struct{ ahead, over, thaw bool }

// some works through the first so many legal ones that are not frozen, or with
// thaw those that are as well.
func (s *solver) some(ctx context.Context, list []candidate, most int, m manner) {
	for _, c := range list {
		if most <= 0 || ctx.Err() != nil {
			return
		}
		if c.frozen && !c.asIs && !m.thaw {
			continue
		}
		if !c.asIs {
			var ok bool
			if c, ok = s.finish(c); !ok {
				continue
			}
		}
		if w, ok := s.work(ctx, c, m); ok {
			s.tried = append(s.tried, w)
			most--
		}
	}
}

// work lays the candidate on the clock: the plan's jobs keep machine and
// sequence, the release's find their place between them.
func (s *solver) work(ctx context.Context, c candidate, m manner) (worked, bool) {
	p, w := s.Clock, worked{candidate: c, ahead: m.ahead, over: m.over, thawed: m.thaw}
	p.Runs = c.runs
	w.ready, _ = s.paperFor(c.runs)
	p.PaperAt = moments(w.ready)
	key := s.ask().Key
	start := s.Jobs
	if !c.asIs || m.ahead {
		start = slices.DeleteFunc(slices.Clone(start), func(j jobs.Job) bool { return j.Release == key })
		p.Frozen = slices.DeleteFunc(slices.Clone(p.Frozen), func(k jobs.Kept) bool { return k.Release == key && m.thaw })
	}
	if m.thaw {
		p.Frozen = nil
	}
	if m.ahead {
		p.Releases = slices.Clone(p.Releases)
		r := &p.Releases[s.Ask]
		r.Due, r.Value = p.Now, r.Value*1000+1e6
	}
	if !m.over {
		p.Overtime = plant.Overtime{}
	}
	a, err := jobs.Solve(context.WithoutCancel(ctx), p, jobs.Options{Rounds: -1, Start: start, For: key})
	if err != nil {
		return w, false
	}
	w.clock = a
	fin := a.Finishes[s.Ask]
	if fin.MadeAt.IsZero() {
		return w, false
	}
	w.at = fin.AtDock
	r := s.ask()
	if r.DueAt == order.AtGate {
		w.at = fin.AtGate
	}
	w.others = a.Cost + a.LateCost - fin.LateCost
	if late := w.at.Sub(r.Due); late > 0 {
		w.own = s.Clock.Prices.LateEach + quantity.Money(late.Hours()/24*s.Clock.Prices.LatePctPerDay/100)*r.Value
	}
	if m.ahead {
		s.restore(&w)
	}
	return w, true
}

// restore writes the release's true due time into an answer that was worked out ahead of it.
func (s *solver) restore(w *worked) {
	r, fin := s.ask(), &w.clock.Finishes[s.Ask]
	w.clock.LateCost += w.own - fin.LateCost
	fin.Due, fin.LateCost, fin.Overdue = r.Due, w.own, r.Due.Before(s.Clock.Now)
	fin.Float = quantity.InMinutes(r.Due.Sub(w.at))
	fin.Late = max(0, -fin.Float)
	fin.LatestExit, fin.LatestPress = s.latest.Exit, s.latest.Press
	for i := range w.clock.Jobs {
		if j := &w.clock.Jobs[i]; j.Release == r.Key && j.Step <= len(s.latest.Steps) {
			j.LatestStart = s.latest.Steps[j.Step-1]
		}
	}
	w.clock.Bound = min(w.clock.Bound, w.clock.Cost+w.clock.LateCost)
}
