package whatnow

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/order"
)

// Check judges a result from its own words: every answer's plan passes
// plan.Check on its book and costs what is stated, lateness is that of its
// finishes, doing nothing comes first and the others by cost, nothing is to be
// decided in the past, a frozen front that is broken names its owner, and an
// order that closes under its least names someone. It shares no code with Solve.
func Check(p Problem, r Result) error {
	j := &judge{p: p}
	if len(r.Answers) == 0 {
		j.say("there is no answer, not even doing nothing")
	}
	for i, a := range r.Answers {
		at := fmt.Sprintf("answer %d", i+1)
		if err := plan.Check(a.Book, a.Plan); err != nil {
			j.say("%s: %v", at, err)
		}
		j.money(at, a, r.Answers[0])
		j.late(at, a)
		j.people(at, a)
		if !a.DecideBy.IsZero() && a.DecideBy.Before(p.Now) {
			j.say("%s is to be decided by %v, before now", at, a.DecideBy)
		}
		if i > 1 && a.Cost.Total < r.Answers[i-1].Cost.Total-1 {
			j.say("%s is cheaper than the one before it", at)
		}
	}
	if len(j.faults) > 0 {
		return fmt.Errorf("%w: %s", fault.Infeasible, strings.Join(j.faults, "; "))
	}
	return nil
}

type judge struct {
	p      Problem
	faults []string
}

func (j *judge) say(format string, args ...any) {
	j.faults = append(j.faults, fmt.Sprintf(format, args...))
}

func (j *judge) money(at string, a, first Answer) {
	near := func(x, y float64) bool { return math.Abs(x-y) < 0.01 }
	c := a.Cost
	if !near(float64(c.Total), float64(c.Paper+c.Minutes+c.Press+c.Late+c.Lost)) {
		j.say("%s: the terms do not add up to %.2f", at, c.Total)
	}
	board := a.Plan.Totals.Cost - a.Plan.Totals.CostTerms["short"]
	if !near(float64(c.Paper+c.Minutes), float64(board)) || !near(float64(c.Press), float64(a.Plan.Clock.Cost)) || !near(float64(c.Late), float64(a.Plan.Clock.LateCost)) {
		j.say("%s: states %+v, its plan costs %.2f, %.2f and %.2f", at, c, board, a.Plan.Clock.Cost, a.Plan.Clock.LateCost)
	}
	if !near(float64(a.More.Total), float64(c.Total-first.Cost.Total)) {
		j.say("%s: %.2f more than doing nothing, stated %.2f", at, c.Total-first.Cost.Total, a.More.Total)
	}
}

func (j *judge) late(at string, a Answer) {
	stated, hours := map[ident.Release]bool{}, 0.0
	for _, l := range a.Late {
		stated[l.Release] = true
	}
	for _, f := range a.Plan.Clock.Finishes {
		if stated[f.Release] != (f.Late > 0) {
			j.say("%s: %s is %.0f min late, stated %v", at, f.Release, float64(f.Late), stated[f.Release])
		}
		hours += float64(f.Late) / 60
		delete(stated, f.Release)
	}
	for k := range stated {
		j.say("%s: %s is stated late and has no end in its plan", at, k)
	}
	if math.Abs(hours-a.Hours) > 1e-6 {
		j.say("%s: %.2f h late, stated %.2f", at, hours, a.Hours)
	}
}

// people looks for what nobody has agreed to.
func (j *judge) people(at string, a Answer) {
	agreed := map[string]bool{}
	for _, g := range a.Agree {
		agreed[g.Area] = true
	}
	for _, f := range j.p.Book.Plant.Freezes {
		if f.Minutes > 0 && !agreed[f.Area] && f.Area == "corrugator" {
			j.front(at, a, float64(f.Minutes))
		}
	}
	for _, l := range a.Lines {
		for _, was := range j.p.Book.Lines {
			if was.Key != l.Key || l.UnderPct <= was.UnderPct || agreed[""] {
				continue
			}
			if !slices.ContainsFunc(a.Lines, func(c order.Line) bool { return c.Parent == l.Key.String() }) {
				j.say("%s: %s closes %.2f %% short, the customer takes %.2f %%, and nobody is named", at, l.Key, l.UnderPct, was.UnderPct)
			}
		}
	}
}

// front compares the runs that start within the frozen minutes, by the plan in
// force, with the answer's first runs.
func (j *judge) front(at string, a Answer, minutes float64) {
	for k, t := range j.p.Plan.Clock.Runs {
		ahead := t.Start.Sub(j.p.Now).Minutes()
		if ahead < 0 {
			continue // on, or over
		}
		if ahead >= minutes {
			return
		}
		was := j.p.Plan.Runs[k]
		found := false
		for n := range a.Plan.Runs {
			is := a.Plan.Runs[n]
			found = found || n <= k && is.Web == was.Web && is.Length == was.Length && len(is.Lanes) == len(was.Lanes) && is.Lanes[0].Order == was.Lanes[0].Order
		}
		if !found {
			j.say("%s: run %d is frozen, is not in the answer's front, and nobody has agreed", at, was.Seq)
		}
	}
}
