package desk

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/loads"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// crewJobs is how many jobs a machine's crew sees ahead.
const crewJobs = 6

// CrewJob is a job as a converting machine's crew needs it.
type CrewJob struct {
	jobs.Job
	Line    order.Line
	Item    order.Item
	House   string // the customer
	Sheet   box.Sheet
	Bundle  int // boxes a bundle
	OnFloor int // sheets of it that stand on the floor
	Stacks  []trace.Stack
	Missing []Lack // what is not there yet; none: it can start
	Told    trace.Progress
	Good    int // counted on this machine
}

// Lack is what a job still waits for.
type Lack struct {
	Words string
	Late  bool // it is not to come before the job's planned start
}

// CrewMachine is what a converting machine's crew works by.
type CrewMachine struct {
	convert.Machine
	Plan    ident.Plan
	Forced  bool // for this machine
	On      *CrewJob
	Next    []CrewJob
	More    int
	Stopped *trace.StopState
	Planned *plant.Stop // a stop that is stated and holds now or comes within the day
}

// CrewMachine returns what the crew of a converting machine works by now: the
// plan in force for it, else for the corrugator, else the newest; less what the
// ledger says is done. fault.NotFound for an unknown machine or without a plan.
func (d *Desk) CrewMachine(ctx context.Context, code ident.Machine) (CrewMachine, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return CrewMachine{}, err
	}
	m, ok := s.Machine(code)
	if !ok {
		return CrewMachine{}, fmt.Errorf("machine %q: %w", code, fault.NotFound)
	}
	c := CrewMachine{Machine: m}
	if st, ok := s.Floor.Stops[code]; ok {
		c.Stopped = &st
	}
	now := d.Clock()
	for i, st := range s.Plant.Stops {
		if st.Machine == code && st.Until.After(now) && st.From.Before(now.Add(dayAhead)) {
			c.Planned = &s.Plant.Stops[i]
		}
	}
	p, head, forced, err := d.planFor(ctx, string(code))
	if errors.Is(err, fault.NotFound) {
		return c, nil
	}
	if err != nil {
		return CrewMachine{}, err
	}
	c.Plan, c.Forced = head.ID, forced
	c.jobs(s, p, now)
	return c, nil
}

// planFor returns the plan in force for an area, else the current one.
func (d *Desk) planFor(ctx context.Context, area string) (p *plan.Plan, head PlanHead, forced bool, err error) {
	ruling, err := d.Store.Ruling(ctx)
	if err != nil {
		return nil, PlanHead{}, false, err
	}
	if id, ok := ruling[area]; ok {
		p, head, err = d.Plan(ctx, id)
		return p, head, true, err
	}
	p, head, err = d.Current(ctx)
	return p, head, false, err
}

// jobs fills in the job on the machine and those that follow. A job that the
// crew took out of turn is on all the same: facts rule.
func (c *CrewMachine) jobs(s *Snapshot, p *plan.Plan, now time.Time) {
	on, running := s.Floor.JobsOn[c.Code]
	for _, j := range p.Clock.Jobs {
		if j.Machine != c.Code {
			continue
		}
		told := s.Floor.Jobs[trace.Job{Release: j.Release, Machine: c.Code}]
		switch line, ok := s.Line(j.Release); {
		case !told.Ended.IsZero(), !ok, line.State == order.Closed:
		case running && on.Release == j.Release:
			v := crewJob(s, p, j, now)
			c.On = &v
		case len(c.Next) < crewJobs:
			c.Next = append(c.Next, crewJob(s, p, j, now))
		default:
			c.More++
		}
	}
	if running && c.On == nil { // a job of no plan
		if line, ok := s.Line(on.Release); ok {
			v := crewJob(s, p, jobs.Job{Release: on.Release, Machine: c.Code, Start: on.Since}, now)
			v.Line = line
			c.On = &v
		}
	}
}

func crewJob(s *Snapshot, p *plan.Plan, j jobs.Job, now time.Time) CrewJob {
	v := CrewJob{Job: j, Told: s.Floor.Jobs[trace.Job{Release: j.Release, Machine: j.Machine}]}
	v.Line, _ = s.Line(j.Release)
	v.Item, _ = s.Item(v.Line.Item)
	if h, ok := s.Customer(v.Line.Customer); ok {
		v.House = h.Name
	}
	for _, g := range v.Told.Good {
		v.Good += g
	}
	if i := slices.IndexFunc(p.Demands, func(d plan.Demand) bool { return d.Release == j.Release }); i >= 0 {
		v.Sheet = p.Demands[i].Sheet
	}
	v.Bundle = v.Item.BoxesPerBundle
	if i := slices.IndexFunc(p.Loads, func(l loads.Load) bool { return l.Release == j.Release }); i >= 0 && p.Loads[i].PerBundle > 0 {
		v.Bundle = p.Loads[i].PerBundle
	}
	if a, ok := s.Account(j.Release); ok {
		v.OnFloor = a.SheetsLeft()
	}
	v.Stacks = s.Floor.StacksOf(j.Release)
	v.Missing = missing(s, p, v, now)
	return v
}

// missing says what a job still waits for.
func missing(s *Snapshot, p *plan.Plan, v CrewJob, now time.Time) []Lack {
	var out []Lack
	w := s.planWords()
	begin := v.Start // or now, where that has passed: then whatever is not here is late
	if begin.Before(now) {
		begin = now
	}
	say := func(comes time.Time, format string, args ...any) {
		out = append(out, Lack{fmt.Sprintf(format, args...), comes.IsZero() || comes.After(begin)})
	}
	if _, held := s.Holds.Releases[v.Release]; held || v.Line.State == order.OnHold {
		say(time.Time{}, "the order is on hold")
	}
	need := v.Sheets - v.Good/max(1, v.Item.PiecesPerSheet)
	switch {
	case v.Step > 1:
		if v.Told.Started.IsZero() && v.SheetsAt.After(now) {
			say(v.SheetsAt, "step %d ends %s by the plan", v.Step-1, w.clock(v.SheetsAt, now))
		}
	case v.OnFloor < need:
		comes, run := time.Time{}, 0
		for _, t := range p.Clock.Runs {
			if t.End.After(now) && t.End.After(comes) && makes(p, t.Run, v.Release) {
				comes, run = t.End, t.Run
			}
		}
		text := fmt.Sprintf("sheets: %s of %s on the floor", w.Count(v.OnFloor), w.Count(need))
		if run > 0 {
			text += fmt.Sprintf(", run %d is to end %s", run, w.clock(comes, now))
		}
		say(comes, "%s", text)
	default:
		if at := cured(s, v); at.After(now) {
			say(at, "cure: may be fed from %s", w.clock(at, now))
		}
	}
	for _, t := range s.Plant.Tools {
		if t.ID != "" && (t.ID == string(v.Item.Plate) || t.ID == string(v.Item.Die)) && t.Away && t.BackAt.After(now) {
			say(t.BackAt, "%s %s is away until %s", t.Kind, t.ID, w.clock(t.BackAt, now))
		}
	}
	return out
}

func makes(p *plan.Plan, run int, r ident.Release) bool {
	for _, x := range p.Runs {
		if x.Seq == run {
			return slices.Contains(releasesOn(x), r)
		}
	}
	return false
}

// cured is when the youngest stack of a job may be fed.
func cured(s *Snapshot, v CrewJob) (at time.Time) {
	g, ok := s.Grade(v.Item.Grade)
	if !ok {
		return at
	}
	wait := s.Plant.Cure.SingleWall
	if g.Walls() > 1 {
		wait = s.Plant.Cure.DoubleWall
	}
	if g.Surface == "white" {
		wait = max(wait, s.Plant.Cure.White)
	}
	for _, st := range v.Stacks {
		if t := st.Made.Add(wait.Duration()); t.After(at) {
			at = t
		}
	}
	return at
}
