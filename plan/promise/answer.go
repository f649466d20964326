package promise

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plant/order"
)

// answer writes what the chosen way gives.
func (s *solver) answer(out *Result, w worked) {
	r := s.ask()
	out.At = w.at
	out.Float = quantity.InMinutes(r.Due.Sub(w.at))
	out.Yes = out.Float >= 0
	out.Extra = w.cost(s.plainCost())
	out.Plan, out.Clock = w.runs, w.clock
	out.Runs = s.placed(w)
	out.Others = s.moved(w)
	out.Steps, out.Waits = s.way(w)
}

// placed lists the runs that make the release.
func (s *solver) placed(w worked) (out []Placed) {
	for _, i := range w.mine {
		p := Placed{Run: w.runs[i], New: w.was[i] == 0, Frozen: i < s.Front, Start: w.clock.Runs[i].Start, End: w.clock.Runs[i].End}
		if w.joins != 0 && w.was[i] == w.joins {
			p.With = w.joins
		}
		for k := i - 1; k >= 0 && p.Behind == 0; k-- {
			p.Behind = w.was[k]
		}
		for _, l := range w.runs[i].Lanes {
			p.Upgrade = p.Upgrade || l.Order == s.order.Order && w.runs[i].Grade != s.order.Grade
		}
		out = append(out, p)
	}
	return out
}

// moved lists the other releases that come later than in the plan in force.
func (s *solver) moved(w worked) (out []Moved) {
	for _, f := range w.clock.Finishes {
		if was := s.late[f.Release]; f.Release != s.ask().Key && f.Late > was+1 {
			out = append(out, Moved{f.Release, f.Late, was})
		}
	}
	slices.SortStableFunc(out, func(a, b Moved) int { return cmp.Compare(b.Late-b.Was, a.Late-a.Was) })
	return out
}

// way writes the steps of the chosen way with their latest hours, and what lies between them.
func (s *solver) way(w worked) (steps []Step, waits []Wait) {
	var mine []jobs.Job
	for _, j := range w.clock.Jobs {
		if j.Release == s.ask().Key {
			mine = append(mine, j)
		}
	}
	slices.SortFunc(mine, func(a, b jobs.Job) int { return a.Step - b.Step })
	last := s.workedBack(mine)
	at := s.Clock.Now
	add := func(c Cause, what string, until time.Time) {
		if until.After(at) {
			waits = append(waits, Wait{c, what, quantity.InMinutes(until.Sub(at))})
			at = until
		}
	}
	for _, i := range w.mine {
		run := w.clock.Runs[i]
		ready := w.ready[i+1]
		if ready.at.After(s.Clock.Now) {
			steps = append(steps, Step{What: "paper", Where: ready.what, Start: ready.at, End: ready.at, Latest: last.Exit.Add(-run.End.Sub(run.Start))})
			add(Paper, ready.what, ready.at)
		}
		corr := s.Clock.Corrugator.Code
		off := s.unmanned(w, corr, at, run.Start)
		add(Slot, fmt.Sprintf("run %d", i+1), run.Start.Add(-off))
		add(Crew, s.whyOff(corr, at, run.Start), run.Start)
		add(Work, "corrugator", run.End)
		steps = append(steps, Step{What: "corrugator", Where: fmt.Sprintf("run %d", i+1), Start: run.Start, End: run.End, Latest: last.Exit.Add(-run.End.Sub(run.Start)), Waits: ready.what})
	}
	for k, j := range mine {
		if k == 0 && len(w.mine) > 0 && j.SheetsAt.After(at) {
			steps = append(steps, Step{What: "cure", Start: at, End: j.SheetsAt, Latest: last.Exit})
			add(Cure, "", j.SheetsAt)
		}
		if off := s.unmanned(w, j.Machine, at, j.Start); cause(j.WaitsFor) == Tool {
			add(Tool, j.WaitsFor, j.Start)
		} else {
			add(Press, s.putBack(j, at), j.Start.Add(-off))
			add(Crew, s.whyOff(j.Machine, at, j.Start), j.Start)
		}
		if off := s.unmanned(w, j.Machine, j.Start, j.End); off > time.Minute {
			add(Crew, s.whyOff(j.Machine, j.Start, j.End), j.Start.Add(off))
		}
		add(Work, string(j.Machine), j.End)
		steps = append(steps, Step{What: "press", Where: string(j.Machine), Start: j.Start, End: j.End, Latest: last.step(k), Waits: j.WaitsFor, Machine: true})
	}
	fin := w.clock.Finishes[s.Ask]
	add(Work, "", fin.MadeAt)
	steps = append(steps, Step{What: "load", Start: fin.MadeAt, End: fin.AtGate, Latest: last.Made})
	add(Work, "load forming and loading", fin.AtGate)
	if s.ask().DueAt != order.AtGate && fin.AtDock.After(fin.AtGate) {
		steps = append(steps, Step{What: "road", Start: fin.AtGate, End: fin.AtDock, Latest: s.ask().Due.Add(-fin.AtDock.Sub(fin.AtGate))})
		add(Road, "", fin.AtDock)
	}
	slices.SortStableFunc(steps, func(a, b Step) int { return a.Start.Compare(b.Start) })
	slices.SortStableFunc(waits, func(a, b Wait) int { return cmp.Compare(b.Length, a.Length) })
	return steps, waits
}

// unmanned is the time between two moments in which the machine has no crew or stands.
func (s *solver) unmanned(w worked, m ident.Machine, from, until time.Time) time.Duration {
	clock, err := calendar.Compile(s.Clock.Calendar)
	if err != nil || !until.After(from) {
		return 0
	}
	manned := s.mannedBy(clock, w.clock, m)
	if manned == nil {
		return 0
	}
	return until.Sub(from) - manned.Between(from, until)
}

// putBack is what a job waits for and, where others are before it at a machine
// that stood while they waited, the stop that held them up.
func (s *solver) putBack(j jobs.Job, turn time.Time) string {
	for _, stop := range s.Clock.Stops {
		if strings.Contains(j.WaitsFor, "busy") && stop.Machine == j.Machine && stop.From.Before(turn) && stop.Until.After(s.Clock.Now) {
			return fmt.Sprintf("%s, put back as %s stands: %s", j.WaitsFor, j.Machine, cmp.Or(stop.Cause, "no cause stated"))
		}
	}
	return j.WaitsFor
}

// whyOff names the stop in whose time the machine stands, or says that the plant
// is closed, or that no shift mans it.
func (s *solver) whyOff(m ident.Machine, from, until time.Time) string {
	for _, stop := range s.Clock.Stops {
		if stop.Machine == m && stop.From.Before(until) && stop.Until.After(from) {
			return fmt.Sprintf("%s stands: %s", m, cmp.Or(stop.Cause, "no cause stated"))
		}
	}
	if n := s.closed(from, until); n == 1 {
		return "the plant is closed for a day"
	} else if n > 1 {
		return fmt.Sprintf("the plant is closed on %d days", n)
	}
	return string(m) + " is not manned"
}

// closed counts the stated closed days that begin between two moments, the day of the first among them.
func (s *solver) closed(from, until time.Time) (n int) {
	clock, err := calendar.Compile(s.Clock.Calendar)
	if err != nil {
		return 0
	}
	first, last := from.In(clock.Zone()).Format(time.DateOnly), until.In(clock.Zone()).Format(time.DateOnly)
	for _, day := range s.Clock.Calendar.Closed {
		if day >= first && day < last {
			n++
		}
	}
	return n
}

// cause reads what a job waits for.
func cause(words string) Cause {
	switch {
	case strings.Contains(words, "plate"), strings.Contains(words, "die "), strings.Contains(words, "the tool"):
		return Tool
	case strings.Contains(words, "crew"), strings.Contains(words, "stands"):
		return Crew
	case strings.Contains(words, "machine"):
		return Press
	}
	return Press
}

// back is the latest hours on the machines chosen.
type back struct{ jobs.Latest }

func (b back) step(k int) time.Time {
	if k < len(b.Steps) {
		return b.Steps[k]
	}
	return time.Time{}
}

// workedBack works the latest hours back on the machines of the jobs.
func (s *solver) workedBack(mine []jobs.Job) back {
	one := s.Clock
	r := s.ask()
	if len(mine) > 0 && mine[0].Step == 1 {
		r.Route = nil
		for _, j := range mine {
			r.Route = append(r.Route, j.Machine)
		}
	}
	one.Releases, one.Runs = []jobs.Release{r}, nil
	l, err := jobs.LatestExits(one)
	if err != nil || l[0].Refusal != "" {
		return back{s.latest}
	}
	return back{l[0]}
}
