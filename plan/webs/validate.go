package webs

import (
	"errors"
	"fmt"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
)

// Validate returns every violation of the problem, with the field's JSON path.
func (p Problem) Validate() error {
	var v, trim fault.Violations
	if err := p.bare().Validate(); errors.As(err, &trim) {
		for _, one := range trim {
			one.Field = "trim." + one.Field
			v = append(v, one)
		}
	} else if err != nil {
		return err
	}
	if len(p.Trim.Orders) == 0 {
		v.Add("trim.orders", "", "must name at least one order", "give the orders that the widths are to be judged by")
	}
	seen := map[quantity.Length]bool{}
	for i, w := range p.Candidates {
		at := fmt.Sprintf("candidates_mm[%d]", i)
		v.Require(w > 0 && w <= 10*quantity.Metre, at, w.String(), "must be more than 0 and at most 10,000 mm")
		if seen[w] {
			v.Add(at, w.String(), "stands twice", "name each width once")
		}
		seen[w] = true
	}
	if n := len(p.Candidates); n == 0 || n > mostCandidates {
		v.Add("candidates_mm", fmt.Sprint(n), fmt.Sprintf("must be 1 to %d widths", mostCandidates), "name the widths that could be stocked")
	}
	if p.Most < 1 || p.Most > mostCandidates {
		v.Add("most", fmt.Sprint(p.Most), fmt.Sprintf("must be from 1 to %d", mostCandidates), "say how many widths the roll store may hold")
	}
	if p.KeepCost < 0 || p.KeepCost > 1e9 {
		v.Add("keep_cost_per_web_y", fmt.Sprint(float64(p.KeepCost)), "must be from 0 to 1,000,000,000", "")
	}
	if p.Together != 0 && !(p.Together >= 0.25 && p.Together <= mostDays) {
		v.Add("together_d", fmt.Sprint(p.Together), fmt.Sprintf("must be 0, or from 0.25 to %d", mostDays), "say how many days' orders are planned at once")
	}
	switch {
	case !(p.Days >= 0 && p.Days <= mostDays):
		v.Add("days", fmt.Sprint(p.Days), fmt.Sprintf("must be from 0 to %d", mostDays), "")
	case p.KeepCost > 0 && p.Days == 0:
		v.Add("days", "0", "must be above 0 where keeping a width costs something", "say how many days the orders cover: a year's keeping is set beside their share of it")
	}
	return v.Err()
}
