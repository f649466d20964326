package desk

import (
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plan/supply"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/plant/trace"
)

// PaperAhead is what the wet end must know beside the plan: cover, caps, holds, what
// is free, what to call off and what may stand in.
type PaperAhead struct {
	Cover    rolls.Cover
	Caps     []rolls.Cap // of papers that a grade draws more than once, below what the plan makes of the grade
	Held     []rolls.Held
	Levels   []supply.Level
	Calls    supply.CallOff
	StandIns []supply.StandIn // for what is short
}

// PaperAhead reads a plan's paper against the rolls as they are now. The cover is of
// the runs that start before until.
func (s *Snapshot) PaperAhead(p *plan.Plan, id ident.Plan, now, until time.Time) PaperAhead {
	times, grades := s.runTimes(p, id, now), plan.Exchanged(s.Book, p.Exchanges).Plant.Grades
	problem := s.supplyProblem(now)
	problem.Draws = supply.DrawsOf(p.Rolls, times, now)
	out := PaperAhead{
		Cover: rolls.CoverUntil(p.Rolls, times, s.Rolls, now, until), Held: rolls.HeldRolls(s.Rolls, p.Rolls.Needs),
		Levels: supply.Levels(problem), Caps: s.doubled(p),
	}
	out.Calls = supply.CallsOf(problem, out.Levels)
	out.StandIns = supply.StandIns(problem, out.Levels, s.Plant.Substitutes, supply.Planned{
		Runs: p.Runs, Needs: p.Rolls.Needs, Grades: grades, Items: func(run int) []ident.Item { return itemsOn(p, run) },
	})
	return out
}

// CallOff is what a plan's paper asks to be called off, for who needs no more of PaperAhead.
func (s *Snapshot) CallOff(p *plan.Plan, id ident.Plan, now time.Time) supply.CallOff {
	problem := s.supplyProblem(now)
	problem.Draws = supply.DrawsOf(p.Rolls, s.runTimes(p, id, now), now)
	return supply.Calls(problem)
}

// PaperPositions sets what the plan's runs still to come need against the rolls
// and deliveries as they are now, shortages first.
func (s *Snapshot) PaperPositions(p *plan.Plan, id ident.Plan, now time.Time) []rolls.Position {
	times := s.runTimes(p, id, now)
	over := map[int]bool{}
	for _, t := range times {
		over[t.Run] = !t.End.After(now)
	}
	needs := slices.DeleteFunc(slices.Clone(p.Rolls.Needs), func(n rolls.PlyNeed) bool { return over[n.Run] })
	return rolls.Problem{Rolls: s.Rolls, Inbound: s.stillComing(), Times: times, Now: now}.Positions(needs)
}

// runTimes are the plan's times, ended where facts say that a run has ended,
// and not ended while facts tell of the plan's runs and not of this one's end.
func (s *Snapshot) runTimes(p *plan.Plan, id ident.Plan, now time.Time) []jobs.RunTime {
	told := false
	for r := range s.Floor.RunsDone {
		told = told || r.Plan == id
	}
	out := slices.Clone(p.Clock.Runs)
	for i, t := range out {
		switch ended := s.Floor.RunsDone[trace.Run{Plan: id, Run: t.Run}].Ended; {
		case !ended.IsZero():
			out[i].End = ended
			if ended.After(now) {
				out[i].End = now
			}
		case told && !t.End.After(now):
			out[i].End = now.Add(time.Minute)
		}
	}
	return out
}

// closed says on which days nobody calls; none where the calendar cannot be read.
func (s *Snapshot) closed() func(time.Time) bool {
	clock, err := calendar.Compile(s.Plant.Calendar)
	if err != nil {
		return nil
	}
	return func(t time.Time) bool { return !clock.IsWorkingDay(t) }
}

// caps are what each grade of some of a plan's runs can be given at each web from the free rolls, least first.
func (s *Snapshot) caps(p *plan.Plan, of func(runs.Run) bool) []rolls.Cap {
	c := rolls.Problem{
		Grades: plan.Exchanged(s.Book, p.Exchanges).Plant.Grades, Catalogue: board.NewCatalogue(s.Plant.Papers, s.Plant.Flutes), Rolls: s.Rolls,
		ButtMin: s.Plant.Corrugator.ButtMin,
	}
	for _, r := range p.Runs {
		if of(r) {
			c.Runs = append(c.Runs, r)
		}
	}
	return rolls.Caps(c, s.Plant.Corrugator.Limits.Webs)
}

// doubled are the caps of papers that a grade draws more than once, below what the plan makes of the grade.
func (s *Snapshot) doubled(p *plan.Plan) []rolls.Cap {
	makes := map[ident.Grade]quantity.Distance{}
	for _, r := range p.Runs {
		makes[r.Grade] += r.Length
	}
	return slices.DeleteFunc(s.caps(p, func(runs.Run) bool { return true }), func(v rolls.Cap) bool {
		return v.Times < 2 || v.Metres >= makes[v.Grade]
	})
}

func itemsOn(p *plan.Plan, run int) []ident.Item {
	of := map[string]ident.Item{}
	for _, d := range p.Demands {
		of[d.Release.String()] = d.Item
	}
	var out []ident.Item
	for _, r := range p.Runs {
		if r.Seq != run {
			continue
		}
		for _, l := range r.Lanes {
			out = append(out, of[l.Order])
		}
	}
	return out
}

// stillComing are the expected deliveries less the rolls that facts say came with them.
func (s *Snapshot) stillComing() []roll.Inbound {
	came := map[string]int{}
	for _, r := range s.Floor.Rolls {
		if !r.Came.IsZero() && r.Inbound != "" {
			came[r.Inbound]++
		}
	}
	var out []roll.Inbound
	for _, in := range s.Inbound {
		if in.Rolls -= came[in.ID]; in.Rolls > 0 {
			out = append(out, in)
		}
	}
	return out
}
