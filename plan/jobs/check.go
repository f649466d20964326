package jobs

import (
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/convert"
)

// Check returns a fault.Infeasible error for the first rule that the answer
// breaks: runs and jobs in manned time, one at a time and numbered from 1, for
// as long as their minutes say; no run before its paper, no job before its
// cured sheets, its tools and its step before; no more sheets fed than there
// are; machines within their limits; set-ups by the rule, none twice; jobs in
// progress and frozen ones first; no tool at two machines at once; no more
// machines manned than crews can run; overtime beside a turn, no more a day than
// there may be, at its price; finishes, lateness and costs that add up.
// It shares no code with Solve.
func Check(p Problem, a Answer) error {
	clock, err := calendar.Compile(p.Calendar)
	if err != nil {
		return err
	}
	j := judge{p: p, a: a, clock: clock, release: map[ident.Release]int{}, runEnd: map[int]time.Time{}}
	for i, r := range p.Releases {
		j.release[r.Key] = i
	}
	for _, part := range []func() error{j.runs, j.crews, j.overtime, j.machines, j.fronts, j.setUps, j.chains, j.tools, j.finishes, j.costs} {
		if err := part(); err != nil {
			return fmt.Errorf("%w: %w", fault.Infeasible, err)
		}
	}
	return nil
}

type judge struct {
	p       Problem
	a       Answer
	clock   *calendar.Clock
	release map[ident.Release]int
	runEnd  map[int]time.Time
}

// second is how far minutes as stated and times on whole seconds may lie apart: set-up and run are rounded up each.
const second = 2 * time.Second

// manned is the time a machine may work: its shifts where crews are not
// counted, and what the answer states beside them.
func (j judge) manned(code ident.Machine, shifts []string) (*calendar.Manned, error) {
	var off, extra []calendar.Span
	for _, m := range j.a.Manning {
		if m.Machine == code {
			extra = append(extra, calendar.Span{From: m.From, Until: m.Until})
		}
	}
	shifts = slices.DeleteFunc(slices.Clone(shifts), func(s string) bool { return code != j.p.Corrugator.Code && j.counted(s) })
	for _, s := range j.p.Stops {
		if s.Machine == code {
			off = append(off, calendar.Span{From: s.From, Until: s.Until})
		}
	}
	return j.clock.WindowsWith(j.p.Now, shifts, off, extra)
}

// stands checks one stretch of work against the crew's time.
func stands(m *calendar.Manned, what string, start, end time.Time, minutes quantity.Minutes) error {
	if next, ok := m.Next(start); !ok || !next.Equal(start) {
		return fmt.Errorf("%s starts at %v without a crew", what, start)
	}
	worked := m.Between(start, end)
	if diff := worked - minutes.Duration(); diff < -time.Millisecond || diff > second {
		return fmt.Errorf("%s takes %v of manned time for %.2f min", what, worked, float64(minutes))
	}
	return nil
}

func (j judge) runs() error {
	m, err := j.manned(j.p.Corrugator.Code, j.p.Corrugator.Shifts)
	if err != nil {
		return err
	}
	if len(j.a.Runs) != len(j.p.Runs) {
		return fmt.Errorf("%d run times for %d runs", len(j.a.Runs), len(j.p.Runs))
	}
	free := j.p.Now
	for i, t := range j.a.Runs {
		what := fmt.Sprintf("run %d", t.Run)
		if t.Run != j.p.Runs[i].Seq {
			return fmt.Errorf("%s stands where run %d belongs", what, j.p.Runs[i].Seq)
		}
		if begun := j.p.RunBegun; i == 0 && !begun.IsZero() && begun.Before(j.p.Now) {
			worked := m.Between(begun, t.End)
			if over := worked - t.Minutes.Duration(); !t.Start.Equal(begun) || t.End.Before(j.p.Now) || over < -second || over > second && !t.End.Equal(j.p.Now) {
				return fmt.Errorf("%s is in progress since %v and said to end at %v after %v of work, %.1f min wanted", what, begun, t.End, worked, float64(t.Minutes))
			}
			free = t.End
			j.runEnd[t.Run] = t.End
			continue
		}
		if err := stands(m, what, t.Start, t.End, t.Minutes); err != nil {
			return err
		}
		if m.Between(free, t.Start) < t.Change.Duration() {
			return fmt.Errorf("%s starts %v after the run before, its changeover takes %.1f min", what, m.Between(free, t.Start), float64(t.Change))
		}
		if t.Start.Before(free) || t.Start.Before(j.p.PaperAt[t.Run]) {
			return fmt.Errorf("%s starts before the run before it ends or its paper is there", what)
		}
		free = t.End
		j.runEnd[t.Run] = t.End
	}
	return nil
}

func (j judge) machines() error {
	last := map[ident.Machine]Job{}
	for _, job := range j.a.Jobs {
		what := fmt.Sprintf("%s %d, %s", job.Machine, job.Seq, job.Release)
		at := slices.IndexFunc(j.p.Machines, func(m convert.Machine) bool { return m.Code == job.Machine })
		i, known := j.release[job.Release]
		if at < 0 || !known {
			return fmt.Errorf("%s: no such machine or release", what)
		}
		r, mach := j.p.Releases[i], j.p.Machines[at]
		before, any := last[job.Machine]
		if job.Seq != before.Seq+1 || any && job.Start.Before(before.End) || job.Start.Before(j.p.Now) {
			return fmt.Errorf("%s starts at %v, seq %d after %d, while the machine is taken until %v", what, job.Start, job.Seq, before.Seq, before.End)
		}
		m, err := j.manned(mach.Code, mach.Shifts)
		if err != nil {
			return err
		}
		if err := stands(m, what, job.Start, job.End, job.SetUp+job.Run); err != nil {
			return err
		}
		if job.Step == 1 {
			if s := r.Sheet; mach.Max.Across > 0 && s.Chop > mach.Max.Across || mach.Max.Feed > 0 && s.Slit > mach.Max.Feed || s.Chop < mach.Min.Across || s.Slit < mach.Min.Feed || r.Colours > mach.MaxColours {
				return fmt.Errorf("%s is over a limit of the machine", what)
			}
		}
		if want := float64(job.Sheets) / mach.PlanSpeed * 60; math.Abs(want-float64(job.Run)) > 1e-6 {
			return fmt.Errorf("%s runs %.2f min for %d fed", what, float64(job.Run), job.Sheets)
		}
		last[job.Machine] = job
	}
	return nil
}

// chains checks each release's steps against its sheets, tools and one another.
func (j judge) chains() error {
	steps := map[ident.Release][]Job{}
	for _, job := range j.a.Jobs {
		steps[job.Release] = append(steps[job.Release], job)
	}
	for key, jobs := range steps {
		r := j.p.Releases[j.release[key]]
		slices.SortFunc(jobs, func(a, b Job) int { return a.Step - b.Step })
		first := 1
		if jobs[0].Begun {
			first = jobs[0].Step // the steps before it are behind it
		}
		for k, job := range jobs {
			if job.Step != k+first || len(r.Route) > 0 && r.Route[k+first-1] != job.Machine {
				return fmt.Errorf("%s: step %d stands in place %d, or is not on its agreed machine", key, job.Step, k+1)
			}
			if k > 0 && (job.Start.Before(jobs[k-1].End) || job.Sheets > jobs[k-1].Pieces) {
				return fmt.Errorf("%s: step %d starts before step %d ends, or is fed more than that gives", key, job.Step, k)
			}
		}
		if have := j.sheetsBy(r, jobs[0].Start); jobs[0].Step == 1 && have < jobs[0].Sheets {
			return fmt.Errorf("%s: %d sheets cured at %v, %d fed", key, have, jobs[0].Start, jobs[0].Sheets)
		}
		for _, t := range j.p.Tools {
			if (t.ID == string(r.Plate) || t.ID == string(r.Die)) && t.Away && jobs[0].Step == 1 && !jobs[0].Begun && jobs[0].Start.Before(t.BackAt) {
				return fmt.Errorf("%s: starts while %s is away", key, t.ID)
			}
		}
	}
	return nil
}

// sheetsBy counts the sheets of r that are on the floor and cured at a moment.
func (j judge) sheetsBy(r Release, at time.Time) int {
	have := r.OnFloor
	for _, run := range j.p.Runs {
		board := j.p.Boards[run.Grade]
		wait := j.p.Cure.SingleWall
		if board.Walls >= 2 {
			wait = j.p.Cure.DoubleWall
		}
		if board.White && wait < j.p.Cure.White {
			wait = j.p.Cure.White
		}
		if j.runEnd[run.Seq].Add(wait.Duration()).After(at) {
			continue
		}
		for _, l := range run.Lanes {
			if l.Order == r.Key.String() {
				have += l.Sheets
			}
		}
	}
	return have
}

func (j judge) finishes() error {
	if len(j.a.Finishes) != len(j.p.Releases) {
		return fmt.Errorf("%d finishes for %d releases", len(j.a.Finishes), len(j.p.Releases))
	}
	made := map[ident.Release]time.Time{}
	for _, job := range j.a.Jobs {
		if job.End.After(made[job.Release]) {
			made[job.Release] = job.End
		}
	}
	d := j.p.Dispatch
	for i, f := range j.a.Finishes {
		r := j.p.Releases[i]
		if end := made[r.Key]; !end.IsZero() && !end.Equal(f.MadeAt) {
			return fmt.Errorf("%s is made at %v, its last job ends at %v", r.Key, f.MadeAt, end)
		}
		if f.MadeAt.IsZero() {
			continue
		}
		road := 0.0
		if d.RoadSpeed > 0 {
			road = r.Road.Metres() / float64(d.RoadSpeed)
		}
		gate := f.AtGate.Sub(f.MadeAt) - (d.LoadForming + d.Loading).Duration()
		dock := f.AtDock.Sub(f.AtGate) - time.Duration(road*float64(time.Second))
		if gate.Abs() > second || dock.Abs() > second {
			return fmt.Errorf("%s: gate at %v and dock at %v do not follow from %v", r.Key, f.AtGate, f.AtDock, f.MadeAt)
		}
		there := f.AtDock
		if r.DueAt == "gate" {
			there = f.AtGate
		}
		if late := max(0, there.Sub(r.Due).Minutes()); math.Abs(late-float64(f.Late)) > 1e-6 {
			return fmt.Errorf("%s: %.1f min late, stated %.1f", r.Key, late, float64(f.Late))
		}
		price := float64(f.Late) / 60 / 24 * j.p.Prices.LatePctPerDay / 100 * float64(r.Value)
		if f.Late > 0 {
			price += float64(j.p.Prices.LateEach)
		}
		if math.Abs(price-float64(f.LateCost)) > 1e-6*(1+price) {
			return fmt.Errorf("%s: lateness costs %.2f, stated %.2f", r.Key, price, float64(f.LateCost))
		}
	}
	return nil
}

func (j judge) costs() error {
	var press, late float64
	for _, job := range j.a.Jobs {
		press += float64(job.Cost)
	}
	for _, m := range j.a.Manning {
		press += float64(m.Cost)
	}
	for _, f := range j.a.Finishes {
		late += float64(f.LateCost)
	}
	if math.Abs(press-float64(j.a.Cost)) > 1e-6*(1+press) || math.Abs(late-float64(j.a.LateCost)) > 1e-6*(1+late) {
		return fmt.Errorf("jobs cost %.2f and lateness %.2f, stated %.2f and %.2f", press, late, float64(j.a.Cost), float64(j.a.LateCost))
	}
	if float64(j.a.Bound) > press+late+1e-6 {
		return fmt.Errorf("bound %.2f above cost %.2f", float64(j.a.Bound), press+late)
	}
	return nil
}
