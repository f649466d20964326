package webs

import (
	"fmt"
	"math"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
)

// Check judges a result against the problem from its plans alone: each set is
// one of those asked for, its plan is legal by runs.Check on its webs alone,
// and every figure follows from the plan. It returns an error that names all
// that is broken, or nil.
func Check(p Problem, r Result) error {
	var v fault.Violations
	for i, s := range r.Sets {
		at := fmt.Sprintf("sets[%d]", i)
		v.Require(len(s.Webs) >= 1 && len(s.Webs) <= p.Most, at, s.String(), fmt.Sprintf("must have 1 to %d widths", p.Most))
		for k, w := range s.Webs {
			v.Require(slices.Contains(p.Candidates, w), at, w.String(), "is no candidate")
			v.Require(k == 0 || s.Webs[k-1] < w, at, s.String(), "must be rising")
		}
		if i > 0 {
			a := r.Sets[i-1]
			v.Require(a.Unplanned < s.Unplanned || a.Unplanned == s.Unplanned && a.Cost <= s.Cost, at, s.String(), "stands behind a worse set")
		}
		v.Require(r.Bound <= s.Cost*(1+1e-9) || s.Unplanned > r.Sets[0].Unplanned, "bound", fmt.Sprint(float64(r.Bound)), "is above the cost of "+s.String())
		checkSet(&v, p, s, at)
	}
	if r.Today != nil {
		checkSet(&v, p, *r.Today, "today")
	}
	return v.Err()
}

func checkSet(v *fault.Violations, p Problem, s Set, at string) {
	if err := runs.Check(judged(p, s), s.Answer); err != nil {
		v.Add(at+".plan", s.String(), err.Error(), "")
	}
	near := func(a, b quantity.Money) bool {
		return math.Abs(float64(a-b)) <= 1e-6*math.Max(1, math.Abs(float64(b)))
	}
	v.Require(s.Unplanned == len(s.Answer.Unplanned), at+".unplanned", fmt.Sprint(s.Unplanned), "is not what the plan leaves")
	v.Require(near(s.Trim, s.Answer.Totals.Cost), at+".plan_cost", fmt.Sprint(float64(s.Trim)), "is not the plan's cost")
	year := float64(p.KeepCost) * float64(len(s.Webs))
	v.Require(near(s.Keep, quantity.Money(year/365*p.Days)), at+".keep_cost", fmt.Sprint(float64(s.Keep)), "is not the days' share of a year's keeping")
	v.Require(near(s.Cost, s.Trim+s.Keep), at+".cost", fmt.Sprint(float64(s.Cost)), "is not the plan's cost and the keeping")
	v.Require(s.Bound <= s.Cost+1e-6*s.Cost, at+".bound", fmt.Sprint(float64(s.Bound)), "is above the cost")
	by := map[quantity.Length]quantity.Distance{}
	for _, run := range s.Answer.Runs {
		by[run.Web] += run.Length
	}
	v.Require(len(s.Used) == len(s.Webs), at+".used", fmt.Sprint(len(s.Used)), "must name each width once")
	for _, u := range s.Used {
		v.Require(slices.Contains(s.Webs, u.Web) && by[u.Web] == u.Length, at+".used", u.Web.String(), "is not what the plan runs")
	}
}

// judged states the set by barring every other width, not by leaving it out.
func judged(p Problem, s Set) runs.Problem {
	t := runs.Problem{Corrugator: p.Trim.Corrugator, Orders: p.Trim.Orders, Apart: p.Trim.Apart, Minute: p.Trim.Minute, IdleMinuteCost: p.Trim.IdleMinuteCost, Changes: p.Trim.Changes, Begins: p.Trim.Begins}
	old := p.Trim.Corrugator.Webs
	all := slices.Concat(old, p.Candidates)
	t.Corrugator.Webs = all
	for _, g := range p.Trim.Grades {
		if g.Webs != nil {
			g.Webs = slices.Clone(g.Webs)
			for _, c := range p.Candidates {
				if !slices.Contains(old, c) {
					g.Webs = append(g.Webs, c)
				}
			}
		}
		t.Grades = append(t.Grades, g)
	}
	for _, w := range all {
		if !slices.Contains(s.Webs, w) {
			t.BarredWebs = append(t.BarredWebs, w)
		}
	}
	return t
}
