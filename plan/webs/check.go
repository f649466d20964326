package webs

import (
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
)

// Check judges a result against the problem: each set is one of those asked for,
// its figures add up, no set costs more than one of its parts or less than all
// widths together, and each plan is legal by runs.Check on the set's webs alone
// and undercuts no judgement. It returns an error that names all that is broken, or nil.
func Check(p Problem, r Result) error {
	var v fault.Violations
	v.Require(len(r.Sets) > 0, "sets", "", "must hold at least one set")
	for i, s := range r.Sets {
		at := fmt.Sprintf("sets[%d]", i)
		v.Require(len(s.Webs) >= 1 && len(s.Webs) <= p.Most, at, s.String(), fmt.Sprintf("must have 1 to %d widths", p.Most))
		for k, w := range s.Webs {
			v.Require(slices.Contains(p.Candidates, w), at, w.String(), "is no candidate")
			v.Require(k == 0 || s.Webs[k-1] < w, at, s.String(), "must be rising")
		}
		if i > 0 {
			a := r.Sets[i-1]
			v.Require(len(a.Left) < len(s.Left) || len(a.Left) == len(s.Left) && a.Cost <= s.Cost, at, s.String(), "stands behind a worse set")
		}
		for _, u := range s.Used {
			v.Require(len(s.Webs) == 1 || u.Length > 0, at, u.Web.String(), "runs idle in a set of several")
		}
		for _, o := range r.Sets {
			if part(o, s) && slices.Equal(o.Left, s.Left) && slices.Equal(o.Over, s.Over) {
				v.Require(s.Trim <= o.Trim*(1+1e-6), at, s.String(), "costs more than its part "+o.String())
			}
		}
		checkSet(&v, p, r, s, at)
	}
	checkSet(&v, p, r, r.Today, "today")
	return v.Err()
}

// part reports whether every width of a is in b.
func part(a, b Set) bool {
	return !slices.ContainsFunc(a.Webs, func(w quantity.Length) bool { return !slices.Contains(b.Webs, w) })
}

func checkSet(v *fault.Violations, p Problem, r Result, s Set, at string) {
	near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-6*math.Max(1, math.Abs(b)) }
	v.Require(near(float64(s.Keep), float64(p.KeepCost)*float64(len(s.Webs))/365*p.Days), at+".keep_cost", fmt.Sprint(float64(s.Keep)), "is not the days' share of a year's keeping")
	v.Require(near(float64(s.Cost), float64(s.Trim+s.OverCost+s.Keep)), at+".cost", fmt.Sprint(float64(s.Cost)), "is not what trim, keeping and orders over the most trim cost")
	if slices.Equal(s.Left, r.All.Left) && slices.Equal(s.Over, r.All.Over) {
		v.Require(r.All.Trim <= s.Trim*(1+1e-6), at+".trim_cost", fmt.Sprint(float64(s.Trim)), "is less than all widths together cost")
	}
	web := 0.0
	v.Require(len(s.Used) == len(s.Webs), at+".used", fmt.Sprint(len(s.Used)), "must name each width once")
	for _, u := range s.Used {
		v.Require(slices.Contains(s.Webs, u.Web), at+".used", u.Web.String(), "is none of the set's")
		web += u.Web.Metres() * u.Length.Metres()
	}
	v.Require(near(float64(s.Web), web), at+".web_m2", fmt.Sprint(float64(s.Web)), "is not what its widths run")
	v.Require(near(s.WastePct*web/100, float64(s.Waste)) && s.WastePct >= 0 && s.WastePct <= 100, at+".waste_pct", fmt.Sprint(s.WastePct), "is not the waste of the paper run")
	if s.Plan != nil {
		checkPlan(v, p, s, at+".plan")
	}
}

func checkPlan(v *fault.Violations, p Problem, s Set, at string) {
	var cost quantity.Money
	var left []string
	list := byDue(p)
	if len(list) != len(s.Plan.Answers) {
		v.Add(at, fmt.Sprint(len(s.Plan.Answers)), fmt.Sprintf("must plan the orders' %d stretches", len(list)), "")
		return
	}
	for k, a := range s.Plan.Answers {
		if err := runs.Check(judged(p, list[k], s), a); err != nil {
			v.Add(at, s.String(), err.Error(), "")
		}
		cost += a.Totals.Cost
		for _, u := range a.Unplanned {
			left = append(left, u.Order)
		}
	}
	v.Require(math.Abs(float64(cost-s.Plan.Cost)) <= 1e-6*math.Max(1, float64(cost)), at+".cost", fmt.Sprint(float64(s.Plan.Cost)), "is not what its stretches cost")
	v.Require(s.Plan.Unplanned == len(left), at+".unplanned", fmt.Sprint(s.Plan.Unplanned), "is not what its stretches leave")
	slices.Sort(left)
	if slices.Equal(left, slices.Sorted(slices.Values(slices.Concat(s.Left, s.Over)))) {
		v.Require(s.Trim <= cost*(1+1e-6), at+".cost", fmt.Sprint(float64(cost)), "undercuts what the set is judged by")
	}
}

// byDue parts the orders into the days that are planned at once, those without a day first.
func byDue(p Problem) [][]runs.Order {
	var none []runs.Order
	var dated []runs.Order
	for _, o := range p.Trim.Orders {
		if o.Due.IsZero() && p.Together > 0 {
			none = append(none, o)
		} else {
			dated = append(dated, o)
		}
	}
	var out [][]runs.Order
	if len(none) > 0 {
		out = append(out, none)
	}
	if p.Together <= 0 || len(dated) == 0 {
		if len(dated) > 0 {
			out = append(out, dated)
		}
		return out
	}
	first := slices.MinFunc(dated, func(a, b runs.Order) int { return a.Due.Compare(b.Due) }).Due
	long := time.Duration(p.Together * 24 * float64(time.Hour))
	for len(dated) > 0 {
		var now, later []runs.Order
		for _, o := range dated {
			if o.Due.Before(first.Add(long)) {
				now = append(now, o)
			} else {
				later = append(later, o)
			}
		}
		if len(now) > 0 {
			out = append(out, now)
		}
		dated, first = later, first.Add(long)
	}
	return out
}

// judged states the set by barring every other width, not by leaving it out.
func judged(p Problem, orders []runs.Order, s Set) runs.Problem {
	t := runs.Problem{Corrugator: p.Trim.Corrugator, Minute: p.Trim.Minute, IdleMinuteCost: p.Trim.IdleMinuteCost, Changes: p.Trim.Changes}
	for _, o := range orders {
		o.LateCost = 0 // of one day, as papers and begins are
		t.Orders = append(t.Orders, o)
	}
	for _, a := range p.Trim.Apart {
		both := 0
		for _, o := range orders {
			if o.Order == a[0] || o.Order == a[1] {
				both++
			}
		}
		if both == 2 {
			t.Apart = append(t.Apart, a)
		}
	}
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
